"""One run of an elimination program: conductances in, then right-hand sides solved against them."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from circuitcheck.solve.elimination_order import FloatArray, Level, Stars

if TYPE_CHECKING:
    from circuitcheck.solve.elimination import EliminationPlan


class Elimination:
    """One elimination run on a batch of conductances; solves right-hand sides against it."""

    def __init__(self, plan: EliminationPlan, conductance: FloatArray) -> None:
        self.plan = plan
        self.conductance = conductance
        self._weights: list[list[FloatArray]] = []
        self._sums: list[list[FloatArray]] = []
        self._loose: list[tuple[npt.NDArray[np.intp], npt.NDArray[np.bool_]]] = []
        edges = plan.edge_conductance(conductance)
        for level in plan.program.levels:
            self._eliminate(level, edges)

    def _eliminate(self, level: Level, edges: FloatArray) -> None:
        weights, sums, meshes = [], [], []
        for star in level.stars:
            arm = edges[star.edge]
            total = arm.sum(axis=0)
            if not total.size or total.min() == 0.0:
                is_loose = total == 0.0
                self._loose.append((star.node, is_loose))
                total = np.where(is_loose, 1.0, total)
            weight = arm / total
            weights.append(weight)
            sums.append(total)
            if len(star.pair_first):
                mesh = arm[star.pair_first] * weight[star.pair_second]
                meshes.append(mesh.reshape(-1, mesh.shape[-1]))
        self._weights.append(weights)
        self._sums.append(sums)
        if meshes:
            mesh = meshes[0] if len(meshes) == 1 else np.concatenate(meshes)
            if not level.is_unique:
                mesh = np.add.reduceat(mesh[level.order], level.starts, axis=0)
            edges[level.target] += mesh

    def node_v(self, source_v: FloatArray, injected_a: FloatArray | None = None) -> FloatArray:
        """Node voltages (n, ..., batch) for a source (batch,) and injections (n, ..., batch)."""
        return self._solve(source_v, injected_a, wants_edges=False)[0]

    def node_and_branch_v(
        self, source_v: FloatArray, injected_a: FloatArray | None = None
    ) -> tuple[FloatArray, FloatArray]:
        """Node voltages and branch voltages; see `node_v`."""
        volts, edge_v = self._solve(source_v, injected_a, wants_edges=True)
        branch_v = self.plan.branch_values(edge_v)
        if self._loose:
            lost = np.isnan(volts)
            one_sided = lost[self.plan.a] ^ lost[self.plan.b]
            branch_v[one_sided] = np.nan
        return volts, branch_v

    def _solve(
        self, source_v: FloatArray, injected_a: FloatArray | None, wants_edges: bool
    ) -> tuple[FloatArray, FloatArray]:
        plan, program = self.plan, self.plan.program
        tail = (self.conductance.shape[1],) if injected_a is None else injected_a.shape[1:]
        feed = None if injected_a is None else self._swept_feed(injected_a)
        volts = np.zeros((plan.n_nodes, *tail))
        volts[plan.source] = source_v
        edge_v = np.zeros((program.n_edges, *tail)) if wants_edges else np.zeros((0,))
        if wants_edges and program.kept_edge >= 0:
            edge_v[program.kept_edge] = source_v * program.kept_sign
        wide = _widener(len(tail))
        for index in reversed(range(len(program.levels))):
            for number, star in enumerate(program.levels[index].stars):
                weight = wide(self._weights[index][number])
                push = None
                if feed is not None:
                    push = feed[star.node] / wide(self._sums[index][number])
                found = (weight * volts[star.neighbour]).sum(axis=0)
                volts[star.node] = found if push is None else found + push
                if wants_edges:
                    _recover_edges(star, weight, push, edge_v)
        if self._loose:
            volts[self._loose_nodes(tail)] = np.nan
        return volts, edge_v

    def _swept_feed(self, injected_a: FloatArray) -> FloatArray:
        """Injections after the elimination has moved each node's share to its neighbours."""
        feed = np.array(injected_a, dtype=float)
        wide = _widener(feed.ndim - 1)
        for level, weights in zip(self.plan.program.levels, self._weights, strict=True):
            for star, weight in zip(level.stars, weights, strict=True):
                moved = wide(weight) * feed[star.node]
                for arm, nodes in enumerate(star.neighbour):
                    np.add.at(feed, nodes, moved[arm])
        return feed

    def _loose_nodes(self, tail: tuple[int, ...]) -> npt.NDArray[np.bool_]:
        """Nodes whose voltage hangs on a node with no conductance to anything."""
        share = np.zeros((self.plan.n_nodes, self.conductance.shape[1]))
        loose = {int(k): mask[i] for nodes, mask in self._loose for i, k in enumerate(nodes)}
        levels = self.plan.program.levels
        for level, weights in zip(reversed(levels), reversed(self._weights), strict=True):
            for star, weight in zip(level.stars, weights, strict=True):
                share[star.node] = (weight * share[star.neighbour]).sum(axis=0)
                for k in star.node.tolist():
                    if k in loose:
                        share[k][loose[k]] = 1.0
        shape = (self.plan.n_nodes,) + (1,) * (len(tail) - 1) + (share.shape[1],)
        return np.broadcast_to(share.reshape(shape) > 0.0, (self.plan.n_nodes, *tail))


def _widener(n_tail: int) -> Callable[[FloatArray], FloatArray]:
    """Give factors of shape (..., batch) the extra axes of the right-hand side before batch."""
    if n_tail == 1:
        return lambda x: x
    middle = (1,) * (n_tail - 1)
    return lambda x: x.reshape(*x.shape[:-1], *middle, x.shape[-1])


def _recover_edges(
    star: Stars, weight: FloatArray, push: FloatArray | None, edge_v: FloatArray
) -> None:
    """Voltages across the star branches of eliminated nodes from those of the mesh branches."""
    d = len(star.edge)
    spread = (...,) + (None,) * (edge_v.ndim - 1)
    if d == 2:  # a chain: nearly all of a harness
        between = edge_v[star.pair_edge[0, 1]] * star.pair_sign[0, 1][spread]
        arms = [-weight[1] * between, weight[0] * between]
    else:
        mesh = edge_v[star.pair_edge] * star.pair_sign[spread]
        arms = list((weight[:, None] * mesh).sum(axis=0))
    for j in range(d):
        volts = arms[j] if push is None else arms[j] + push
        edge_v[star.edge[j]] = volts * star.sign[j][spread]
