"""Which branches can carry current at all, and how a network falls into blocks.

A branch carries current only if it lies on a path from source to reference that visits no node
twice, that is, in the 2-connected block of the network plus a branch for the source. Everything
else hangs on one node of that block and takes its voltage.
Source: R. Tarjan, "Depth-first search and linear graph algorithms", SIAM J. Comput. 1 (1972).
"""

from __future__ import annotations

from circuitcheck.record import record

Edge = tuple[int, int]


def blocks(n_nodes: int, edges: list[Edge]) -> list[list[int]]:
    """Edge numbers of every 2-connected block, edges from a node to itself left out."""
    adjacent: list[list[tuple[int, int]]] = [[] for _ in range(n_nodes)]
    for number, (u, v) in enumerate(edges):
        if u != v:
            adjacent[u].append((v, number))
            adjacent[v].append((u, number))
    depth = [-1] * n_nodes
    low = [0] * n_nodes
    found: list[list[int]] = []
    for start in range(n_nodes):
        if depth[start] < 0:
            _walk(start, adjacent, depth, low, found)
    return found


def _walk(
    start: int,
    adjacent: list[list[tuple[int, int]]],
    depth: list[int],
    low: list[int],
    found: list[list[int]],
) -> None:
    """Depth-first walk without recursion; closes a block where nothing below reaches above."""
    depth[start] = 0
    trail: list[int] = []
    stack = [(start, -1, iter(adjacent[start]))]
    while stack:
        node, via, rest = stack[-1]
        for other, number in rest:
            if number == via:
                continue
            if depth[other] < 0:
                depth[other] = low[other] = depth[node] + 1
                trail.append(number)
                stack.append((other, number, iter(adjacent[other])))
                break
            if depth[other] < depth[node]:
                trail.append(number)
                low[node] = min(low[node], depth[other])
        else:
            stack.pop()
            if stack:
                above = stack[-1][0]
                low[above] = min(low[above], low[node])
                if low[node] >= depth[above]:
                    cut = trail.index(via) if trail[-1] != via else len(trail) - 1
                    found.append(trail[cut:])
                    del trail[cut:]


@record
class LiveBlock:
    """The part of a network that can carry current.

    branches: numbers of the branches in it. anchor[k]: the node of it whose voltage node k has,
    -1 where node k floats.
    """

    branches: tuple[int, ...]
    anchor: tuple[int, ...]


def live_block(n_nodes: int, edges: list[Edge], source: int, reference: int) -> LiveBlock:
    """Find the branches on simple paths from source to reference, and every node's anchor."""
    closed = [*edges, (source, reference)]
    live: list[int] = []
    for block in blocks(n_nodes, closed):
        if len(edges) in block:
            live = sorted(number for number in block if number != len(edges))
    anchor = [-1] * n_nodes
    on_it = {source, reference}.union(*(edges[number] for number in live))
    for node in on_it:
        anchor[node] = node
    adjacent: list[list[int]] = [[] for _ in range(n_nodes)]
    is_live = set(live)
    for number, (u, v) in enumerate(edges):
        if number not in is_live:
            adjacent[u].append(v)
            adjacent[v].append(u)
    waiting = list(on_it)
    while waiting:
        node = waiting.pop()
        for other in adjacent[node]:
            if anchor[other] < 0:
                anchor[other] = anchor[node]
                waiting.append(other)
    return LiveBlock(tuple(live), tuple(anchor))
