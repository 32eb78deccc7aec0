"""Colour sleeves, wire labels and cable loops: what is written along a wire."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

from circuitcheck.drawing.colours import colour_text, inks
from circuitcheck.drawing.geometry import THIN_MM, Box, Figure, Lettering, Stroke
from circuitcheck.drawing.layout.graph import Edge
from circuitcheck.drawing.layout.lanes import Slot
from circuitcheck.drawing.marks import Notes
from circuitcheck.drawing.position_values import PositionValues
from circuitcheck.drawing.strokes import INK, Symbol
from circuitcheck.drawing.symbols import feeding, live
from circuitcheck.drawing.symbols.live import LEFT, RIGHT, STANDS
from circuitcheck.drawing.text_size import TEXT_MM, shortened, text_width_mm
from circuitcheck.model.wire import Wire
from circuitcheck.record import record
from circuitcheck.units import text

SLEEVE_MM = 6.0
SLEEVE_HALF_MM = 0.9
_EDGE_MM = 1.0
_LINE_STEP_MM = 3.8
_CODE_DROP_MM = SLEEVE_HALF_MM + 0.8 + TEXT_MM
_LOOP_MM = 4.6
_SIGN_DROP_MM = 0.8
_LIVE_MM = live.HIGH_MM


def sleeve(
    colour: tuple[str, ...], left: float, said: str = "", room_mm: float = 0.0
) -> tuple[list[Stroke], Lettering]:
    """Return a sleeve on y = 0 that starts at `left`, with its colour code, or `said`, below it.

    The sleeve stands in the middle of `room_mm`, or of its text. A wire of unknown colour has none.
    """
    text = said or shortened(colour_text(colour), 7)
    room = max(SLEEVE_MM, text_width_mm(text), room_mm)
    start = left + (room - SLEEVE_MM) / 2.0
    strokes = []
    if colour:
        shades = inks(colour)
        strokes.append(_bar(start, start + SLEEVE_MM, SLEEVE_HALF_MM, shades[0], outlined=True))
        if len(shades) > 1:
            strokes.append(_bar(start, start + SLEEVE_MM, 0.28, shades[1], outlined=False))
    return strokes, Lettering(left + room / 2.0, _CODE_DROP_MM, text, "middle")


def _bar(left: float, right: float, half: float, ink: str, *, outlined: bool) -> Stroke:
    corners = ((left, -half), (right, -half), (right, half), (left, half))
    edge = INK if outlined else ink
    return Stroke(corners, THIN_MM if outlined else 0.05, closed=True, fill=ink, ink=edge)


def label_lines(wire: Wire, lines: int, notes: Notes) -> tuple[str, ...]:
    """Return `name · gauge · colour · length` on one line, or broken into two or three."""
    name = shortened(wire.name, 14)
    gauge = notes.known(wire.name, "gauge", shortened(wire.gauge.replace("mm2", "mm²"), 10))
    colour = shortened(colour_text(wire.colour), 7)
    length = notes.known(wire.name, "length", length_text(wire.length_m.nominal, notes))
    length = "? m" if length == "?" else length
    if lines == 1:
        return (" · ".join((name, gauge, colour, length)),)
    if lines == 2:
        return f"{name} · {gauge}", f"{colour} · {length}"
    return f"{name} · {colour}", gauge, length


def length_text(length_m: float, notes: Notes) -> str:
    """Return a length as a fitter reads it: centimetres up to 10 m, then decimetres."""
    return notes.in_units(f"{length_m:.2f} m" if length_m < 10.0 else f"{length_m:.1f} m")


@record
class LaneText:
    """What stands along one lane: lines above it, sleeves, failing sign.

    `loop_at` is where the loop of its cable stands, from the lane's left end; 0 without. [mm]
    `ends` are the texts below the sleeves in place of the colour code, at the left and the right;
    `sign` is one of SIGNS, which says that the wire is live.
    """

    lines: tuple[str, ...] = ()
    colour: tuple[str, ...] = ()
    number: int | None = None
    loop_at: float = 0.0
    ends: tuple[str, str] = ("", "")
    sign: str = ""

    @cached_property
    def code_mm(self) -> float:
        """Room of one sleeve with its code; none where the colour is not given."""
        if any(self.ends):
            return max(SLEEVE_MM, *(text_width_mm(said) for said in self.ends))
        if not self.colour:
            return 0.0
        return max(SLEEVE_MM, text_width_mm(shortened(colour_text(self.colour), 7)))


def lane_text(slot: Slot, lines: int, notes: Notes) -> LaneText:
    """Return what is to be written along the lane of `slot`, in so many lines."""
    edge = slot.edge
    if edge is None:
        return LaneText()
    if edge.bond is not None and slot.has_label:
        by = "bond" if edge.bond.by == "unknown" else edge.bond.by
        most = text(edge.bond.resistance_ohm.upper, "ohm", signs=True)
        return LaneText((f"{by} · up to {most}",))
    if edge.wire is None:
        return LaneText()
    if notes.values is not None:
        return _value_text(slot, edge, notes.values)
    if not slot.has_label:
        return LaneText((), edge.wire.colour)
    return LaneText(
        label_lines(edge.wire, lines, notes), edge.wire.colour, notes.get(edge.wire.name)
    )


def _value_text(slot: Slot, edge: Edge, values: PositionValues) -> LaneText:
    """Name, colour and current of a wire, the voltage at its ends, a sign where it is live."""
    if edge.wire is None:
        return LaneText()
    wire, value = edge.wire, values.wires[edge.wire.name]
    ends = (
        value.end_text(at_start=edge.forward) if slot.sleeve_at_left else "",
        value.end_text(at_start=not edge.forward) if slot.sleeve_at_right else "",
    )
    lines: tuple[str, ...] = ()
    sign = ""
    if slot.has_label:
        name = shortened(wire.name, 14)
        colour = shortened(colour_text(wire.colour), 7)
        lines = (f"{name} · {colour}" if wire.colour else name, value.current)
        sign = STANDS if value.is_live else ""
        if value.flow:
            sign = RIGHT if (value.flow > 0) == edge.forward else LEFT
    return LaneText(lines, wire.colour, ends=ends, sign=sign)


def lane_width_mm(slot: Slot, text: LaneText) -> float:
    """Return the width that the lane needs: its lettering above, sleeves and sign below."""
    shown = (slot.sleeve_at_left + slot.sleeve_at_right) if text.code_mm else 0
    below = shown * (text.code_mm + 1.5)
    if text.sign:
        # The sign stands on the wire between the sleeves, which may be narrower than their text.
        below = max(below, shown * ((text.code_mm + SLEEVE_MM) / 2.0 + 1.0) + live.LONG_MM)
    if text.number is not None:
        # The sign hangs in the middle of the lane, between the codes of the two sleeves.
        below = 2 * (text.code_mm + 0.6) + _sign(text).body.width
    return max(_text_left(slot, text) + _text_width(text) + _EDGE_MM, below + 2 * _EDGE_MM)


def lane_above_mm(text: LaneText) -> float:
    """Return how far the lettering rises above the lane."""
    if not text.lines:
        return SLEEVE_HALF_MM + 0.2 if text.colour else 0.6
    return _foot(text) + 3.3 + (len(text.lines) - 1) * _LINE_STEP_MM


def lane_below_mm(slot: Slot, text: LaneText) -> float:
    """Return how far sleeve codes, and a failing sign, hang below the lane."""
    at_ends = (slot.sleeve_at_left or slot.sleeve_at_right) and text.code_mm
    codes = _CODE_DROP_MM + 0.4 if at_ends else 0.6
    codes = max(codes, _LIVE_MM / 2.0 + 0.3) if text.sign else codes
    if text.number is None:
        return codes
    return max(codes, _SIGN_DROP_MM + _sign(text).body.height + 0.4)


def _foot(text: LaneText) -> float:
    """How far over the lane its lettering begins: clear of the sign of a live wire."""
    return 2.4 if text.sign else 1.7


def _sign(text: LaneText) -> Symbol:
    return feeding.failing_sign(len(str(text.number)))


def _text_width(text: LaneText) -> float:
    return max((text_width_mm(line) for line in text.lines), default=0.0)


def _text_left(slot: Slot, text: LaneText) -> float:
    """Distance from the lane's left end to its lettering; a cable's loop stands before it."""
    return text.loop_at + _LOOP_MM / 2.0 if slot.loop else _EDGE_MM


def loop_place_mm(cable: str, cores: Sequence[LaneText]) -> float:
    """Return where the loop round the cores of a cable stands, clear of sleeves and its name."""
    before = _EDGE_MM + max(core.code_mm for core in cores) + 0.5
    return max(before, text_width_mm(shortened(cable, 10)) - _LOOP_MM / 2.0) + _LOOP_MM / 2.0


def lane_figure(slot: Slot, text: LaneText, box: Box) -> Figure:
    """Return sleeves, codes and label of a lane that spans `box` from left to right, at y = 0."""
    owner = slot.edge.wire.name if slot.edge and slot.edge.wire else ""
    strokes: list[Stroke] = []
    letterings: list[Lettering] = []
    for wanted, left, said in (
        (slot.sleeve_at_left, box.left + _EDGE_MM, text.ends[0]),
        (slot.sleeve_at_right, box.right - _EDGE_MM - text.code_mm, text.ends[1]),
    ):
        if wanted and text.code_mm:
            bars, code = sleeve(text.colour, left, said, text.code_mm)
            strokes += bars
            letterings.append(code)
    if text.sign:
        strokes += live.sign(text.sign).moved(_sign_at(slot, text, box), 0.0)
    x = box.left + _text_left(slot, text)
    if not slot.loop:
        x = box.left + (box.width - _text_width(text)) / 2.0
    if text.number is not None:
        sign = _sign(text)
        middle = (box.left + box.right) / 2.0
        foot = _SIGN_DROP_MM + sign.body.height
        strokes += [stroke.moved(middle, foot) for stroke in sign.strokes]
        letterings.append(Lettering(middle, foot - 0.6, str(text.number), "middle"))
    for index, line in enumerate(reversed(text.lines)):
        letterings.append(Lettering(x, -_foot(text) - index * _LINE_STEP_MM, line))
    half = SLEEVE_HALF_MM if strokes else 0.0
    body = Box(box.left, -half, box.right, half)
    return Figure(owner, body, tuple(strokes), tuple(letterings))


def _sign_at(slot: Slot, text: LaneText, box: Box) -> float:
    """Where the sign of a live wire stands: in the middle of what the sleeves leave free."""
    taken = text.code_mm + _EDGE_MM if text.code_mm else 0.0
    left = box.left + (taken if slot.sleeve_at_left else 0.0)
    right = box.right - (taken if slot.sleeve_at_right else 0.0)
    return (left + right) / 2.0


def loop_figure(cable: str, x: float, first_row: float, last_row: float) -> Figure:
    """Return the loop round cores from `first_row` to `last_row`, with the cable's name."""
    symbol = feeding.jacket_loop(last_row - first_row + 4.4)
    middle = (first_row + last_row) / 2.0
    name = Lettering(x + _LOOP_MM / 2.0 - 0.4, first_row - 3.2, shortened(cable, 10), "end")
    strokes = tuple(stroke.moved(x, middle) for stroke in symbol.strokes)
    return Figure(cable, symbol.body.moved(x, middle), strokes, (name,))
