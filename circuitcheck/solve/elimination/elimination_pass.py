"""One run of an elimination program: conductances in, then right-hand sides solved against them."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from circuitcheck.solve.elimination.elimination_order import FloatArray, Level, Stars

if TYPE_CHECKING:
    from circuitcheck.solve.elimination.elimination_shape import CompiledShape

CHAIN = 2
"""Arms of a node in a chain: nearly all nodes of a harness, so that those are short-cut here."""
FEW = 4
"""Arms up to which each is worked on by itself: no array of all of them is put together."""


class Elimination:
    """One elimination run on a batch of conductances; solves right-hand sides against it.

    `edges` (edges, batch) holds the conductances as the elimination left them.
    """

    def __init__(self, plan: CompiledShape, conductance: FloatArray) -> None:
        self.plan = plan
        self.conductance = conductance
        self._weights: list[list[FloatArray]] = []
        self._sums: list[list[FloatArray]] = []
        self._loose: list[tuple[npt.NDArray[np.intp], npt.NDArray[np.bool_]]] = []
        self.edges = plan.edge_conductance(conductance)
        for level in plan.program.levels:
            self._eliminate(level, self.edges)

    def _eliminate(self, level: Level, edges: FloatArray) -> None:
        weights, sums, meshes = [], [], []
        for star in level.stars:
            arm = edges[star.edge]
            is_chain = len(arm) == CHAIN
            total = arm[0] + arm[1] if is_chain else arm.sum(axis=0)
            if not total.size or total.min() == 0.0:
                is_loose = total == 0.0
                self._loose.append((star.node, is_loose))
                total = np.where(is_loose, 1.0, total)
            weight = arm / total
            weights.append(weight)
            sums.append(total)
            if is_chain:
                meshes.append(arm[0] * weight[1])
            elif len(star.pair_first):
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
        """Node voltages (n, ..., batch) for a source (batch,) and injections (n, ..., batch).

        The first kept node stands at the source voltage, all others at 0 V.
        """
        tail = self._tail(injected_a)
        kept = np.zeros((len(self.plan.kept), *tail))
        kept[0] = source_v
        return self._back(kept, None, injected_a)

    def node_and_branch_v(
        self, source_v: FloatArray, injected_a: FloatArray | None = None
    ) -> tuple[FloatArray, FloatArray]:
        """Node voltages and branch voltages; see `node_v`."""
        tail = self._tail(injected_a)
        kept = np.zeros((len(self.plan.kept), *tail))
        kept[0] = source_v
        edge_v = np.zeros((self.plan.program.n_edges, *tail))
        source = self.plan.kept[0]
        for edge, u, v in self.plan.program.kept_edges:
            if source in (u, v):
                edge_v[edge] = source_v if u == source else -source_v
        return self.node_and_branch_v_from(kept, edge_v, injected_a)

    def node_and_branch_v_from(
        self, kept_v: FloatArray, edge_v: FloatArray, injected_a: FloatArray | None = None
    ) -> tuple[FloatArray, FloatArray]:
        """Node and branch voltages from those of the kept nodes and of the edges between them.

        `edge_v` (edges, ..., batch) is filled in place.
        """
        volts = self._back(kept_v, edge_v, injected_a)
        branch_v = self.plan.branch_values(edge_v)
        if self._loose:
            lost = np.isnan(volts)
            one_sided = lost[self.plan.a] ^ lost[self.plan.b]
            branch_v[one_sided] = np.nan
        return volts, branch_v

    def _tail(self, injected_a: FloatArray | None) -> tuple[int, ...]:
        return (self.conductance.shape[1],) if injected_a is None else injected_a.shape[1:]

    def _back(
        self, kept_v: FloatArray, edge_v: FloatArray | None, injected_a: FloatArray | None
    ) -> FloatArray:
        """Put the nodes back in reverse order; fills `edge_v` on the way where it is given."""
        program, tail = self.plan.program, kept_v.shape[1:]
        feed = None if injected_a is None else self._swept_feed(injected_a)
        volts = np.zeros((self.plan.n_nodes, *tail))
        volts[list(self.plan.kept)] = kept_v
        wide = _widener(len(tail))
        for index in reversed(range(len(program.levels))):
            for number, star in enumerate(program.levels[index].stars):
                weight = wide(self._weights[index][number])
                push = None
                if feed is not None:
                    push = feed[star.node] / wide(self._sums[index][number])
                if 0 < len(weight) <= FEW:
                    found = weight[0] * volts[star.neighbour[0]]
                    for arm in range(1, len(weight)):
                        found += weight[arm] * volts[star.neighbour[arm]]
                else:
                    found = (weight * volts[star.neighbour]).sum(axis=0)
                volts[star.node] = found if push is None else found + push
                if edge_v is not None:
                    _recover_edges(star, weight, push, edge_v)
        if self._loose:
            volts[self._loose_nodes(tail)] = np.nan
        return volts

    def _swept_feed(self, injected_a: FloatArray) -> FloatArray:
        """Injections after the elimination has moved each node's share to its neighbours."""
        feed = np.array(injected_a, dtype=float)
        wide = _widener(feed.ndim - 1)
        for level, weights in zip(self.plan.program.levels, self._weights, strict=True):
            for star, weight in zip(level.stars, weights, strict=True):
                if not star.feed_node.size:
                    continue
                moved = (wide(weight) * feed[star.node]).reshape(-1, *feed.shape[1:])
                moved = moved[star.feed_order]
                if len(moved) > len(star.feed_node):
                    moved = np.add.reduceat(moved, star.feed_starts, axis=0)
                feed[star.feed_node] += moved
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
    if d <= FEW:
        arms = _few_arms(star, weight, edge_v)
    else:
        mesh = edge_v[star.pair_edge] * star.pair_sign[spread]
        arms = list((weight[:, None] * mesh).sum(axis=0))
    for j in range(d):
        volts = arms[j] if push is None else arms[j] + push
        edge_v[star.edge[j]] = volts * star.sign[j][spread]


def _few_arms(star: Stars, weight: FloatArray, edge_v: FloatArray) -> list[FloatArray]:
    """Voltages V_k - V_j of each arm, as sum_i w_i (V_i - V_j), each mesh branch read once."""
    d = len(star.edge)
    spread = (...,) + (None,) * (edge_v.ndim - 1)
    arms = [np.zeros((weight.shape[1], *edge_v.shape[1:])) for _ in range(d)]
    for i in range(d):
        for j in range(i + 1, d):
            between = edge_v[star.pair_edge[i, j]] * star.pair_sign[i, j][spread]
            arms[j] += weight[i] * between
            arms[i] -= weight[j] * between
    return arms
