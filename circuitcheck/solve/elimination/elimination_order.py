"""The order in which the nodes of a resistive network are eliminated, written down as a program.

Compiled once per network shape, run on any number of operating points by `elimination.py`. Nodes
of low degree go first; nodes that are not neighbours of each other go together in one level, so
that a chain of n wires takes about log2(n) levels, each a handful of array operations. Nodes of
degree 1 and 2 (dangling ends and chains, nearly all of a harness) never add a branch.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import numpy.typing as npt

from circuitcheck.record import record

IntArray = npt.NDArray[np.intp]
FloatArray = npt.NDArray[np.float64]


@record
class Stars:
    """Nodes of one degree d that are eliminated together: c nodes, each the centre of a star.

    node (c,), neighbour (d, c), edge (d, c). `pair_first` and `pair_second` (p,) number the
    p = d(d-1)/2 pairs of arms that become mesh branches. `pair_edge` and `pair_sign` (d, d, c)
    give the mesh branch between arms i and j and the sign of V_i - V_j on it; `sign` (d, c) is +1
    where the star branch counts from the centre outwards. `feed_*` sum what the centres hand to
    their neighbours, in the same way as a Level sums mesh branches.
    """

    node: IntArray
    neighbour: IntArray
    edge: IntArray
    sign: FloatArray
    pair_first: IntArray
    pair_second: IntArray
    pair_edge: IntArray
    pair_sign: FloatArray
    feed_order: IntArray
    feed_starts: IntArray
    feed_node: IntArray


@record
class Level:
    """Stars eliminated in one step, and where their mesh branches are added.

    The mesh conductances of all stars, one after the other, are taken in `order`, summed from each
    of `starts` on, and added to the edges `target` (all different).
    """

    stars: tuple[Stars, ...]
    order: IntArray
    starts: IntArray
    target: IntArray
    is_unique: bool


@record
class Program:
    """All levels, and the simple graph (one edge per pair of nodes, fill-in included)."""

    levels: tuple[Level, ...]
    n_edges: int
    branch_edge: IntArray  # (m,) edge of each branch, -1 for a branch with both ends on one node
    branch_sign: FloatArray  # (m,) +1 where branch and edge count the same way
    kept: tuple[int, ...]
    kept_edges: tuple[tuple[int, int, int], ...]  # number and ends (u < v) of what is left


class _Graph:
    """Simple graph that grows by fill-in; edge (u, v) with u < v counts V_u - V_v."""

    def __init__(self, n_nodes: int):
        self.adjacent: list[dict[int, int]] = [{} for _ in range(n_nodes)]
        self.n_edges = 0

    def edge(self, u: int, v: int) -> int:
        found = self.adjacent[u].get(v)
        if found is None:
            found = self.n_edges
            self.n_edges += 1
            self.adjacent[u][v] = found
            self.adjacent[v][u] = found
        return found

    def pull_out(self, k: int) -> tuple[list[int], list[int]]:
        arms = self.adjacent[k]
        for j in arms:
            del self.adjacent[j][k]
        self.adjacent[k] = {}
        return list(arms.keys()), list(arms.values())


def _independent_nodes(graph: _Graph, remaining: list[int]) -> list[int]:
    """Pick nodes of lowest degree (everything up to degree 2) with no two of them adjacent."""
    adjacent = graph.adjacent
    limit = max(2, min(len(adjacent[k]) for k in remaining))
    low = [k for k in remaining if len(adjacent[k]) <= limit]
    if limit > 2:
        low.sort(key=lambda k: len(adjacent[k]))
    blocked: set[int] = set()
    picked = []
    for k in low:
        if k not in blocked:
            picked.append(k)
            blocked.update(adjacent[k])
    return picked


@lru_cache(maxsize=64)
def _pairs(count: int) -> tuple[IntArray, IntArray]:
    """Return the first and the second of every pair of arms."""
    first, second = np.triu_indices(count, 1)
    return first.astype(np.intp), second.astype(np.intp)


def _stars(graph: _Graph, nodes: list[int], arms: list[tuple[list[int], list[int]]]) -> Stars:
    d, c = len(arms[0][0]), len(nodes)
    neighbour = np.array([a[0] for a in arms], dtype=np.intp).reshape(c, d).T.copy()
    edge = np.array([a[1] for a in arms], dtype=np.intp).reshape(c, d).T.copy()
    node = np.array(nodes, dtype=np.intp)
    first, second = _pairs(d)
    pair_edge = np.zeros((d, d, c), dtype=np.intp)
    for column, (names, _) in enumerate(arms):
        for i in range(d):
            for j in range(i + 1, d):
                found = graph.edge(names[i], names[j])
                pair_edge[i, j, column] = pair_edge[j, i, column] = found
    flat = neighbour.ravel()
    feed_order = np.argsort(flat, kind="stable").astype(np.intp)
    feed_node, feed_starts = np.unique(flat[feed_order], return_index=True)
    ahead = np.sign(neighbour[None, :, :] - neighbour[:, None, :]).astype(float)
    return Stars(
        node=node,
        neighbour=neighbour,
        edge=edge,
        sign=np.where(node < neighbour, 1.0, -1.0),
        pair_first=first,
        pair_second=second,
        pair_edge=pair_edge,
        pair_sign=ahead,
        feed_order=feed_order,
        feed_starts=feed_starts.astype(np.intp),
        feed_node=feed_node.astype(np.intp),
    )


def _level(graph: _Graph, picked: list[int]) -> Level:
    by_degree: dict[int, tuple[list[int], list[tuple[list[int], list[int]]]]] = {}
    for k in picked:
        arms = graph.pull_out(k)
        nodes, all_arms = by_degree.setdefault(len(arms[0]), ([], []))
        nodes.append(k)
        all_arms.append(arms)
    stars = tuple(_stars(graph, *by_degree[d]) for d in sorted(by_degree))
    targets = [s.pair_edge[s.pair_first, s.pair_second].ravel() for s in stars]
    target = np.concatenate(targets) if targets else np.zeros(0, dtype=np.intp)
    order = np.argsort(target, kind="stable").astype(np.intp)
    unique, starts = np.unique(target[order], return_index=True)
    is_unique = unique.size == target.size
    return Level(
        stars=stars,
        order=order,
        starts=starts.astype(np.intp),
        target=target if is_unique else unique.astype(np.intp),
        is_unique=is_unique,
    )


def compile_program(
    n_nodes: int, a: IntArray, b: IntArray, kept: tuple[int, ...], most_arms: int | None = None
) -> Program:
    """Write the elimination program that leaves the nodes `kept`.

    With `most_arms`, nodes that have more neighbours than that when their turn comes are left too.
    """
    graph = _Graph(n_nodes)
    ends = list(zip(a.tolist(), b.tolist(), strict=True))
    branch_edge = np.array([graph.edge(u, v) if u != v else -1 for u, v in ends], dtype=np.intp)
    branch_sign = np.where(a < b, 1.0, -1.0)
    remaining = [k for k in range(n_nodes) if k not in kept]
    levels = []
    while remaining:
        picked = _independent_nodes(graph, remaining)
        if most_arms is not None:
            picked = [k for k in picked if len(graph.adjacent[k]) <= most_arms]
        if not picked:
            kept = (*kept, *remaining)
            break
        levels.append(_level(graph, picked))
        gone = set(picked)
        remaining = [k for k in remaining if k not in gone]
    left = [(edge, u, v) for u in kept for v, edge in graph.adjacent[u].items() if u < v]
    return Program(
        levels=tuple(levels),
        n_edges=graph.n_edges,
        branch_edge=branch_edge,
        branch_sign=branch_sign,
        kept=kept,
        kept_edges=tuple(left),
    )
