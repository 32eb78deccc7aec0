"""What a diagram takes at the least, told before it is drawn: what has no room is soon refused."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from circuitcheck.drawing.geometry import Box
from circuitcheck.drawing.layout.lanes import Lanes, Slot
from circuitcheck.drawing.layout.lines import Places
from circuitcheck.drawing.layout.room import Room
from circuitcheck.drawing.layout.rows import CLEARANCE_MM
from circuitcheck.drawing.layout.supply import draw_supply
from circuitcheck.drawing.marks import Notes

LEAST_GAP_MM = 1.25
_UNDRAWN_MM = 2.0 * LEAST_GAP_MM + 2.0
"""Room in which nothing may be drawn: a first layer without a supply with the gaps beside it, and
a millimetre outward of the first and of the last layer's symbols."""


def least_unordered(lanes: Lanes, notes: Notes, label_lines: int) -> Box:
    """Return a box no larger than the diagram in whatever order its slots will stand.

    As wide as its layers with the least gaps, as high as the fullest layer from its first row to
    its last one: there may be anything on top and at the foot.
    """
    return least_in(Room(lanes, notes, label_lines))


def least_in(room: Room) -> Box:
    """Return the same for a diagram whose pieces and texts have their room already."""
    lanes = room.lanes
    width = _supply_width_mm(lanes, room.notes)
    for index in range(1, len(lanes.layers)):
        width += LEAST_GAP_MM + sum(room.west_east(index))
    height = max(_least_height(layer, room.pads) for layer in lanes.layers)
    return Box(0.0, 0.0, width - _UNDRAWN_MM, height)


def _supply_width_mm(lanes: Lanes, notes: Notes) -> float:
    """Return the width of the machine's own part, on whatever rows it stands."""
    key = ("supply width",)
    if key not in lanes.drawn:
        lanes.drawn[key] = draw_supply(lanes, notes).box.width
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


def least_placed(lanes: Lanes, places: Places) -> Box:
    """Return a box no larger than the diagram whose rows and layers have their places."""
    rows = [slot.row for layer in lanes.layers for slot in layer]
    return Box(0.0, min(rows, default=0.0), places.right[-1] - _UNDRAWN_MM, max(rows, default=0.0))
