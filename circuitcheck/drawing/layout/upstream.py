"""What lies upstream of a supply tap: the machine's own fuse, wire, key contact and present load.

A single tap is drawn upright over the battery, several on a row each, fed from one rail.
"""

from __future__ import annotations

from circuitcheck.circuit.build import tap_is_live
from circuitcheck.drawing.geometry import CONDUCTOR_MM, LIVE_MM, Box, Lettering, Stroke
from circuitcheck.drawing.layout.heading import NAME_LETTERS, heading_width
from circuitcheck.drawing.layout.sleeves import length_text
from circuitcheck.drawing.marks import Notes
from circuitcheck.drawing.strokes import Symbol, turned
from circuitcheck.drawing.symbols import feeding, switching
from circuitcheck.drawing.symbols.loads import unknown_part
from circuitcheck.drawing.text_size import TEXT_MM, shortened, wrapped
from circuitcheck.model.supply_tap import SupplyTap
from circuitcheck.record import record

STEP_MM = 3.8
_LOAD_TEXT_MM = 30.0
_CONTACT_Y_MM, _WIRE_Y_MM, _FUSE_Y_MM = 14.0, 25.5, 38.0
_FUSE_X_MM, _CONTACT_X_MM, _KEY_TEXT_X_MM, _ARROW_X_MM = 10.0, 27.0, 33.5, 36.0
_RISE_MM = 11.4


@record
class UpstreamDrawing:
    """Strokes and lettering about the tap's row, y = 0.

    The conductor from the source arrives at `fed_at`; the tap itself lies at (`right`, 0).
    `body` is what must stay clear; `name_below` tells where the tap's name finds room.
    """

    strokes: tuple[Stroke, ...]
    letterings: tuple[Lettering, ...]
    body: Box
    fed_at: tuple[float, float]
    right: float
    rise: float
    drop: float
    name_below: bool


def upstream(tap: SupplyTap, notes: Notes, *, upright: bool) -> UpstreamDrawing:
    """Return what feeds the tap, standing upright below its row or lying on it."""
    live = tap_stands_live(tap, notes)
    return _upright(tap, notes, live) if upright else _level(tap, notes, live)


def tap_stands_live(tap: SupplyTap, notes: Notes) -> bool:
    """Return whether the sheet shows a switch position in which the tap is live."""
    return notes.values is not None and tap_is_live(tap, notes.values.key)


def _widths(notes: Notes, *, live: bool) -> tuple[float, float]:
    """Return how wide conductors are drawn on the battery's and on the tap's side. [mm]"""
    return (
        CONDUCTOR_MM if notes.values is None else LIVE_MM,
        LIVE_MM if live else CONDUCTOR_MM,
    )


def _upright(tap: SupplyTap, notes: Notes, live: bool) -> UpstreamDrawing:
    strokes: list[Stroke] = []
    far, near = _widths(notes, live=live)
    top, width = 0.0, near
    for symbol, middle in ((_contact(tap, live), _CONTACT_Y_MM), (_fuse(tap), _FUSE_Y_MM)):
        if symbol is not None:
            strokes.append(Stroke(((0.0, top), (0.0, middle + symbol.left)), width))
            strokes += turned(symbol).moved(0.0, middle)
            top, width = middle + symbol.right, far
    foot = _FUSE_Y_MM + 6.0
    strokes.append(Stroke(((0.0, top), (0.0, foot)), width))
    letterings = []
    for middle, lines in (
        (_CONTACT_Y_MM, _key_lines(tap)),
        (_WIRE_Y_MM, _wire_lines(tap, notes)),
        (_FUSE_Y_MM, [_fuse_line(tap)]),
    ):
        first = middle + TEXT_MM / 2.0 - STEP_MM * (len(lines) - 1) / 2.0
        letterings += _column(lines, 4.0, first)
    load = _load_lines(tap)
    letterings += _column(load, 2.5, -4.0 - STEP_MM * (len(load) - 1))
    if load:
        strokes.append(Stroke(((0.0, 0.0), (0.0, -6.5)), near))
        strokes += feeding.branch_arrow().moved(0.0, -6.5)
        strokes += feeding.joint().strokes
    right = max([_name_width(tap, notes), *(text.box.right for text in letterings)]) + 2.0
    rise = max(10.5, 5.4 + STEP_MM * len(load))
    strokes.append(Stroke(((0.0, 0.0), (right, 0.0)), near))
    body = Box(min(s.box.left for s in strokes) - 1.5, 9.0, right - 0.5, foot - 1.0)
    return UpstreamDrawing(
        tuple(strokes), tuple(letterings), body, (0.0, foot), right, rise, foot, name_below=True
    )


def _level(tap: SupplyTap, notes: Notes, live: bool) -> UpstreamDrawing:
    strokes: list[Stroke] = []
    far, near = _widths(notes, live=live)
    at = start = 3.0
    for symbol, middle in ((_fuse(tap), _FUSE_X_MM), (_contact(tap, live), _CONTACT_X_MM)):
        if symbol is not None:
            strokes.append(Stroke(((at, 0.0), (middle + symbol.left, 0.0)), far))
            strokes += symbol.moved(middle, 0.0)
            at = middle + symbol.right
    fuse = Lettering(_FUSE_X_MM, -3.0, _fuse_line(tap).replace(" upstream", ""), "middle")
    letterings = [fuse, *_column(_wire_lines(tap, notes), start, 5.4)]
    key = _column(_key_lines(tap), _KEY_TEXT_X_MM, -1.4 - STEP_MM)
    load = _load_lines(tap)
    letterings += [*key, *_column(load, _ARROW_X_MM + 2.5, 5.4)]
    if load:
        strokes.append(Stroke(((_ARROW_X_MM, 0.0), (_ARROW_X_MM, 4.5)), near))
        strokes += feeding.branch_arrow(downward=True).moved(_ARROW_X_MM, 4.5)
        strokes += feeding.joint().moved(_ARROW_X_MM, 0.0)
    right = max(
        max(text.box.right for text in letterings) + 2.0,
        max(text.box.right for text in key) + _name_width(tap, notes) + 2.0,
    )
    strokes.append(Stroke(((at, 0.0), (right, 0.0)), near))
    body = Box(start + 1.0, -2.0, _CONTACT_X_MM + 5.0, 2.0)
    drop = max(text.box.bottom for text in letterings) + 0.8
    return UpstreamDrawing(
        tuple(strokes), tuple(letterings), body, (start, 0.0), right, _RISE_MM, drop,
        name_below=False,
    )  # fmt: skip


def _column(lines: list[str], x: float, first: float) -> list[Lettering]:
    return [Lettering(x, first + index * STEP_MM, line) for index, line in enumerate(lines)]


def _name_width(tap: SupplyTap, notes: Notes) -> float:
    return heading_width(tap.name, shortened(tap.name, NAME_LETTERS), notes) + 2.0


def _contact(tap: SupplyTap, closed: bool) -> Symbol | None:
    """The key's contact; something unknown where the file does not say; None if always live.

    It is drawn at rest, or `closed`.
    """
    if tap.upstream.key == "always":
        return None
    if tap.upstream.key != "on":
        return unknown_part()
    contact = switching.closed_contact() if closed else switching.make_contact()
    key = switching.key_operator()
    return Symbol((*contact.strokes, *key.strokes), contact.body, contact.left, contact.right)


def _fuse(tap: SupplyTap) -> Symbol | None:
    if tap.upstream.fuse is not None:
        return feeding.fuse()
    return None if tap.upstream.fuse_known else unknown_part()


def _load_lines(tap: SupplyTap) -> list[str]:
    """What the tap carries already."""
    lines = []
    if tap.also_feeds:
        lines += wrapped("also feeds " + ", ".join(tap.also_feeds), _LOAD_TEXT_MM)
        lines = lines if len(lines) <= 2 else [lines[0], shortened(" ".join(lines[1:]), 18)]
    elif tap.also_feeds is None:
        lines.append("also feeds: unknown")
    load = tap.upstream.present_load_a
    if load is None:
        lines.append("present load unknown")
    elif load.upper > 0.0:
        lines.append(f"up to {load.upper:g} A")
    return lines


def _key_lines(tap: SupplyTap) -> list[str]:
    key = {"on": "key switched", "always": "always live"}.get(tap.upstream.key, "key: unknown")
    cranking = {"on": "live in cranking", "off": "off in cranking"}
    return [key, cranking.get(tap.upstream.cranking, "cranking: unknown")]


def _wire_lines(tap: SupplyTap, notes: Notes) -> list[str]:
    conductor, length_m = tap.upstream.conductor, tap.upstream.length_m.nominal
    size = notes.known(tap.name, "upstream.gauge", conductor.name if conductor else "?")
    length = notes.known(tap.name, "upstream.length", length_text(length_m, notes))
    return [
        "wire: unknown" if size == "?" else shortened(size.replace("mm2", "mm²"), 12),
        "length: unknown" if length == "?" else length,
    ]


def _fuse_line(tap: SupplyTap) -> str:
    if tap.upstream.fuse is None:
        return "no fuse upstream" if tap.upstream.fuse_known else "fuse: unknown"
    return shortened(f"{tap.upstream.fuse.rating_a:g} A {tap.upstream.fuse.style}", 18)
