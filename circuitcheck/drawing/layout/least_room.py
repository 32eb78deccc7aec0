"""What a diagram takes at the least and at the most, told before it is drawn.

What has no room is soon refused, and what surely has is not drawn only to be measured.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from circuitcheck.drawing.geometry import Box
from circuitcheck.drawing.layout.lanes import Lanes, Slot
from circuitcheck.drawing.layout.lines import Places
from circuitcheck.drawing.layout.room import Room
from circuitcheck.drawing.layout.rows import CLEARANCE_MM
from circuitcheck.drawing.layout.supply import least_supply_width_mm
from circuitcheck.drawing.marks import Notes

LEAST_GAP_MM = 1.25
_UNDRAWN_MM = 2.0 * LEAST_GAP_MM + 2.0
"""Room in which nothing may be drawn: a first layer without a supply with the gaps beside it, and
a millimetre outward of the first and of the last layer's symbols."""


def least_in(room: Room) -> Box:
    """Return a box no larger than the diagram in whatever order its slots will stand.

    As wide as its layers with the least gaps, as high as the fullest layer from its first row to
    its last one: there may be anything on top and at the foot.
    """
    lanes = room.lanes
    width = _supply_width_mm(lanes, room.notes)
    for index in range(1, len(lanes.layers)):
        width += LEAST_GAP_MM + sum(room.west_east(index))
    height = max(_least_height(layer, room.pads) for layer in lanes.layers)
    return Box(0.0, 0.0, width - _UNDRAWN_MM, height)


def _supply_width_mm(lanes: Lanes, notes: Notes) -> float:
    """Return the width of the machine's own part at the least, worked out once."""
    key = ("supply width",)
    if key not in lanes.drawn:
        lanes.drawn[key] = least_supply_width_mm(lanes, notes)
    width: float = lanes.drawn[key]
    return width


def _least_height(layer: Sequence[Slot], pads: Mapping[str, tuple[float, float]]) -> float:
    if not layer:
        return 0.0
    above, below = [slot.above for slot in layer], [slot.below for slot in layer]
    around = [pads.get(group, (0.0, 0.0)) for group in {slot.group for slot in layer}]
    tops, feet = [top for top, _ in around], [foot for _, foot in around]
    room = sum(sum(each) - max(each) for each in (above, below, tops, feet))
    return room + CLEARANCE_MM * (len(layer) - 1)


_APART_MM, _OF_FULLEST, _OF_MEAN, _A_TURN_MM = 32.0, 0.73, 0.98, 7.3
"""Fitted to some 2100 sections of generated harnesses for A3 and A4; the height that sections come
out with scatters about it by a tenth of the sheet (standard deviation)."""


def likely_height_mm(room: Room) -> float:
    """Return how high a diagram will be, judged by its layers before they are in order. [mm]

    No bound: lines that run straight leave gaps in some layers, and how many is a guess.
    """
    heights = [_least_height(layer, room.pads) for layer in room.lanes.layers]
    mean = sum(heights) / len(heights)
    turns = _A_TURN_MM * len(room.lanes.turns)
    return _APART_MM + _OF_FULLEST * max(heights) + _OF_MEAN * mean + turns


def least_placed(lanes: Lanes, places: Places) -> Box:
    """Return a box no larger than the diagram whose rows and layers have their places."""
    rows = [slot.row for layer in lanes.layers for slot in layer]
    return Box(0.0, min(rows, default=0.0), places.right[-1] - _UNDRAWN_MM, max(rows, default=0.0))


_OVER_MM = 0.1
"""So much lower than the room of its slots a diagram may reach."""


def most_placed(room: Room, supply: Box, places: Places) -> Box:
    """Return a box no smaller than the diagram whose rows and layers have their places.

    `supply` is the room of the machine's own part, before it is shifted to its place.
    """
    slots = [slot for layer in room.lanes.layers for slot in layer]
    around = [room.pads.get(slot.group, (0.0, 0.0)) for slot in slots]
    tops = [slot.row - slot.above - pad for slot, (pad, _) in zip(slots, around, strict=True)]
    feet = [slot.row + slot.below + pad for slot, (_, pad) in zip(slots, around, strict=True)]
    return Box(
        min(0.0, places.right[0] - supply.width),
        min([supply.top, *tops]),
        max([places.right[-1], *places.turns.values()]),
        max([supply.bottom, *feet]) + _OVER_MM,
    )
