"""What lies upstream of a supply tap, upright: its present load, key contact, wire and fuse."""

from __future__ import annotations

from circuitcheck.drawing import symbols
from circuitcheck.drawing import symbols_switching as switching
from circuitcheck.drawing.geometry import CONDUCTOR_MM, Lettering, Stroke
from circuitcheck.drawing.layout_sleeves import length_text
from circuitcheck.drawing.marks import Notes
from circuitcheck.drawing.strokes import Symbol, turned
from circuitcheck.drawing.symbols_loads import unknown_part
from circuitcheck.drawing.text_size import TEXT_MM, shortened, wrapped
from circuitcheck.model.supply_tap import SupplyTap

STEP_MM = 3.8
GROUP_BELOW_MM = 48.0
"""From the tap's row down to where the upstream conductor leaves the group."""
_TEXT_X_MM = 4.0
_TEXT_MM = 38.0
_CONTACT_Y_MM = 14.0
_WIRE_Y_MM = 25.5
_FUSE_Y_MM = 38.0


def present_load(tap: SupplyTap) -> list[Lettering]:
    """What the tap carries already, above its row, the last line nearest."""
    lines = []
    if tap.also_feeds:
        lines += wrapped("also feeds " + ", ".join(tap.also_feeds), _TEXT_MM)
        lines = lines if len(lines) <= 2 else [lines[0], shortened(" ".join(lines[1:]), 18)]
    elif tap.also_feeds is None:
        lines.append("also feeds: unknown")
    load = tap.upstream.present_load_a
    if load is None:
        lines.append("present load unknown")
    elif load.upper > 0.0:
        lines.append(f"up to {load.upper:g} A")
    foot = -4.0 - STEP_MM * (len(lines) - 1)
    return [Lettering(2.5, foot + index * STEP_MM, line) for index, line in enumerate(lines)]


def rise_mm(tap: SupplyTap) -> float:
    """Return how far the dashed outline reaches above the tap's row. [mm]"""
    return max(10.5, 4.0 + STEP_MM * len(present_load(tap)) + 1.4)


def upstream_figure(tap: SupplyTap, notes: Notes) -> tuple[list[Stroke], list[Lettering]]:
    """Return key contact, wire and fuse on a conductor that runs downward from (0, 0)."""
    strokes: list[Stroke] = []
    top = 0.0
    if tap.upstream.key == "on":
        contact = switching.make_contact()
        key = switching.key_operator()
        shape = Symbol((*contact.strokes, *key.strokes), contact.body, -5.0, 5.0)
        top = _stand(strokes, turned(shape), _CONTACT_Y_MM, top)
    elif tap.upstream.key != "always":
        top = _stand(strokes, turned(unknown_part()), _CONTACT_Y_MM, top)
    if tap.upstream.fuse is not None:
        top = _stand(strokes, turned(symbols.fuse()), _FUSE_Y_MM, top)
    elif not tap.upstream.fuse_known:
        top = _stand(strokes, turned(unknown_part()), _FUSE_Y_MM, top)
    strokes.append(Stroke(((0.0, top), (0.0, GROUP_BELOW_MM)), CONDUCTOR_MM))
    letterings = []
    for middle, lines in (
        (_CONTACT_Y_MM, _key_lines(tap)),
        (_WIRE_Y_MM, _wire_lines(tap, notes)),
        (_FUSE_Y_MM, [_fuse_line(tap)]),
    ):
        first = middle + TEXT_MM / 2.0 - STEP_MM * (len(lines) - 1) / 2.0
        letterings += [
            Lettering(_TEXT_X_MM, first + index * STEP_MM, line) for index, line in enumerate(lines)
        ]
    return strokes, letterings


def _key_lines(tap: SupplyTap) -> list[str]:
    key = {"on": "key switched", "always": "always live"}.get(tap.upstream.key, "key: unknown")
    cranking = {"on": "live in cranking", "off": "off in cranking"}
    return [key, cranking.get(tap.upstream.cranking, "cranking: unknown")]


def _wire_lines(tap: SupplyTap, notes: Notes) -> list[str]:
    conductor, length_m = tap.upstream.conductor, tap.upstream.length_m.nominal
    size = notes.known(tap.name, "upstream.gauge", conductor.name if conductor else "?")
    length = notes.known(tap.name, "upstream.length", length_text(length_m))
    return [
        "wire: unknown" if size == "?" else shortened(size.replace("mm2", "mm²"), 12),
        "length: unknown" if length == "?" else length,
    ]


def _fuse_line(tap: SupplyTap) -> str:
    if tap.upstream.fuse is None:
        return "no fuse upstream" if tap.upstream.fuse_known else "fuse: unknown"
    return shortened(f"{tap.upstream.fuse.rating_a:g} A {tap.upstream.fuse.style}", 18)


def _stand(strokes: list[Stroke], symbol: Symbol, middle: float, top: float) -> float:
    """Set an upright symbol on the conductor; returns where the conductor goes on below it."""
    strokes.append(Stroke(((0.0, top), (0.0, middle + symbol.left)), CONDUCTOR_MM))
    strokes += [stroke.moved(0.0, middle) for stroke in symbol.strokes]
    return middle + symbol.right
