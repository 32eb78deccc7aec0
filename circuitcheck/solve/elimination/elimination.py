"""Node voltages and branch voltages of a resistive network, for many operating points at once.

    eliminating node k (star to mesh):  G_ij += G_ik G_jk / S_k,   S_k = sum_j G_jk
    its voltage afterwards:             V_k = sum_j (G_jk / S_k) V_j + J_k / S_k
    voltage across a branch of it:      V_k - V_j = sum_i (G_ik / S_k) (V_i - V_j) + J_k / S_k

The network hangs between two kept nodes, `source` (battery + post) and `reference` (battery - post,
0 V). Conductances are only added, multiplied and divided, never subtracted, so each keeps its full
relative accuracy with 1 microohm beside 1 megohm. Voltages across branches are recovered from
voltages across mesh branches, not as differences of node voltages, so the drop over a contact keeps
its digits too. An open branch has conductance 0.

The shape is compiled once (`elimination_order.py`, `elimination_shape.py`); the numbers run over a
batch axis (`elimination_pass.py`).
Source: star-mesh transformation, A. Rosen, "A new network theorem", J. IEE 62 (1924) 916-918;
accuracy without subtraction: Grassmann, Taksar, Heyman, Operations Research 33 (1985) 1107-1116.
"""

from __future__ import annotations

from functools import cached_property

import numpy as np
import numpy.typing as npt

from circuitcheck.record import record
from circuitcheck.solve.elimination.elimination_order import FloatArray, IntArray
from circuitcheck.solve.elimination.elimination_shape import CompiledShape, chunks

__all__ = ["EliminationPlan", "FloatArray", "IntArray", "NetworkSolution"]


@record
class NetworkSolution:
    """Voltages and currents of a network; trailing axes as given to the solver.

    node_v (n, ...) against the reference, NaN where a node floats. [V]
    branch_v (m, ...) from branch end a to b. [V]
    branch_a (m, ...) positive from a to b. [A]
    """

    node_v: FloatArray
    branch_v: FloatArray
    branch_a: FloatArray


class EliminationPlan(CompiledShape):
    """Compiled solver for one network shape: n nodes, m branches from a[i] to b[i].

    `kept` = (source, reference). `floating` (n,) marks nodes joined to neither by any branch.
    Raises ValueError for node numbers outside 0..n_nodes-1 or equal kept nodes.
    """

    def __init__(
        self, n_nodes: int, a: npt.ArrayLike, b: npt.ArrayLike, kept: tuple[int, int]
    ) -> None:
        super().__init__(n_nodes, a, b, kept)
        self.source, self.reference = kept
        fed = [self.islands[self.source], self.islands[self.reference]]
        self.floating = ~np.isin(self.islands, fed)

    def solve(
        self,
        conductance: npt.ArrayLike,
        source_v: npt.ArrayLike = 1.0,
        injected_a: npt.ArrayLike | None = None,
    ) -> FloatArray:
        """Node voltages (n, batch) against the reference. [V]

        conductance : (m, batch) or (m,), 0 for an open branch, finite. [S]
        source_v : (batch,) or one value. [V]
        injected_a : (n, batch) current fed into each node, back out at the reference. [A]
        A conductance of shape (m,) gives a result of shape (n,).
        """
        g, volts, feed, is_flat = self._prepare(conductance, source_v, injected_a)
        out = np.empty((self.n_nodes, g.shape[1]))
        for part in chunks(g.shape[1]):
            factor = self.factor(g[:, part])
            out[:, part] = factor.node_v(volts[part], None if feed is None else feed[:, part])
        return out[:, 0] if is_flat else out

    def solve_all(
        self,
        conductance: npt.ArrayLike,
        source_v: npt.ArrayLike = 1.0,
        injected_a: npt.ArrayLike | None = None,
    ) -> NetworkSolution:
        """Node voltages, branch voltages and branch currents; arguments as in `solve`."""
        g, volts, feed, is_flat = self._prepare(conductance, source_v, injected_a)
        node_v = np.empty((self.n_nodes, g.shape[1]))
        branch_v = np.empty((self.n_branches, g.shape[1]))
        for part in chunks(g.shape[1]):
            factor = self.factor(g[:, part])
            given = None if feed is None else feed[:, part]
            node_v[:, part], branch_v[:, part] = factor.node_and_branch_v(volts[part], given)
        branch_a = np.where(g == 0.0, 0.0, branch_v * g)
        if is_flat:
            return NetworkSolution(node_v[:, 0], branch_v[:, 0], branch_a[:, 0])
        return NetworkSolution(node_v, branch_v, branch_a)

    def transfer(self, conductance: npt.ArrayLike, probes: npt.ArrayLike) -> FloatArray:
        """Branch currents (m, n_probes, batch) for 1 A fed in at plus and taken out at minus.

        The source is shorted to the reference. `probes` (n_probes, 2) holds (plus, minus) nodes.
        With I the branch currents of the driven network and T these transfers,
        d(V_plus - V_minus)/dR_i = I_i T_i. A conductance (m,) gives (m, n_probes).
        """
        g = np.asarray(conductance, dtype=float)
        is_flat = g.ndim == 1
        g = g.reshape(self.n_branches, -1)
        pairs = np.asarray(probes, dtype=np.intp).reshape(-1, 2)
        feed = np.zeros((self.n_nodes, len(pairs), 1))
        feed[pairs[:, 0], np.arange(len(pairs)), 0] += 1.0
        feed[pairs[:, 1], np.arange(len(pairs)), 0] -= 1.0
        out = np.empty((self.n_branches, len(pairs), g.shape[1]))
        for part in chunks(g.shape[1]):
            factor = self.factor(g[:, part])
            width = factor.conductance.shape[1]
            fed = np.broadcast_to(feed, (self.n_nodes, len(pairs), width))
            _, volts = factor.node_and_branch_v(np.zeros(width), fed)
            out[:, :, part] = volts * g[:, None, part]
        return out[:, :, 0] if is_flat else out

    @cached_property
    def islands(self) -> IntArray:
        """Number of the connected part that each node lies in, (n,)."""
        parent = list(range(self.n_nodes))

        def root(k: int) -> int:
            while parent[k] != k:
                parent[k] = parent[parent[k]]
                k = parent[k]
            return k

        for u, v in zip(self.a.tolist(), self.b.tolist(), strict=True):
            parent[root(u)] = root(v)
        return np.array([root(k) for k in range(self.n_nodes)], dtype=np.intp)

    def _prepare(
        self, conductance: npt.ArrayLike, source_v: npt.ArrayLike, injected_a: npt.ArrayLike | None
    ) -> tuple[FloatArray, FloatArray, FloatArray | None, bool]:
        is_flat = np.ndim(conductance) == 1
        g = self.checked(conductance)
        volts = np.broadcast_to(np.asarray(source_v, dtype=float), (g.shape[1],))
        if injected_a is None:
            return g, volts, None, is_flat
        feed = np.asarray(injected_a, dtype=float)
        feed = feed[:, None] if feed.ndim == 1 else feed
        return g, volts, np.broadcast_to(feed, (self.n_nodes, g.shape[1])), is_flat
