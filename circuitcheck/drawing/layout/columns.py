"""Columns: which drawn things stand under one another, counted from the supply at the left.

A node stands one column right of the last thing before it (longest path). Contacts of one handle
and cavities of one connector share a column as far as no wire leads from one to another.
"""

from __future__ import annotations

from collections.abc import Iterable

from circuitcheck.drawing.layout.graph import Diagram, Edge, Node
from circuitcheck.record import record

AT_SUPPLY = ("battery plus", "battery minus", "supply tap")


@record
class Columns:
    """The diagram with a column for every node; `stack_of` numbers the nodes that stay together.

    Column 0 holds battery and taps, the last one the loads.
    """

    nodes: tuple[Node, ...]
    edges: tuple[Edge, ...]
    column_of: tuple[int, ...]
    stack_of: tuple[int, ...]

    @property
    def count(self) -> int:
        """How many columns there are."""
        return max(self.column_of) + 1


def columns_of(diagram: Diagram) -> Columns:
    """Return the column of every node."""
    return _Sorting(diagram).columns()


class _Sorting:
    """Keeps the stacks (sets of nodes in one column) while they are put together; one use only."""

    def __init__(self, diagram: Diagram):
        self.nodes = list(diagram.nodes)
        self.edges = list(diagram.edges)
        self.stack = list(range(len(self.nodes)))

    def columns(self) -> Columns:
        self._stack_what_cannot_part()
        self._turn_back_rings()
        for family in dict.fromkeys(node.family for node in self.nodes if node.family):
            self._stack_family([node for node in self.nodes if node.family == family])
        for pair in self._posts():
            self._unite(pair[0].number, pair[1].number)
        return Columns(
            tuple(self.nodes), tuple(self.edges), tuple(self._longest_path()), tuple(self.stack)
        )

    def _posts(self) -> list[tuple[Node, Node]]:
        plus = [node for node in self.nodes if node.kind == "battery plus"]
        minus = {n.part.name: n for n in self.nodes if n.part and n.kind == "battery minus"}
        return [(node, minus[node.part.name]) for node in plus if node.part]

    def _unite(self, first: int, second: int) -> None:
        kept, gone = sorted((self.stack[first], self.stack[second]))
        self.stack = [kept if stack == gone else stack for stack in self.stack]

    def _stack_what_cannot_part(self) -> None:
        """A relay's coil stays with its contacts; a bar joins contacts that share a terminal."""
        firsts: dict[str, int] = {}
        for node in self.nodes:
            if node.bundle:
                self._unite(firsts.setdefault(node.family, node.number), node.number)
        contacts = [node for node in self.nodes if node.kind == "contact"]
        for node in contacts:
            for other in contacts[: contacts.index(node)]:
                if {node.left, node.right} & {other.left, other.right}:
                    self._unite(node.number, other.number)

    def _stack_family(self, family: list[Node]) -> None:
        for node in family:
            for other in family[: family.index(node)]:
                first, second = self.stack[node.number], self.stack[other.number]
                if first == second:
                    continue
                onward = self._onward()
                if not _leads(onward, first, second) and not _leads(onward, second, first):
                    self._unite(node.number, other.number)

    def _onward(self) -> dict[int, list[int]]:
        onward: dict[int, list[int]] = {}
        for edge in self.edges:
            start, end = self.stack[edge.start.number], self.stack[edge.end.number]
            onward.setdefault(start, []).append(end)
        return onward

    def _turn_back_rings(self) -> None:
        """A wire that closes a ring is led around, from joint to joint."""
        while True:
            onward = self._onward()
            ring = [
                edge
                for edge in self.edges
                if edge.wire is not None
                and _leads(onward, self.stack[edge.end.number], self.stack[edge.start.number])
            ]
            if not ring:
                return
            self._turn_back(ring[-1])

    def _turn_back(self, edge: Edge) -> None:
        after, before = self._joint(edge.start), self._joint(edge.end)
        edge.start.after.remove(edge)
        edge.end.before.remove(edge)
        self._plain(edge.start, after)
        self._plain(before, edge.end)
        edge.start, edge.end = before, after
        edge.forward = not edge.forward
        before.after.append(edge)
        after.before.append(edge)

    def _joint(self, beside: Node) -> Node:
        node = Node(len(self.nodes), "joint", None, on_return=beside.on_return)
        self.nodes.append(node)
        self.stack.append(node.number)
        return node

    def _plain(self, start: Node, end: Node) -> None:
        edge = Edge(max((e.number for e in self.edges), default=-1) + 1, start, end)
        self.edges.append(edge)
        start.after.append(edge)
        end.before.append(edge)

    def _longest_path(self) -> list[int]:
        column = dict.fromkeys(self.stack, 1)
        for node in self.nodes:
            if node.kind in AT_SUPPLY:
                column[self.stack[node.number]] = 0
        onward = self._onward()
        for stack in _topological(self.stack, onward):
            for end in onward.get(stack, ()):
                column[end] = max(column[end], column[stack] + 1)
        loads = {
            self.stack[node.number]
            for node in self.nodes
            if node.at_load or node.kind == "load return"
        }
        others = [c for stack, c in column.items() if stack not in loads]
        last = max([*(c + 1 for c in others), *(column[stack] for stack in loads)], default=0)
        for stack in loads:
            column[stack] = last
        return [column[stack] for stack in self.stack]


def _leads(onward: dict[int, list[int]], start: int, goal: int) -> bool:
    """Return whether one or more steps lead from `start` to `goal`, or both are the same."""
    seen, ahead = {start}, [start]
    while ahead:
        at = ahead.pop()
        if at == goal:
            return True
        for near in onward.get(at, ()):
            if near not in seen:
                seen.add(near)
                ahead.append(near)
    return False


def _topological(stacks: Iterable[int], onward: dict[int, list[int]]) -> list[int]:
    every = list(dict.fromkeys(stacks))
    waiting = dict.fromkeys(every, 0)
    for ends in onward.values():
        for end in ends:
            waiting[end] += 1
    ready = [stack for stack in every if not waiting[stack]]
    ordered: list[int] = []
    while ready:
        stack = ready.pop(0)
        ordered.append(stack)
        for end in onward.get(stack, ()):
            waiting[end] -= 1
            if not waiting[end]:
                ready.append(end)
    return ordered
