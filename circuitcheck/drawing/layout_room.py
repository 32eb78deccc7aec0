"""How much room every slot and layer needs, before anything has a place."""

from __future__ import annotations

from dataclasses import replace

from circuitcheck.drawing.layout_lanes import Lanes, Slot
from circuitcheck.drawing.layout_pieces import (
    NAME_LETTERS,
    Piece,
    heading_above,
    heading_width,
    piece_of,
)
from circuitcheck.drawing.layout_sleeves import (
    LaneText,
    lane_above_mm,
    lane_below_mm,
    lane_text,
    lane_width_mm,
    loop_place_mm,
)
from circuitcheck.drawing.layout_supply import supply_room
from circuitcheck.drawing.layout_switch import (
    CONTACT_BELOW_MM,
    HandleShape,
    contact_above_mm,
    electrical_note,
    handle_shape,
)
from circuitcheck.drawing.marks import Notes
from circuitcheck.drawing.text_size import shortened, text_width_mm

CONNECTOR_HALF_MM = 5.0
CONNECTOR_PADS_MM = (1.2, 1.6)
HANDLE_PADS_MM = (1.4, 1.8)
NOTE_STEP_MM = 3.8


class Room:
    """Pieces, lane texts, outlines' pads and widths; sets `above` and `below` of every slot."""

    def __init__(self, lanes: Lanes, notes: Notes, label_lines: int):
        self.lanes = lanes
        self.notes = notes
        self.pieces: dict[int, Piece] = {}
        self.texts: dict[int, LaneText] = {}
        self.stacks: dict[str, list[Slot]] = {}
        self.shapes: dict[str, HandleShape] = {}
        self.pads: dict[str, tuple[float, float]] = {}
        self.loops: dict[str, list[Slot]] = {}
        self.slot_of = {slot.number: slot for layer in lanes.layers for slot in layer}
        for layer in lanes.layers:
            for slot in layer:
                if slot.node is not None and slot.node.family:
                    self.stacks.setdefault(slot.group, []).append(slot)
        for group, slots in self.stacks.items():
            self._stack(group, slots)
        for layer in lanes.layers:
            for slot in layer:
                self._slot(slot, label_lines)
        self._loops()

    def title(self, group: str) -> str:
        """Return the name on the outline of a group; parts shown apart are counted."""
        node = self.stacks[group][0].node
        name = shortened(node.family, NAME_LETTERS) if node else ""
        alike = [
            g
            for g, s in self.stacks.items()
            if node and s[0].node and s[0].node.family == node.family
        ]
        return name if len(alike) == 1 else f"{name} ({alike.index(group) + 1}/{len(alike)})"

    def west_east(self, layer: int) -> tuple[float, float]:
        """Return the room left and right of the middle of a layer. [mm]"""
        if layer % 2:
            width = max(
                (lane_width_mm(slot, self.texts[slot.number]) for slot in self.lanes.layers[layer]),
                default=6.0,
            )
            return width / 2.0, width / 2.0
        west, east = 1.0, 1.0
        for slot in self.lanes.layers[layer]:
            left, right = self._reach(slot)
            west, east = max(west, left), max(east, right)
        return west, east

    def _reach(self, slot: Slot) -> tuple[float, float]:
        if slot.node is None:
            return 0.0, 0.0
        if slot.group in self.shapes:
            shape = self.shapes[slot.group]
            title = heading_width(slot.node.family, self.title(slot.group), self.notes)
            nodes = [s.node for s in self.stacks[slot.group] if s.node]
            note = [text_width_mm(line) for line in electrical_note(nodes, shape)]
            return -shape.left, max(shape.right, shape.left + max(title, *note, 0.0))
        if slot.group in self.stacks:
            title = heading_width(slot.node.family, self.title(slot.group), self.notes)
            half = max(CONNECTOR_HALF_MM, title / 2.0)
            return half, half
        if slot.number not in self.pieces:
            return 0.0, 0.0
        piece = self.pieces[slot.number]
        return -piece.box.left, piece.box.right

    def _stack(self, group: str, slots: list[Slot]) -> None:
        nodes = [slot.node for slot in slots if slot.node]
        rise = heading_above(nodes[0].family, self.notes) + 1.2
        if nodes[0].kind == "contact":
            self.shapes[group] = handle_shape(nodes)
            top, bottom = HANDLE_PADS_MM
            bottom += NOTE_STEP_MM * len(electrical_note(nodes, self.shapes[group])) + 0.6
        else:
            top, bottom = CONNECTOR_PADS_MM
        self.pads[group] = (top + rise, bottom)

    def _slot(self, slot: Slot, label_lines: int) -> None:
        if slot.edge is not None:
            text = lane_text(slot, label_lines, self.notes)
            self.texts[slot.number] = text
            slot.above, slot.below = lane_above_mm(text), lane_below_mm(slot, text)
        elif slot.node is not None and slot.layer == 0:
            slot.above, slot.below = supply_room(slot, self.notes)
        elif slot.node is not None and slot.node.kind == "contact":
            nodes = [s.node for s in self.stacks[slot.group] if s.node]
            slot.above, slot.below = contact_above_mm(slot.node, nodes), CONTACT_BELOW_MM
        elif slot.node is not None:
            piece = piece_of(slot.node, self.notes)
            self.pieces[slot.number] = piece
            slot.above, slot.below = max(0.6, -piece.box.top), max(0.6, piece.box.bottom)

    def _loops(self) -> None:
        """A loop round the cores of a cable rises over the first and hangs below the last."""
        for layer in self.lanes.layers:
            for slot in layer:
                if slot.loop:
                    self.loops.setdefault(slot.group, []).append(slot)
        for group, slots in self.loops.items():
            self.pads[group] = (1.0, 0.6)
            place = loop_place_mm(slots[0].loop, [self.texts[s.number] for s in slots])
            for slot in slots:
                self.texts[slot.number] = replace(self.texts[slot.number], loop_at=place)
                slot.above, slot.below = max(slot.above, 6.6), max(slot.below, 2.4)
