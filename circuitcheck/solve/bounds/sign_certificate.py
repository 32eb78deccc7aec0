"""Whether a voltage rises or falls with each resistance, for all positive resistances at once.

    d(V_plus - V_minus) / dR_i = I_i T_i

I_i is the current of branch i driven by the source, T_i its current for 1 A fed in at plus and
taken out at minus with the source shorted. Both signs are certain, whatever the resistances, when
the branch and the driving edge are confluent. Rules used, each for the whole graph at once:

1. network + source edge series-parallel: all I_i are certain.
2. network with the source shorted + probe edge series-parallel: all T_i are certain.
3. otherwise a core is left over. All branches in one of its composites keep their signs relative
   to each other, so a composite is one unknown sign: a group. A composite touching an end of the
   composite that drives is certain, because that end is the highest or lowest potential.
4. a part of the core that hangs on two nodes and holds neither source nor probe acts as one
   resistance that rises with each of its branches (Rayleigh), so it is one composite.

With every group set either way, the extremes are at corners: 2**k corners for k groups are exact.
Source: R. J. Duffin, "Topology of series-parallel networks", J. Math. Anal. Appl. 10 (1965):
a graph has no two edges in opposed circuits exactly when it is series-parallel.
"""

from __future__ import annotations

import math
from functools import cached_property

from circuitcheck.record import record
from circuitcheck.solve.bounds.network_blocks import Edge, LiveBlock, blocks, live_block
from circuitcheck.solve.bounds.series_parallel import (
    PROBE_MARK,
    SOURCE_MARK,
    CoreEdge,
    SeriesParallelTree,
    reduce_marked,
)

Group = tuple[int, ...]
_ROOT = -1  # stands for the root branch of a block among its composites


@record
class _ShortedBlock:
    """One 2-connected block of the network with the source shorted."""

    tree: SeriesParallelTree
    root_branch: int

    def uncertain(self, p: int, q: int) -> list[Group]:
        """Groups of branches whose T has an unknown sign for a probe between p and q."""
        if self.tree.stays_series_parallel_with(p, q):
            return []
        edges = self.tree.opened_at((p, q))
        edges.append(CoreEdge(*self.tree.kept, [_ROOT]))
        edges.append(CoreEdge(p, q, [], PROBE_MARK))
        core = reduce_marked(edges)
        probe = next(edge for edge in core if edge.mark)
        return [
            self._branches(edge)
            for edge in core
            if not edge.mark and not {edge.u, edge.v} & {probe.u, probe.v}
        ]

    @cached_property
    def branches(self) -> frozenset[int]:
        """Numbers of all branches of the block."""
        return frozenset(i for i in self.tree.branch if i >= 0) | {self.root_branch}

    def _branches(self, edge: CoreEdge) -> Group:
        found: list[int] = []
        for c in edge.composites:
            found.extend([self.root_branch] if c == _ROOT else self.tree.members(c))
        return tuple(sorted(found))


class SignCertificate:
    """Structure of one network shape; answers for any probe which signs are not certain."""

    def __init__(self, n_nodes: int, edges: list[Edge], source: int, reference: int) -> None:
        self.n_nodes = n_nodes
        self.edges = edges
        self.source, self.reference = source, reference
        self.live: LiveBlock = live_block(n_nodes, edges, source, reference)
        self.driven = SeriesParallelTree(edges, self.live.branches, (source, reference))

    @cached_property
    def balanced_ohm(self) -> tuple[float, ...]:
        """Resistances at which the certain signs are easiest to read, one per branch. [ohm]

        Detuned a little, so that no bridge is in balance by accident.
        """
        shares = self.driven.balanced_shares()
        return tuple(
            shares.get(i, 1.0) * math.exp(0.2 * math.sin(1.0 + 2.399963 * i))
            for i in range(len(self.edges))
        )

    @cached_property
    def _shorted(self) -> tuple[list[_ShortedBlock], dict[int, int]]:
        """Blocks with source and reference made one node, and the block of each other node."""
        merged = [
            (self._merged(self.edges[i][0]), self._merged(self.edges[i][1]))
            for i in self.live.branches
        ]
        found: list[_ShortedBlock] = []
        block_of: dict[int, int] = {}
        for block in blocks(self.n_nodes, merged):
            root = next(k for k in block if self.reference in merged[k])
            rest = tuple(k for k in block if k != root)
            tree = SeriesParallelTree(merged, rest, merged[root])
            tree.branch = [self.live.branches[k] if k >= 0 else -1 for k in tree.branch]
            for k in block:
                block_of[merged[k][0]] = block_of[merged[k][1]] = len(found)
            found.append(_ShortedBlock(tree, self.live.branches[root]))
        return found, block_of

    def _merged(self, node: int) -> int:
        return self.reference if node == self.source else node

    def influencing(self, plus: int, minus: int) -> frozenset[int]:
        """Branches that V_plus - V_minus can depend on; for all others its change is 0 outright.

        Current fed in at plus and taken out at minus stays inside the blocks that hold them.
        """
        p, q = self.live.anchor[plus], self.live.anchor[minus]
        if p < 0 or q < 0 or p == q:
            return frozenset()
        found, block_of = self._shorted
        p, q = self._merged(p), self._merged(q)
        if p == q:
            return frozenset()
        touched = [block_of[node] for node in (p, q) if node != self.reference]
        return frozenset().union(*(found[number].branches for number in touched))

    def uncertain_groups(self, plus: int, minus: int) -> list[Group]:
        """Groups of branches of unknown sign for V_plus - V_minus; none when all are certain.

        Raises ValueError for a floating node.
        """
        p, q = self.live.anchor[plus], self.live.anchor[minus]
        if p < 0 or q < 0:
            raise ValueError(f"node {plus if p < 0 else minus} floats")
        if p == q or {p, q} == {self.source, self.reference}:
            return []
        if self.driven.is_series_parallel:
            return self._uncertain_transfer(p, q)
        groups = self._uncertain_both(p, q)
        if groups and not self._uncertain_transfer(p, q):
            return min(groups, self._uncertain_current, key=len)
        return groups

    def _uncertain_transfer(self, p: int, q: int) -> list[Group]:
        found, block_of = self._shorted
        p, q = self._merged(p), self._merged(q)
        if p == q:
            return []
        common = self.reference
        if common not in (p, q) and block_of[p] != block_of[q]:
            # the two blocks meet only in the shorted source: 1 A goes into it and out again
            return found[block_of[p]].uncertain(p, common) + found[block_of[q]].uncertain(common, q)
        return found[block_of[q if p == common else p]].uncertain(p, q)

    @cached_property
    def _uncertain_current(self) -> list[Group]:
        edges = self.driven.opened_at(())
        edges.append(CoreEdge(self.source, self.reference, [], SOURCE_MARK))
        core = reduce_marked(edges)
        source = next(edge for edge in core if edge.mark)
        return [
            self._branches(edge)
            for edge in core
            if not edge.mark and not {edge.u, edge.v} & {source.u, source.v}
        ]

    def _uncertain_both(self, p: int, q: int) -> list[Group]:
        edges = self.driven.opened_at((p, q))
        edges.append(CoreEdge(self.source, self.reference, [], SOURCE_MARK))
        edges.append(CoreEdge(p, q, [], PROBE_MARK))
        core = collapse_two_ended(reduce_marked(edges))
        marked = [edge for edge in core if edge.mark]
        if len(marked) == 1:  # source and probe in one composite: the rest is one resistance
            return []
        source, probe = sorted(marked, key=lambda edge: edge.mark)
        at_source, at_probe = {source.u, source.v}, {probe.u, probe.v}
        groups = []
        for edge in core:
            ends = {edge.u, edge.v}
            is_certain = bool(ends & at_source) and bool(ends & at_probe)
            if edge.composites and not is_certain:
                groups.append(self._branches(edge))
        return groups

    def _branches(self, edge: CoreEdge) -> Group:
        return tuple(sorted(i for c in edge.composites for i in self.driven.members(c)))


def collapse_two_ended(core: list[CoreEdge]) -> list[CoreEdge]:
    """Replace parts of a core that hang on two nodes and hold no marked edge by one edge each."""
    while len(core) > 1:
        inside = _two_ended_part(core)
        if inside is None:
            return core
        ends, part = inside
        merged = CoreEdge(*ends, [c for edge in part for c in edge.composites])
        core = reduce_marked([edge for edge in core if edge not in part] + [merged])
    return core


def _two_ended_part(core: list[CoreEdge]) -> tuple[Edge, list[CoreEdge]] | None:
    nodes = sorted({node for edge in core for node in (edge.u, edge.v)})
    for u in nodes:
        rest = [edge for edge in core if u not in (edge.u, edge.v)]
        number = {node: k for k, node in enumerate(nodes)}
        for v in _cut_nodes(len(nodes), [(number[e.u], number[e.v]) for e in rest]):
            part = _unmarked_side(core, u, nodes[v])
            if part is not None:
                return (u, nodes[v]), part
    return None


def _cut_nodes(n_nodes: int, edges: list[Edge]) -> list[int]:
    count = [0] * n_nodes
    for block in blocks(n_nodes, edges):
        for node in {node for k in block for node in edges[k]}:
            count[node] += 1
    return [node for node, held in enumerate(count) if held > 1]


def _unmarked_side(core: list[CoreEdge], u: int, v: int) -> list[CoreEdge] | None:
    """The edges of one side of the cut (u, v) that holds no marked edge."""
    reach: dict[int, list[CoreEdge]] = {}
    for edge in core:
        for node in (edge.u, edge.v):
            reach.setdefault(node, []).append(edge)
    unseen = set(reach) - {u, v}
    while unseen:
        waiting = [unseen.pop()]
        part: dict[int, CoreEdge] = {}
        while waiting:
            for edge in reach[waiting.pop()]:
                part[id(edge)] = edge
                for node in {edge.u, edge.v} & unseen:
                    unseen.discard(node)
                    waiting.append(node)
        if not any(edge.mark for edge in part.values()):
            return list(part.values())
    return None
