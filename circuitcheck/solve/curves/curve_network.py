"""Operating points of networks with lamps, LEDs and diodes, for many points at once.

Newton's method: each step is a linear network of the curves' tangents, solved by `elimination.py`.
What the steps seek is the least point of a convex function of the node voltages (the co-content,
whose slope is Kirchhoff's current law), so the solution is unique, and where plain steps do not
settle, each goes only as far as the function falls: that settles from any start.
Source: co-content: W. Millar, Phil. Mag. 42 (1951) 1150; damped steps: J. M. Ortega and
W. C. Rheinboldt, Iterative Solution of Nonlinear Equations (1970), 14.4.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from circuitcheck.errors import SolveError
from circuitcheck.solve.curves.curve_arrays import CurvePoints
from circuitcheck.solve.elimination.elimination import EliminationPlan, NetworkSolution
from circuitcheck.solve.elimination.elimination_order import FloatArray, IntArray
from circuitcheck.solve.elimination.elimination_shape import PortPlan, chunks

MOST_STEPS = 200
PLAIN_STEPS = 15  # before each step is measured
HALVINGS = 60  # of one step


class CurveNetwork:
    """Compiled network of m resistive branches and d curves; curve j is branch m + j.

    The resistances are eliminated once, down to the nodes that curves hang on; the search for the
    operating points runs in what is left. `fed` are further nodes that current may be fed into.
    """

    def __init__(
        self,
        n_nodes: int,
        a: npt.ArrayLike,
        b: npt.ArrayLike,
        source: int,
        reference: int,
        curve_ends: Sequence[tuple[int, int]],
        fed: Sequence[int] = (),
    ) -> None:
        ends = np.asarray(curve_ends, dtype=np.intp).reshape(-1, 2)
        self.n_nodes, self.n_curves = n_nodes, len(ends)
        ports = tuple(dict.fromkeys([source, reference, *ends.ravel().tolist(), *fed]))
        self.ports = PortPlan(n_nodes, a, b, ports)
        self.n_resistors = self.ports.n_branches
        place = {node: k for k, node in enumerate(self.ports.kept)}
        self.starts = np.array([place[k] for k in ends[:, 0].tolist()], dtype=np.intp)
        self.ends = np.array([place[k] for k in ends[:, 1].tolist()], dtype=np.intp)
        self.inner = EliminationPlan(
            len(self.ports.kept),
            np.concatenate([self.ports.mesh_a, self.starts]),
            np.concatenate([self.ports.mesh_b, self.ends]),
            (0, 1),
        )

    def solve(
        self,
        conductance: npt.ArrayLike,
        source_v: npt.ArrayLike,
        curves: CurvePoints,
        *,
        near: FloatArray | None = None,
        fed_a: FloatArray | None = None,
    ) -> NetworkSolution:
        """Operating points for conductances (m, points) and sources, one value or (points,).

        `curves` have one operating point or as many. `near` (d, points) are voltages across them
        to set out from (for a junction, behind its series resistance). `fed_a` (n, points) is fed
        into nodes named as fed. [A]
        Raises SolveError when a search has not settled after `MOST_STEPS` steps.
        """
        g = self.ports.checked(conductance)
        width = g.shape[1]
        volts = np.broadcast_to(np.asarray(source_v, dtype=float), (width,))
        start = curves.start(width) if near is None else np.array(near, dtype=float)
        feed = None if fed_a is None else np.broadcast_to(fed_a, (self.n_nodes, width))
        found = []
        for part in chunks(width):
            points = np.arange(width)[part]
            some = None if feed is None else feed[list(self.ports.kept)][:, part]
            search = _Search(self, g[:, part], volts[part], curves.take(points), some)
            found.append(search.run(start[:, part].copy()))
        if len(found) == 1:
            return found[0]
        return NetworkSolution(
            np.concatenate([one.node_v for one in found], axis=1),
            np.concatenate([one.branch_v for one in found], axis=1),
            np.concatenate([one.branch_a for one in found], axis=1),
        )


class _Search:
    """Some operating points of a network, eliminated down to its ports."""

    def __init__(
        self,
        network: CurveNetwork,
        conductance: FloatArray,
        volts: FloatArray,
        curves: CurvePoints,
        feed: FloatArray | None,
    ) -> None:
        self.network, self.conductance, self.volts = network, conductance, volts
        self.curves, self.feed = curves, feed
        self.factor = network.ports.factor(conductance)
        self.mesh = network.ports.mesh(self.factor)

    def run(self, place: FloatArray) -> NetworkSolution:
        """Step until all points are settled, setting out from places (d, points)."""
        width = self.volts.size
        todo = np.arange(width)
        last_v: FloatArray | None = None
        for step in range(MOST_STEPS):
            if not todo.size:
                break
            curves = self.curves.take(todo) if todo.size < width else self.curves
            old = place[:, todo]
            found = self._inner(todo, *curves.companion(old))
            across, amps = found.branch_v[len(self.mesh) :], found.branch_a[len(self.mesh) :]
            new = curves.next_place(across, amps, old)
            is_settled = curves.is_settled(new, old)
            if step >= PLAIN_STEPS and not curves.has_junctions and last_v is not None:
                share = self._share(todo, curves, last_v, found.node_v - last_v)
                new = old + share * (new - old)
                last_v = last_v + share * (found.node_v - last_v)
            else:
                last_v = found.node_v
            place[:, todo] = new
            todo, last_v = todo[~is_settled], last_v[:, ~is_settled]
        if todo.size:
            raise SolveError(f"lamp and diode currents did not settle in {MOST_STEPS} steps")
        return self._spread(*self.curves.companion(place))

    def _share(
        self, todo: IntArray, curves: CurvePoints, from_v: FloatArray, step_v: FloatArray
    ) -> FloatArray:
        """Share of each step, up to 1, after which the co-content would rise again."""
        network = self.network
        mesh, here, step = self._mesh(todo), np.nan_to_num(from_v), np.nan_to_num(step_v)
        a, b = network.ports.mesh_a, network.ports.mesh_b
        mesh_v, mesh_step = here[a] - here[b], step[a] - step[b]
        curve_v = here[network.starts] - here[network.ends]
        curve_step = step[network.starts] - step[network.ends]
        push = 0.0 if self.feed is None else (self.feed[:, todo] * step).sum(axis=0)

        def slope(share: FloatArray) -> FloatArray:
            linear = (mesh * (mesh_v + share * mesh_step) * mesh_step).sum(axis=0)
            bent = (curves.current(curve_v + share * curve_step) * curve_step).sum(axis=0)
            return np.asarray(linear + bent - push)

        low, high = np.zeros(todo.size), np.ones(todo.size)
        is_far = slope(high) > 0.0
        for _ in range(HALVINGS if is_far.any() else 0):
            middle = 0.5 * (low + high)
            is_rising = slope(middle) > 0.0
            low, high = np.where(is_rising, low, middle), np.where(is_rising, middle, high)
        return np.where(is_far, high, 1.0)

    def _mesh(self, which: IntArray) -> FloatArray:
        return self.mesh if which.size == self.volts.size else self.mesh[:, which]

    def _inner(self, which: IntArray, slope: FloatArray, offset: FloatArray) -> NetworkSolution:
        """Solve what is left with every curve i = slope v + offset, both (d, k)."""
        network = self.network
        feed = np.zeros((network.inner.n_nodes, which.size))
        if self.feed is not None:
            feed += self.feed[:, which]
        for j in range(network.n_curves):
            feed[network.starts[j]] -= offset[j]
            feed[network.ends[j]] += offset[j]
        mesh = self._mesh(which)
        found = network.inner.solve_all(np.concatenate([mesh, slope]), self.volts[which], feed)
        found.branch_a[len(mesh) :] += offset
        return found

    def _spread(self, slope: FloatArray, offset: FloatArray) -> NetworkSolution:
        """Solve once more and carry the ports' voltages back to all nodes and branches."""
        found = self._inner(np.arange(self.volts.size), slope, offset)
        first = len(self.mesh)
        across, amps = found.branch_v[first:], found.branch_a[first:]
        node_v, branch_v = self.network.ports.spread(
            self.factor, found.node_v, found.branch_v[:first]
        )
        branch_a = np.where(self.conductance == 0.0, 0.0, branch_v * self.conductance)
        return NetworkSolution(
            node_v, np.concatenate([branch_v, across]), np.concatenate([branch_a, amps])
        )
