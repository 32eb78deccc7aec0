"""A diagram too large for one sheet cut into sections, each a diagram of its own.

What cannot part stays together: the contacts of a handle, a relay with its coil, a battery's
posts. A wire between two sections ends in a reference on either; a frame is one conductor and
is drawn again on every section that has a wire to it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from circuitcheck.drawing.layout.columns import AT_SUPPLY
from circuitcheck.drawing.layout.graph import Diagram, Edge, Node
from circuitcheck.record import record

REFERENCE, FRAME = "reference", "frame"
BATTERY = ("battery plus", "battery minus")


@record
class Section:
    """One part of a diagram as a diagram of its own.

    `leaving` and `entering` are the references by the number of the wire's edge in the whole.
    """

    diagram: Diagram
    leaving: Mapping[int, Node]
    entering: Mapping[int, Node]


@record
class Units:
    """The pieces of a diagram that cannot be cut, and what holds them together.

    `of_node` gives the unit of each node but of frames with a wire; each bond is a unit too.
    `order` is that of a walk from the supply, branch by branch. `ties` counts the wires between
    two units; `size` is how many wires end at a unit. `nodes_of` and `edges_of` give the nodes of
    each unit and the edges that end at it.
    """

    diagram: Diagram
    of_node: Mapping[int, int]
    order: tuple[int, ...]
    ties: Mapping[int, Mapping[int, float]]
    size: Mapping[int, int]
    nodes_of: Mapping[int, Sequence[Node]]
    edges_of: Mapping[int, Sequence[Edge]]

    def wires(self, group: Iterable[int]) -> int:
        """Count the wires that a section with these units shows."""
        edges = {edge.number: edge for unit in group for edge in self.edges_of[unit]}
        return sum(edge.wire is not None for edge in edges.values())


_WIRE, _FIRST_TAP, _BESIDE_BOND = 1.0, 2.5, 0.2
"""What it costs to cut a wire, to part a battery from the first tap, a bond from its frames."""
_SIDE_BY_SIDE = 0.9
"""What it costs to part two cavities of one connector, or two taps, against cutting a wire."""


def units_of(diagram: Diagram) -> Units:
    """Return the units of a diagram."""
    wired = {n.number for edge in diagram.edges for n in (edge.start, edge.end)}
    parent = {
        node.number: node.number
        for node in diagram.nodes
        if node.kind != FRAME or node.number not in wired
    }

    def root(number: int) -> int:
        while parent[number] != number:
            parent[number] = parent[parent[number]]
            number = parent[number]
        return number

    for first, second in _together(diagram):
        kept, gone = sorted((root(first), root(second)))
        parent[gone] = kept
    of_node = {number: root(number) for number in parent}
    ties: dict[int, dict[int, float]] = {unit: {} for unit in sorted(set(of_node.values()))}
    size = dict.fromkeys(ties, 1)
    for start, end, weight in _pulls(diagram):
        ends = of_node.get(start), of_node.get(end)
        for unit, other in (ends, ends[::-1]):
            if unit is not None and weight == _WIRE:
                size[unit] += 1
            if unit is not None and other is not None and unit != other:
                ties[unit][other] = ties[unit].get(other, 0.0) + weight
    for edge in diagram.edges:
        if edge.start.kind == edge.end.kind == FRAME:
            _tie_bond(diagram, edge, of_node, ties)
            size[_bond_unit(edge)] = 1
    nodes_of: dict[int, list[Node]] = {unit: [] for unit in ties}
    for node in diagram.nodes:
        if node.number in of_node:
            nodes_of[of_node[node.number]].append(node)
    order = tuple(_walk(diagram, of_node, ties))
    return Units(diagram, of_node, order, ties, size, nodes_of, _edges_of(diagram, of_node, ties))


def _edges_of(
    diagram: Diagram, of_node: Mapping[int, int], units: Iterable[int]
) -> dict[int, list[Edge]]:
    """Return the edges by the units at which they end; a bond ends at its own."""
    edges_of: dict[int, list[Edge]] = {unit: [] for unit in units}
    for edge in diagram.edges:
        ends = {of_node[n.number] for n in (edge.start, edge.end) if n.kind != FRAME}
        for unit in ends or {_bond_unit(edge)}:
            edges_of[unit].append(edge)
    return edges_of


def _bond_unit(bond: Edge) -> int:
    """A bond between two frames is a unit of its own: both may be drawn wherever it is."""
    return -1 - bond.number


def _tie_bond(
    diagram: Diagram,
    bond: Edge,
    of_node: Mapping[int, int],
    ties: dict[int, dict[int, float]],
) -> None:
    """A bond stands best where its frames are drawn anyway."""
    frames = {bond.start.number, bond.end.number}
    own = ties.setdefault(_bond_unit(bond), {})
    for edge in diagram.edges:
        for node, other in ((edge.start, edge.end), (edge.end, edge.start)):
            if node.number in frames and other.number in of_node:
                unit = of_node[other.number]
                own[unit] = ties[unit][_bond_unit(bond)] = _BESIDE_BOND


def _together(diagram: Diagram) -> Iterable[tuple[int, int]]:
    """Pairs of nodes that stay on one sheet."""
    firsts: dict[str, int] = {}
    for node in diagram.nodes:
        if node.family and node.kind != "cavity":
            yield firsts.setdefault(f"part {node.family}", node.number), node.number
        if node.kind in BATTERY and node.part is not None:
            yield firsts.setdefault(f"battery {node.part.name}", node.number), node.number
        if node.back is not None:
            yield node.number, node.back.number
    for edge in diagram.edges:
        if edge.wire is None and FRAME not in (edge.start.kind, edge.end.kind):
            yield edge.start.number, edge.end.number


def _pulls(diagram: Diagram) -> Iterable[tuple[int, int, float]]:
    for edge in diagram.edges:
        yield edge.start.number, edge.end.number, _WIRE
    last: dict[str, int] = {}
    for node in diagram.nodes:
        if node.kind == "cavity" or node.kind in AT_SUPPLY:
            beside = node.family or "supply"
            if beside in last:
                yield last[beside], node.number, _SIDE_BY_SIDE
            last[beside] = node.number
    taps = [node for node in diagram.nodes if node.kind == "supply tap"]
    for node in diagram.nodes:
        if node.kind in BATTERY and taps:
            yield node.number, taps[0].number, _FIRST_TAP


def _walk(
    diagram: Diagram, of_node: Mapping[int, int], ties: Mapping[int, Mapping[int, float]]
) -> list[int]:
    """Units in the order of a walk along the wires, the supply first, branch by branch."""
    at_supply = [of_node[node.number] for node in diagram.nodes if node.kind in AT_SUPPLY]
    met: dict[int, None] = {}
    for start in dict.fromkeys((*at_supply, *ties)):
        ahead = [start]
        while ahead:
            unit = ahead.pop()
            if unit not in met:
                met[unit] = None
                ahead += [other for other in sorted(ties[unit], reverse=True) if other not in met]
    return list(met)


def section_of(units: Units, group: Iterable[int]) -> Section:
    """Return the section that has these units."""
    return _Cut(units, frozenset(group)).section()


@dataclass
class _Cut:
    """Copies the nodes and edges of one section; one use only."""

    units: Units
    group: frozenset[int]
    nodes: list[Node] = field(default_factory=list)
    edges: list[Edge] = field(default_factory=list)
    copy_of: dict[int, Node] = field(default_factory=dict)
    leaving: dict[int, Node] = field(default_factory=dict)
    entering: dict[int, Node] = field(default_factory=dict)

    def section(self) -> Section:
        """Return the section, its nodes and edges in the order of the whole."""
        units = self.units
        shown = {node.number: node for unit in self.group for node in units.nodes_of[unit]}
        ending = {edge.number: edge for unit in self.group for edge in units.edges_of[unit]}
        for edge in ending.values():
            shown |= {n.number: n for n in (edge.start, edge.end) if n.kind == FRAME}
        for number in sorted(shown):
            self._copy(shown[number])
        for number, copy in self.copy_of.items():
            back = shown[number].back
            if back is not None:
                copy.back = self.copy_of[back.number]
        for number in sorted(ending):
            self._edge(ending[number])
        diagram = Diagram(units.diagram.harness, tuple(self.nodes), tuple(self.edges))
        return Section(diagram, self.leaving, self.entering)

    def _copy(self, node: Node) -> Node:
        number = len(self.nodes)
        copy = replace(node, number=number, before=[], after=[], back=None, cut_from=node)
        self.nodes.append(copy)
        self.copy_of[node.number] = copy
        return copy

    def _edge(self, edge: Edge) -> None:
        of_node = self.units.of_node
        ends = [node for node in (edge.start, edge.end) if node.kind != FRAME]
        here = [of_node[node.number] in self.group for node in ends]
        if all(here):
            self._join(edge, self.copy_of[edge.start.number], self.copy_of[edge.end.number])
        elif here[0]:
            self.leaving[edge.number] = self._reference(edge.start)
            self._join(edge, self.copy_of[edge.start.number], self.leaving[edge.number])
        else:
            self.entering[edge.number] = self._reference(edge.start)
            self._join(edge, self.entering[edge.number], self.copy_of[edge.end.number])

    def _reference(self, beside: Node) -> Node:
        node = Node(len(self.nodes), REFERENCE, None, on_return=beside.on_return)
        self.nodes.append(node)
        return node

    def _join(self, edge: Edge, start: Node, end: Node) -> None:
        joined = replace(edge, number=len(self.edges), start=start, end=end)
        self.edges.append(joined)
        start.after.append(joined)
        end.before.append(joined)
