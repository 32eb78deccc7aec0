"""The wire list: one row per wire, from where to where, of what, and what sits on its ends."""

from __future__ import annotations

import csv
import io
from collections.abc import Container, Sequence
from dataclasses import astuple, dataclass

from circuitcheck.documents.plain_text import Page, columns, harmless
from circuitcheck.documents.quantity_text import METRIC, in_system, quantity_text
from circuitcheck.model.battery import Battery
from circuitcheck.model.connector import HALVES, Connector
from circuitcheck.model.ground import Frame, GroundStud
from circuitcheck.model.harness import Harness
from circuitcheck.model.relay import Relay
from circuitcheck.model.splice import Splice
from circuitcheck.model.supply_tap import SupplyTap
from circuitcheck.model.terminal import Terminal
from circuitcheck.model.wire import Wire

HEADINGS = (
    "wire",
    "cable",
    "from",
    "to",
    "gauge",
    "colour",
    "length",
    "insulation",
    "material",
    "route",
    "from end",
    "to end",
)
_TABLE = 7
"""The first so many columns make the table; the others follow on a line of their own."""


@dataclass(frozen=True)
class WireRow:
    """One wire in words, in the order of HEADINGS; empty where there is nothing to say.

    `length_m` is None, `material` "unknown", where the file says that it is not known.
    """

    wire: str
    cable: str
    start: str
    end: str
    gauge: str
    colour: str
    length_m: float | None
    insulation: str
    material: str
    route: str
    start_fitting: str
    end_fitting: str


def wire_rows(harness: Harness) -> tuple[WireRow, ...]:
    """Return the rows of all wires in the order of the file."""
    unknown = {(a.subject, a.key) for a in harness.assumptions if a.stated_unknown}
    return tuple(
        _row(harness, wire, {key for name, key in unknown if name == wire.name})
        for wire in harness.wires.values()
    )


def _row(harness: Harness, wire: Wire, unknown: Container[str]) -> WireRow:
    return WireRow(
        wire=wire.name,
        cable=wire.cable or "",
        start=str(wire.start),
        end=str(wire.end),
        gauge=wire.gauge,
        colour="/".join(wire.colour),
        length_m=None if "length" in unknown else wire.length_m.nominal,
        insulation=wire.insulation.name,
        material="unknown" if "material" in unknown else wire.material,
        route=" > ".join(wire.route),
        start_fitting=_fitting(harness, wire.start),
        end_fitting=_fitting(harness, wire.end),
    )


def _fitting(harness: Harness, terminal: Terminal) -> str:
    """Return what is crimped on the end of a wire that lands on this terminal."""
    part = harness.parts.get(terminal.part)
    if isinstance(part, Connector):
        return _contact(part, terminal)
    if isinstance(part, Relay):
        return f"{part.kind} terminal {terminal.name}"
    if isinstance(part, (GroundStud, Frame, Battery)):
        return "ring terminal"
    if isinstance(part, Splice):
        return "splice"
    if isinstance(part, SupplyTap):
        return "tap"
    return f"{part.kind} terminal" if part else "unknown"


def _contact(part: Connector, terminal: Terminal) -> str:
    """Return contact family, half and plating, and what a socket's plan has the cavity for."""
    half, _, cavity = terminal.name.partition(".")
    said = f"{part.contact.name if part.contact else 'contact unknown'}, {half}"
    if part.plating is not None:
        said += f", {part.plating[HALVES.index(half)]}"
    function = part.function(int(cavity))
    return f"{said} ({part.socket} cavity {cavity}: {function})" if function else said


def wire_list_csv(harness: Harness) -> str:
    """Return the wire list as CSV (RFC 4180) with a heading line; lengths are plain metres.

    A cell that a spreadsheet would take for a formula (first sign = + - @, tab or line end) gets
    an apostrophe before it.
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow("length_m" if heading == "length" else heading for heading in HEADINGS)
    for row in wire_rows(harness):
        writer.writerow(
            f"{cell:g}" if isinstance(cell, float) else safe_cell(cell or "") for cell in astuple(row)
        )
    return out.getvalue()


def safe_cell(cell: str) -> str:
    """Return a cell that is no formula, whichever sign a spreadsheet skips before it looks."""
    looked_at = cell.lstrip(" \u00a0\ufeff")
    begins = looked_at[:1] in ("=", "+", "-", "@", "\t", "\r", "\n", "\uff1d", "\uff0b", "\uff0d")
    return f"'{cell}" if begins or cell[:1] in ("\t", "\r", "\n") else cell


def wire_list_text(harness: Harness, *, width: int = 80, system: str = METRIC) -> str:
    """Return the wire list for a screen of `width` columns: a table, or records where it is narrow.

    In the table each wire has a second line for insulation, material, route and the ends. In the
    `american` system lengths are in feet and inches, and sizes in mm2 have the nearest AWG size
    beside them.
    """
    rows = [_in_words(row, system) for row in wire_rows(harness)]
    shown = [n for n in range(_TABLE) if any(row[n] for row in rows)]
    widths = [
        max(columns(HEADINGS[n]), *(columns(row[n]) for row in rows), 0) if rows else 0
        for n in shown
    ]
    page = Page(width)
    page.say(f"{harness.circuit}: wire list, {len(rows)} wires")
    if harness.revision:
        page.say(f"revision {harness.revision}")
    page.gap()
    if rows and sum(widths) + 2 * (len(widths) - 1) <= width:
        _table(page, rows, shown, widths)
    else:
        _records(page, rows)
    return page.text()


def _in_words(row: WireRow, system: str) -> list[str]:
    cells = [harmless(cell) if isinstance(cell, str) else "" for cell in astuple(row)]
    cells[HEADINGS.index("length")] = _length(row.length_m, system)
    gauge = HEADINGS.index("gauge")
    cells[gauge] = in_system(cells[gauge], system).replace("mm2", "mm²")
    return cells


def _length(length_m: float | None, system: str) -> str:
    if length_m is None:
        return "unknown"
    if system == METRIC:
        return f"{length_m:.2f} m"
    return quantity_text(length_m, "m", system=system)


def _table(
    page: Page, rows: Sequence[Sequence[str]], shown: Sequence[int], widths: Sequence[int]
) -> None:
    def line(cells: Sequence[str]) -> str:
        padded = [
            cells[n] + " " * (width - columns(cells[n]))
            for n, width in zip(shown, widths, strict=True)
        ]
        return "  ".join(padded).rstrip()

    page.lines += [line(HEADINGS), line(["-" * width for width in _spread(shown, widths)])]
    for row in rows:
        page.lines.append(line(row))
        insulation, material, route, first, second = row[_TABLE:]
        page.say(f"{insulation}, {material}; {route}; ends: {first} to {second}", first="    ")


def _spread(shown: Sequence[int], widths: Sequence[int]) -> list[int]:
    """Widths by column number, 0 for columns left out."""
    spread = [0] * len(HEADINGS)
    for n, width in zip(shown, widths, strict=True):
        spread[n] = width
    return spread


def _records(page: Page, rows: Sequence[Sequence[str]]) -> None:
    for row in rows:
        page.say(row[0])
        for heading, cell in zip(HEADINGS[1:], row[1:], strict=True):
            if cell:
                page.say(cell, first=f"  {heading:<12}", rest=" " * 14)
        page.gap()
