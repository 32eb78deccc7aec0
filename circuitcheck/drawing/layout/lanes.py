"""Layers from left to right: symbols in the even ones, labels of wires in the odd ones between.

A wire that spans several columns gets a lane in every layer that it passes, so that lines bend
only in the gaps between layers, where there is no lettering.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from circuitcheck.drawing.layout.columns import Columns
from circuitcheck.drawing.layout.graph import Edge, Node
from circuitcheck.record import record

GROUNDS = ("frame", "ground stud")
"""Kinds of part that belong at the foot of the drawing."""


@dataclass(eq=False)
class Slot:
    """One place in one layer: a node, or the lane of an edge that passes.

    `group` holds slots together: a handle, a connector, the cores of one cable. `row` is the
    height of its conductor on the sheet, `above` and `below` the room it needs. [mm]
    """

    number: int
    layer: int
    group: str
    node: Node | None = None
    edge: Edge | None = None
    has_label: bool = False
    sleeve_at_left: bool = False
    sleeve_at_right: bool = False
    loop: str = ""
    before: list[Slot] = field(default_factory=list)
    after: list[Slot] = field(default_factory=list)
    row: float = 0.0
    above: float = 0.0
    below: float = 0.0


@record
class Hop:
    """The piece of an edge between two neighbouring layers."""

    left: Slot
    right: Slot
    edge: Edge


@record
class Lanes:
    """Slots by layer and hops by gap; gap g lies between layers g and g + 1.

    `turns` pairs each load with its return slot; their line runs at the right of the last layer.
    `drawn` keeps what does not depend on the order, so that a new order finds it; `pieces` keeps
    the symbols of nodes, which all sections of one diagram share.
    """

    layers: list[list[Slot]]
    hops: tuple[tuple[Hop, ...], ...]
    turns: tuple[tuple[Slot, Slot], ...]
    drawn: dict[tuple[object, ...], Any] = field(default_factory=dict, compare=False, repr=False)
    pieces: dict[tuple[object, ...], Any] = field(default_factory=dict, compare=False, repr=False)


def lanes_of(columns: Columns, pieces: dict[tuple[object, ...], Any] | None = None) -> Lanes:
    """Return slots and hops in file order; the order within a layer is settled later.

    `pieces` are the symbols that other sections of the same diagram have drawn.
    """
    layers: list[list[Slot]] = [[] for _ in range(2 * columns.count - 1)]
    slot_of: dict[int, Slot] = {}
    count = 0
    for node, column, stack in zip(columns.nodes, columns.column_of, columns.stack_of, strict=True):
        slot_of[node.number] = Slot(count, 2 * column, f"stack {stack}", node=node)
        layers[2 * column].append(slot_of[node.number])
        count += 1
    label_layer, loops = _label_layers(columns)
    hops: list[list[Hop]] = [[] for _ in layers[1:]]
    for edge in columns.edges:
        first, last = slot_of[edge.start.number], slot_of[edge.end.number]
        at = first
        for layer in range(first.layer + 1, last.layer):
            lane = Slot(count, layer, f"lane {count}", edge=edge)
            count += 1
            _furnish(lane, first.layer, last.layer, label_layer.get(edge.number), loops)
            layers[layer].append(lane)
            _hop(hops, at, lane, edge)
            at = lane
        _hop(hops, at, last, edge)
    shared = {} if pieces is None else pieces
    return Lanes(layers, tuple(tuple(gap) for gap in hops), _turns(slot_of), pieces=shared)


def _hop(hops: list[list[Hop]], left: Slot, right: Slot, edge: Edge) -> None:
    hops[left.layer].append(Hop(left, right, edge))
    left.after.append(right)
    right.before.append(left)


def _furnish(lane: Slot, first: int, last: int, label: int | None, loops: dict[str, int]) -> None:
    lane.has_label = lane.layer == label
    if lane.edge is None or lane.edge.wire is None:
        return
    wire = lane.edge.wire
    # The sleeve is at the wire's end; where it goes on elsewhere it has none.
    goes_on = [node.kind == "reference" for node in (lane.edge.start, lane.edge.end)]
    lane.sleeve_at_left = lane.layer == first + 1 and not goes_on[0]
    at_load = lane.edge.end.kind == "load return" and len(lane.edge.end.before) == 1
    lane.sleeve_at_right = lane.layer == last - 1 and not at_load and not goes_on[1]
    if wire.cable is not None and loops.get(wire.cable) == lane.layer:
        lane.group = f"cable {wire.cable}"
        lane.loop = wire.cable


def _label_layers(columns: Columns) -> tuple[dict[int, int], dict[str, int]]:
    """Return the layer of each label by edge, and the layer of the loop of each cable by name.

    A wire is labelled at its left end; cores of one cable side by side where they share a layer.
    """
    spans: dict[int, range] = {}
    cores: dict[str, list[int]] = {}
    for edge in columns.edges:
        if edge.wire is None and edge.bond is None:
            continue
        start, end = columns.column_of[edge.start.number], columns.column_of[edge.end.number]
        spans[edge.number] = range(2 * start + 1, 2 * end, 2)
        if edge.wire is not None and edge.wire.cable is not None:
            cores.setdefault(edge.wire.cable, []).append(edge.number)
    chosen: dict[int, int] = {}
    loops: dict[str, int] = {}
    for cable, numbers in cores.items():
        shared = set(spans[numbers[0]]).intersection(*(spans[n] for n in numbers[1:]))
        if shared:
            loops[cable] = min(shared)
            chosen |= dict.fromkeys(numbers, loops[cable])
    for number in spans:
        chosen.setdefault(number, spans[number][0])
    return chosen, loops


def _turns(slots: Mapping[int, Slot]) -> tuple[tuple[Slot, Slot], ...]:
    return tuple(
        (slot, slots[slot.node.back.number])
        for slot in slots.values()
        if slot.node is not None and slot.node.back is not None
    )
