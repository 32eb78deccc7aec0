"""How much room every slot and layer needs, before anything has a place."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from circuitcheck.drawing.layout.block import Block
from circuitcheck.drawing.layout.connector import ConnectorBlock
from circuitcheck.drawing.layout.converter import ConverterBlock
from circuitcheck.drawing.layout.graph import Node
from circuitcheck.drawing.layout.heading import NAME_LETTERS, Piece
from circuitcheck.drawing.layout.lanes import Lanes, Slot
from circuitcheck.drawing.layout.pieces import piece_of
from circuitcheck.drawing.layout.pull_hold import PullHoldBlock
from circuitcheck.drawing.layout.relay import RelayBlock
from circuitcheck.drawing.layout.sleeves import (
    LaneText,
    lane_above_mm,
    lane_below_mm,
    lane_text,
    lane_width_mm,
    loop_place_mm,
)
from circuitcheck.drawing.layout.supply import supply_room
from circuitcheck.drawing.layout.switch import HandleBlock
from circuitcheck.drawing.marks import Notes
from circuitcheck.drawing.text_size import shortened

_BLOCKS: Mapping[str, type[Block]] = {
    "contact": HandleBlock,
    "cavity": ConnectorBlock,
    "relay contact": RelayBlock,
    "relay throw": RelayBlock,
    "relay coil": RelayBlock,
    "converter": ConverterBlock,
    "converter minus": ConverterBlock,
    "pull winding": PullHoldBlock,
    "hold winding": PullHoldBlock,
}


class Room:
    """Pieces, blocks, lane texts and widths; sets `above` and `below` of every slot."""

    def __init__(self, lanes: Lanes, notes: Notes, label_lines: int):
        self.lanes = lanes
        self.notes = notes
        self.pieces: dict[int, Piece] = {}
        self.texts: dict[int, LaneText] = {}
        self.blocks: dict[str, Block] = {}
        self.pads: dict[str, tuple[float, float]] = {}
        self.loops: dict[str, list[Slot]] = {}
        self.slot_of = {slot.number: slot for layer in lanes.layers for slot in layer}
        self._blocks()
        for layer in lanes.layers:
            for slot in layer:
                self._slot(slot, label_lines)
        self._loops()

    def _blocks(self) -> None:
        """Put the slots of each part together; parts shown apart are counted in their titles."""
        stacks: dict[str, list[Slot]] = {}
        families: dict[str, list[str]] = {}
        for layer in self.lanes.layers:
            for slot in layer:
                if slot.node is not None and slot.node.family:
                    stacks.setdefault(slot.group, []).append(slot)
        for group, slots in stacks.items():
            if slots[0].node is not None:
                families.setdefault(slots[0].node.family, []).append(group)
        for family, groups in families.items():
            before, count = self.notes.shown_in.get(family, (0, len(groups)))
            for at, group in enumerate(groups, start=before + 1):
                node = stacks[group][0].node
                if node is None:
                    continue
                title = shortened(family, NAME_LETTERS)
                title += f" ({at}/{count})" if count > 1 else ""
                block, pads = self._block(_BLOCKS[node.kind], stacks[group], title)
                self.blocks[group], self.pads[group] = block, pads

    def _block(
        self, kind: type[Block], slots: Sequence[Slot], title: str
    ) -> tuple[Block, tuple[float, float]]:
        """Return the slots of one part as one, in this order, and the room around them."""
        key = ("block", title, *(slot.number for slot in slots))
        if key not in self.lanes.drawn:
            block = kind(slots, title, self.notes)
            self.lanes.drawn[key] = block, block.pads
        drawn: tuple[Block, tuple[float, float]] = self.lanes.drawn[key]
        return drawn

    def west_east(self, layer: int) -> tuple[float, float]:
        """Return the room left and right of the middle of a layer. [mm]"""
        if layer % 2:
            width = max(
                (lane_width_mm(slot, self.texts[slot.number]) for slot in self.lanes.layers[layer]),
                default=0.0,
            )
            return width / 2.0, width / 2.0
        west, east = 1.0, 1.0
        for slot in self.lanes.layers[layer]:
            left, right = self._reach(slot)
            west, east = max(west, left), max(east, right)
        return west, east

    def _reach(self, slot: Slot) -> tuple[float, float]:
        if slot.group in self.blocks:
            return self.blocks[slot.group].reach
        if slot.number not in self.pieces:
            return 0.0, 0.0
        piece = self.pieces[slot.number]
        return -piece.box.left, piece.box.right

    def _slot(self, slot: Slot, label_lines: int) -> None:
        if slot.edge is not None:
            self.texts[slot.number], slot.above, slot.below = self._text(slot, label_lines)
        elif slot.node is not None and slot.layer == 0:
            slot.above, slot.below = supply_room(slot, self.lanes, self.notes)
        elif slot.node is not None and slot.group in self.blocks:
            slot.above, slot.below = self.blocks[slot.group].room(slot.node)
        elif slot.node is not None:
            piece = self._piece(slot.node)
            self.pieces[slot.number] = piece
            slot.above, slot.below = max(0.6, -piece.box.top), max(0.6, piece.box.bottom)

    def _text(self, slot: Slot, label_lines: int) -> tuple[LaneText, float, float]:
        """Return what is written along a lane, and its room above and below."""
        key = "text", slot.number, label_lines
        if key not in self.lanes.drawn:
            text = lane_text(slot, label_lines, self.notes)
            self.lanes.drawn[key] = text, lane_above_mm(text), lane_below_mm(slot, text)
        written: tuple[LaneText, float, float] = self.lanes.drawn[key]
        return written

    def _piece(self, node: Node) -> Piece:
        """Return the symbol of a node; all references that say the same look the same."""
        key: tuple[object, ...]
        if node.kind == "reference":
            key = "reference", bool(node.before), node.reference, node.goes_on
        else:
            key = node.cut_from or node, len(node.before) > 1, len(node.after) > 1
        pieces = self.lanes.pieces
        if key not in pieces:
            pieces[key] = piece_of(node, self.notes)
        piece: Piece = pieces[key]
        return piece

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
