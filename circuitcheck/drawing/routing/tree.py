"""Branches as trees: from a root along the longest way, other runs off it at each place.

A branch that would close a ring ends at a reference to the place where it meets the others.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from circuitcheck.model.branch import Branch
from circuitcheck.model.connector import HALVES
from circuitcheck.model.harness import Harness
from circuitcheck.model.supply_tap import SupplyTap
from circuitcheck.model.ways import Way
from circuitcheck.record import record

_EACH_RUN_M = 0.2
"""Counts for every run when the longest way is looked for, so that of two alike more is passed."""
_ASSUMED_M = 1.0


@record
class Run:
    """A branch as it is drawn, from left to right; `forward` where its start is on the left.

    `branch` is None between the two halves of a mated connector. `weight_m` is its length, or what
    stands for it where it is not measured. `cut` is True for the stub of a branch that is drawn
    elsewhere.
    """

    branch: Branch | None
    forward: bool
    weight_m: float
    cut: bool = False


@dataclass
class Node:
    """A place with the runs that leave it; the last one goes straight on.

    `reference` says where a branch that closes a ring leads to. `mark` is the letter by which the
    drawing goes on elsewhere: both places bear it.
    """

    place: str
    runs: list[tuple[Run, Node]] = field(default_factory=list)
    reference: str = ""
    mark: str = ""
    reach_m: float = 0.0

    def in_order(self) -> None:
        """Sort the runs so that the longest way on comes last, in this and all further places."""
        every = [self]
        for node in every:
            every += [other for _, other in node.runs]
        for node in reversed(every):
            node.runs.sort(key=lambda pair: pair[0].weight_m + _EACH_RUN_M + pair[1].reach_m)
            if node.runs:
                run, other = node.runs[-1]
                node.reach_m = run.weight_m + _EACH_RUN_M + other.reach_m


Edges = Mapping[str, list[tuple[Run, str]]]


def trees_of(harness: Harness, branches: Iterable[Branch], ways: Mapping[str, Way]) -> list[Node]:
    """Return one tree for each group of branches that hang together, in order of the branches.

    `ways` are those of the wires along these branches.
    """
    every = tuple(branches)
    edges = _edges(every, _weights(harness, every, ways))
    roots: list[Node] = []
    seen: set[str] = set()
    for place in edges:
        if place not in seen:
            members = _reached(edges, place)
            seen |= members
            roots.append(_rooted(harness, edges, members))
    return roots


def _weights(
    harness: Harness, branches: Iterable[Branch], ways: Mapping[str, Way]
) -> dict[str, float]:
    """Return the length to draw each branch in; one not measured takes its share of its wires."""
    shares: dict[str, list[float]] = {}
    for name, way in ways.items():
        share_m = harness.wires[name].length_m.nominal / max(len(way.branches), 1)
        for branch in way.branches:
            shares.setdefault(branch, []).append(share_m)
    weights = {}
    for each in branches:
        of_wires = shares.get(each.name, [_ASSUMED_M])
        measured = each.length_m
        mean_m = sum(of_wires) / len(of_wires)
        weights[each.name] = mean_m if measured is None else measured.nominal
    return weights


def _edges(branches: Iterable[Branch], weights: Mapping[str, float]) -> Edges:
    edges: dict[str, list[tuple[Run, str]]] = {}
    for branch in branches:
        weight_m = weights[branch.name]
        edges.setdefault(branch.start, []).append((Run(branch, True, weight_m), branch.end))
        edges.setdefault(branch.end, []).append((Run(branch, False, weight_m), branch.start))
    for place in list(edges):
        name, _, half = place.rpartition(".")
        if half == HALVES[0] and f"{name}.{HALVES[1]}" in edges:
            other = f"{name}.{HALVES[1]}"
            edges[place].append((Run(None, True, 0.0), other))
            edges[other].append((Run(None, False, 0.0), place))
    return edges


def _reached(edges: Edges, place: str) -> set[str]:
    found, waiting = {place}, [place]
    while waiting:
        for _, other in edges[waiting.pop()]:
            if other not in found:
                found.add(other)
                waiting.append(other)
    return found


def _rooted(harness: Harness, edges: Edges, members: set[str]) -> Node:
    """Return the tree with an end of its longest way as root, the end nearer the supply first."""
    order = {name: index for index, name in enumerate(harness.parts)}

    def rank(place: str) -> tuple[bool, int]:
        part = harness.parts.get(place.partition(".")[0])
        return not isinstance(part, SupplyTap), order.get(place.partition(".")[0], len(order))

    start = min(members, key=rank)
    first = _farthest(edges, start)
    second = _farthest(edges, first)
    root = _grown(edges, min((first, second), key=rank))
    root.in_order()
    return root


def _farthest(edges: Edges, start: str) -> str:
    best, reach = start, 0.0
    seen = {start}
    waiting = [(start, 0.0)]
    while waiting:
        place, length = waiting.pop()
        if length > reach:
            best, reach = place, length
        for run, other in edges[place]:
            if other not in seen:
                seen.add(other)
                waiting.append((other, length + run.weight_m + _EACH_RUN_M))
    return best


def _grown(edges: Edges, place: str) -> Node:
    """Grow a tree from a place, nearest places first; each branch is drawn once."""
    root = Node(place)
    nodes = {place: root}
    drawn: set[object] = set()
    waiting = [root]
    while waiting:
        node = waiting.pop(0)
        for run, other in edges[node.place]:
            key = run.branch.name if run.branch else frozenset((node.place, other))
            if key in drawn:
                continue
            drawn.add(key)
            if other in nodes:
                if run.branch is not None:
                    node.runs.append((run, Node(other, reference=f"to {other}")))
                continue
            nodes[other] = Node(other)
            node.runs.append((run, nodes[other]))
            waiting.append(nodes[other])
    return root
