"""Series-parallel reduction of a network, kept as a tree that can be opened at two nodes.

Nodes of degree 2 are merged into series composites and branches between the same two nodes into
parallel composites. The resistance of a composite rises with that of each branch in it. A network
that reduces to one composite is series-parallel; otherwise a core of composites is left over whose
nodes all have degree 3 or more.
Source: R. J. Duffin, "Topology of series-parallel networks", J. Math. Anal. Appl. 10 (1965).
"""

from __future__ import annotations

from dataclasses import dataclass, field

Edge = tuple[int, int]
SOURCE_MARK, PROBE_MARK = 1, 2


@dataclass
class CoreEdge:
    """An edge of a graph under reduction: its ends, the composites in it, its marks."""

    u: int
    v: int
    composites: list[int]
    mark: int = 0

    def other(self, node: int) -> int:
        """Return the end that is not `node`."""
        return self.v if self.u == node else self.u


@dataclass
class _Pending:
    """Simple graph under reduction: edge number between two nodes; parallels merged on sight."""

    edges: list[CoreEdge] = field(default_factory=list)
    adjacent: dict[int, dict[int, int]] = field(default_factory=dict)

    def add(self, edge: CoreEdge) -> None:
        if edge.u == edge.v:
            return
        arms = self.adjacent.setdefault(edge.u, {})
        held = arms.get(edge.v)
        if held is None:
            arms[edge.v] = len(self.edges)
            self.adjacent.setdefault(edge.v, {})[edge.u] = len(self.edges)
            self.edges.append(edge)
        else:
            self.edges[held].composites.extend(edge.composites)
            self.edges[held].mark |= edge.mark

    def left(self) -> list[CoreEdge]:
        return [
            self.edges[i] for k, arms in self.adjacent.items() for j, i in arms.items() if k < j
        ]


def reduce_marked(edges: list[CoreEdge]) -> list[CoreEdge]:
    """Merge series and parallel edges of a 2-connected graph, marks and all, as far as it goes.

    One edge left means that the graph is series-parallel.
    """
    graph = _Pending()
    for edge in edges:
        graph.add(CoreEdge(edge.u, edge.v, list(edge.composites), edge.mark))
    waiting = [k for k, arms in graph.adjacent.items() if len(arms) <= 2]
    while waiting:
        k = waiting.pop()
        arms = graph.adjacent.get(k, {})
        if len(arms) != 2:
            continue
        (i, first), (j, second) = arms.items()
        del graph.adjacent[k], graph.adjacent[i][k], graph.adjacent[j][k]
        one, two = graph.edges[first], graph.edges[second]
        graph.add(CoreEdge(i, j, one.composites + two.composites, one.mark | two.mark))
        waiting.extend(n for n in (i, j) if len(graph.adjacent[n]) <= 2)
    return graph.left()


class SeriesParallelTree:
    """Composites of a 2-connected graph between two kept nodes, down to its branches.

    `branches` are numbers into `edges`; composites are numbered with the branches first in the
    order given. `core` holds the composites that no merging reduces further.
    """

    def __init__(self, edges: list[Edge], branches: tuple[int, ...], kept: Edge) -> None:
        self.kept = kept
        self.ends: list[Edge] = [edges[number] for number in branches]
        self.branch: list[int] = list(branches)  # -1 from the merged composites on
        self.children: list[tuple[int, ...]] = [()] * len(branches)
        self.parent: list[int] = [-1] * len(branches)
        self.series_of: dict[int, int] = {}
        self._run()
        self.core = [c for c, parent in enumerate(self.parent) if parent < 0]
        self.core_nodes = {node for c in self.core for node in self.ends[c]} | set(kept)
        self.is_series_parallel = len(self.core) <= 1
        self._reach: dict[int, set[int]] = {}
        self._pairs = {frozenset(ends) for ends in self.ends} | {frozenset(kept)}

    def _run(self) -> None:
        adjacent: dict[int, dict[int, int]] = {node: {} for node in self.kept}
        for c in range(len(self.branch)):
            self._attach(adjacent, c)
        waiting = [k for k, arms in adjacent.items() if len(arms) == 2]
        while waiting:
            k = waiting.pop()
            arms = adjacent.get(k, {})
            if k in self.kept or len(arms) != 2:
                continue
            (i, one), (j, two) = arms.items()
            del adjacent[k], adjacent[i][k], adjacent[j][k]
            c = self._merge((i, j), (one, two))
            self.series_of[k] = c
            self._attach(adjacent, c)
            waiting.extend(n for n in (i, j) if len(adjacent[n]) == 2)

    def _attach(self, adjacent: dict[int, dict[int, int]], c: int) -> None:
        u, v = self.ends[c]
        held = adjacent.setdefault(u, {}).get(v)
        if held is not None:
            c = self._merge((u, v), (held, c))
        adjacent[u][v] = c
        adjacent.setdefault(v, {})[u] = c

    def _merge(self, ends: Edge, children: tuple[int, int]) -> int:
        c = len(self.ends)
        self.ends.append(ends)
        self.branch.append(-1)
        self.children.append(children)
        self.parent.append(-1)
        for child in children:
            self.parent[child] = c
        return c

    def members(self, composite: int) -> list[int]:
        """Branch numbers inside a composite."""
        found, waiting = [], [composite]
        while waiting:
            c = waiting.pop()
            if self.branch[c] >= 0:
                found.append(self.branch[c])
            waiting.extend(self.children[c])
        return found

    def is_series(self, composite: int) -> bool:
        """Whether the composite was made by merging two others in series."""
        children = self.children[composite]
        return bool(children) and set(self.ends[children[0]]) != set(self.ends[composite])

    def balanced_shares(self) -> dict[int, float]:
        """A resistance for each branch that makes every composite of the core 1 ohm.

        Series parts share the voltage evenly, parallel parts the current, so that no current
        anywhere is smaller than the nesting makes it.
        """
        run = [1] * len(self.ends)  # parts of a run of like merges; children come before parents
        for c, children in enumerate(self.children):
            run[c] = sum(self._run_within(c, child, run) for child in children) or 1
        ohms = [1.0] * len(self.ends)
        for c in range(len(self.ends) - 1, -1, -1):
            for child in self.children[c]:
                share = self._run_within(c, child, run) / run[c]
                ohms[child] = ohms[c] * share if self.is_series(c) else ohms[c] / share
        return {i: ohms[c] for c, i in enumerate(self.branch) if i >= 0}

    def _run_within(self, c: int, child: int, run: list[int]) -> int:
        is_like = bool(self.children[child]) and self.is_series(child) == self.is_series(c)
        return run[child] if is_like else 1

    def chain_nodes(self, node: int) -> set[int]:
        """All nodes of the longest series chain that `node` is an inner node of, ends included."""
        top = self.series_of.get(node)
        if top is None:
            return set()
        while self.parent[top] >= 0 and self.is_series(self.parent[top]):
            top = self.parent[top]
        if top not in self._reach:
            nodes, waiting = set(self.ends[top]), [top]
            while waiting:
                for child in self.children[waiting.pop()]:
                    nodes.update(self.ends[child])
                    if self.is_series(child):
                        waiting.append(child)
            self._reach[top] = nodes
        return self._reach[top]

    def stays_series_parallel_with(self, p: int, q: int) -> bool:
        """Whether the tree's graph plus the edge (p, q) is still series-parallel.

        True exactly when p and q lie on one chain, or are the two ends of one composite.
        """
        if not self.is_series_parallel:
            return False
        pair = frozenset((p, q))
        return pair in self._pairs or q in self.chain_nodes(p) or p in self.chain_nodes(q)

    def opened_at(self, nodes: tuple[int, ...]) -> list[CoreEdge]:
        """The core with just those composites opened that hide one of `nodes`."""
        is_open: set[int] = set()
        for node in nodes:
            c = self.series_of.get(node, -1)
            while c >= 0 and c not in is_open:
                is_open.add(c)
                c = self.parent[c]
        shown, waiting = [], list(self.core)
        while waiting:
            c = waiting.pop()
            if c in is_open:
                waiting.extend(self.children[c])
            else:
                shown.append(CoreEdge(*self.ends[c], [c]))
        return shown
