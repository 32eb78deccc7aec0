"""A test sheet in words: what is done and read first, each reading with what it must be."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import chain

from circuitcheck.documents.point_text import point_text, wire_text
from circuitcheck.documents.quantity_text import METRIC, quantity_text
from circuitcheck.documents.test_sheet.sheet_cautions import (
    FIRST,
    movement_words,
    pulled_cautions,
    step_cautions,
)
from circuitcheck.model.connector import Connector
from circuitcheck.model.fuse import Fuse
from circuitcheck.model.ground import Frame, GroundStud
from circuitcheck.model.harness import Harness
from circuitcheck.model.indicator import IndicatorLamp, LedIndicator
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.supply_tap import SupplyTap
from circuitcheck.model.switch import SwitchHandle
from circuitcheck.model.tolerance_band import Band
from circuitcheck.readings import sheet_records as r
from circuitcheck.readings.pulled_coils import shortest_pull_s
from circuitcheck.readings.sheet_records import ReadingSheet, SheetLine, SheetStep
from circuitcheck.record import record

TITLES = {
    r.WIRED: "Supply off",
    r.KEY_OFF: "Key off, supply on",
    r.KEY_ON: "Key on, nothing pressed",
    r.PRESSED: "Key on",
    r.LOADED_DROP: "Drop under load",
    r.RUNNING: "Engine running",
    r.CRANKING: "Cranking",
}
LIGHTS = (IndicatorLamp, LedIndicator)
BOX = "[_______]"


@record
class SheetRow:
    """One reading, or one stretch under load in several positions, in words.

    `expected` has one text for each column of its part, empty where the stretch carries nothing
    there; `numbers` are those of the readings behind them.
    """

    numbers: tuple[int, ...]
    what: str
    expected: tuple[str, ...]
    note: str = ""


@record
class SheetPart:
    """One part of the sheet: done in one state of the machine, or drops side by side."""

    title: str
    do: tuple[str, ...]
    cautions: tuple[str, ...]
    columns: tuple[str, ...]
    rows: tuple[SheetRow, ...]


def sheet_parts(sheet: ReadingSheet, *, system: str = METRIC) -> tuple[SheetPart, ...]:
    """Return the parts of a sheet; readings are numbered through, drops stand side by side."""
    parts: list[SheetPart] = []
    drops: list[tuple[SheetStep, int]] = []
    number, last_stage = 1, ""
    for step in sheet.steps:
        if step.stage == r.LOADED_DROP:
            drops.append((step, number))
        else:
            if drops and last_stage == r.LOADED_DROP:
                parts.append(_drops(sheet, drops))
            parts.append(_part(sheet, step, number, step.stage != last_stage, system))
        last_stage = step.stage
        number += len(step.lines)
    if drops and last_stage == r.LOADED_DROP:
        parts.append(_drops(sheet, drops))
    return tuple(parts)


def _part(
    sheet: ReadingSheet, step: SheetStep, number: int, is_first: bool, system: str
) -> SheetPart:
    worked = worked_words(step.position)
    title = TITLES[step.stage] + (f": {worked}" if worked else "")
    if step.stage == r.WIRED and not worked:
        title += ": coils unplugged" if step.lines[0].kind == r.SEEN else ": coils plugged again"
    rows = tuple(
        SheetRow((n,), what_words(sheet.harness, line), (expected_words(line),),
                 note_words(sheet.harness, line))
        for n, line in enumerate(step.lines, start=number)
    )  # fmt: skip
    cautions = tuple(step_cautions(sheet.harness, step, is_first))
    return SheetPart(title, tuple(_do(sheet, step, system)), cautions, ("expected",), rows)


def worked_words(position: str) -> str:
    """Return what is worked in a switch position: `left + right`; empty for nothing."""
    return position.partition(", ")[2]


def _do(sheet: ReadingSheet, step: SheetStep, system: str) -> Iterator[str]:
    harness, worked = sheet.harness, worked_words(step.position)
    if step.stage == r.WIRED:
        yield from _do_dead(sheet, step, system)
    if step.stage == r.KEY_OFF:
        yield "Put every fuse and the battery's minus back. Key off, engine off."
    if step.stage == r.KEY_ON:
        yield "Key on, engine off. Press nothing."
        yield "At a connector go in beside the wire from behind; pierce no insulation."
    if step.stage == r.RUNNING:
        yield "Start the engine, let it charge."
    if step.stage == r.CRANKING:
        yield "An assistant cranks while you read."
    if worked:
        yield f"{_verb(harness, worked)} {worked}, nothing else{_briefly(harness, step)}."
    if step.stage == r.PRESSED and any(line.kind == r.VOLTS for line in step.lines):
        yield "Read the battery posts first: the other volts hang on them."


def _briefly(harness: Harness, step: SheetStep) -> str:
    """Return how long a position may be held for one reading, where a pull winding limits it."""
    coils = (harness.parts[name] for name in step.pulled)
    limit_s = shortest_pull_s(coil for coil in coils if isinstance(coil, PullHoldCoil))
    if limit_s is None:
        return ""
    return f", for {quantity_text(limit_s, 's')} at most; off after each reading"


def _do_dead(sheet: ReadingSheet, step: SheetStep, system: str) -> Iterator[str]:
    off = [name for name in step.unplugged if name in sheet.harness.parts]
    taps = [tap.name for tap in sheet.harness.of_kind(SupplyTap)]
    if step.lines[0].kind == r.SEEN:
        yield "Key off. Take the battery's minus off."
        yield "Look at each fuse: its rating too."
        if off:
            air = quantity_text(sheet.air_c, "degC", system=system)
            yield f"Unplug {', '.join(off)}; coils as cold as the air, taken as {air}."
        return
    if worked_words(step.position):
        return
    own = [name for name in off if name not in taps]
    minus = f"{sheet.harness.battery.name}.-"
    yield f"Plug the coils in again. Take out {', '.join(own)}; the battery's minus stays off."
    yield f"{minus} is the clamp that was taken off."


def _verb(harness: Harness, worked: str) -> str:
    names = set(worked.split(" + "))
    momentary = any(
        contact.action == "momentary"
        and ({contact.button, f"{handle.name} {contact.button}"} & names)
        for handle in harness.of_kind(SwitchHandle)
        for contact in handle.contacts
    )
    return "Hold" if momentary else "Switch on"


def what_words(harness: Harness, line: SheetLine) -> str:
    """Return what is read, in a few words: `TAP to BAT.-`, `VL clicks`, `clamp round W5`."""
    if line.kind == r.AMPERES:
        return f"clamp round {wire_text(harness, line.plus)}"
    if line.kind != r.SEEN:
        return f"{line.plus} to {line.minus}"
    part = harness.parts[line.of]
    if isinstance(part, SupplyTap) and part.upstream.fuse is not None:
        return f"machine's fuse of {line.of}, {part.upstream.fuse.name}, whole"
    if isinstance(part, Fuse):
        return f"{line.of}, {part.row.name}, whole"
    return f"{line.of} is lit" if isinstance(part, LIGHTS) else f"{line.of} clicks"


def expected_words(line: SheetLine) -> str:
    """Return what it must be, rounded outward: `11.65 to 12.88 V`, `yes`, `no path (OL)`."""
    if line.expected is None:
        return line.answer
    return band_words(line.expected, line.unit)


def band_words(band: Band, unit: str) -> str:
    """Return a band with the digits that a meter shows, its ends rounded outward.

    >>> band_words(Band(0.0112, 0.05, 0.1261), "V"), band_words(Band(11.648, 12.3, 12.882), "V")
    ('11 to 127 mV', '11.64 to 12.89 V')
    >>> band_words(Band(26.41, 27.0, 28.06), "V"), band_words(Band(7.94, 8.9, 9.71), "ohm")
    ('26.4 to 28.1 V', '7.9 to 9.8 ohm')
    """
    lower, upper = max(0.0, band.lower), max(0.0, band.upper)
    if unit == "V" and upper < 1.0:
        ends = math.floor(lower * 1e3 + 1e-9), math.ceil(upper * 1e3 - 1e-9)
        return f"{ends[0]} to {ends[1]} mV"
    digits = _digits(upper, unit)
    step = 10.0**-digits
    low, high = math.floor(lower / step + 1e-6) * step, math.ceil(upper / step - 1e-6) * step
    return f"{low:.{digits}f} to {high:.{digits}f} {unit}"


def _digits(upper: float, unit: str) -> int:
    """Return the digits behind the point that a handheld meter shows; common practice, no source.

    Volts and ohms on ranges of 2,000 counts; a clamp's hundredths are worth reading below 10 A.
    """
    if unit == "ohm":
        return 1 if upper < 200.0 else 0
    if unit == "V":
        return 2 if upper < 20.0 else 1
    return 2 if upper < 10.0 else 1


def note_words(harness: Harness, line: SheetLine) -> str:
    """Return what helps to read it: the distance to the posts, cold or warm, where to look."""
    said = []
    if line.kind == r.VOLTS and isinstance(harness.parts.get(line.of), Connector):
        said.append(point_text(harness, line.plus))
    if line.under_battery_v is not None:
        most = band_words(line.under_battery_v, "V").partition(" to ")[2]
        said.append(f"up to {most} under posts")
    if line.kind == r.OHMS and line.coil_state:
        said.append("4 % more for each 10 K above that air")
    elif line.coil_state:
        said.append("coil cold" if line.coil_state == "cold" else "coil on for minutes before")
    if line.kind == r.VOLTS and line.through and line.minus == f"{harness.battery.name}.-":
        said.append("its whole return, under load")
    return "; ".join(said)


def look_words(harness: Harness, line: SheetLine) -> str:
    """Return where to look when a drop is over its band: the wires and joints on that stretch."""
    machine = [name for name in line.through if _is_upstream(harness, name)]
    places = []
    if machine:
        tap = machine[0].partition("/")[0]
        places.append(f"the machine's fuse, wire and key contact before {tap}")
    places += [_place(harness, name) for name in line.through if name not in machine]
    return ", ".join(dict.fromkeys(places))


def _is_upstream(harness: Harness, branch: str) -> bool:
    return isinstance(harness.parts.get(branch.partition("/")[0]), SupplyTap) and "/" in branch


def _place(harness: Harness, branch: str) -> str:
    name, _, inner = branch.partition("/")
    if isinstance(harness.parts.get(name), (Frame, GroundStud)):
        return f"bond of {name}"
    if not inner:
        return name
    return f"{name} cavity {inner}" if inner.isdigit() else f"{name} contact"


def _drops(sheet: ReadingSheet, drops: list[tuple[SheetStep, int]]) -> SheetPart:
    """Return the drops of all positions side by side, one row for each stretch."""
    harness = sheet.harness
    columns = tuple(worked_words(step.position) or step.position for step, _ in drops)
    cells: dict[tuple[str, str], dict[int, tuple[int, SheetLine]]] = {}
    place: dict[tuple[str, str], int] = {}
    for column, (step, first) in enumerate(drops):
        for n, line in enumerate(step.lines):
            pair = (line.plus, line.minus)
            cells.setdefault(pair, {})[column] = (first + n, line)
            place.setdefault(pair, n)
    rows = []
    # alike stretches of different positions come one under the other
    for pair in sorted(cells, key=lambda one: place[one]):
        found = cells[pair]
        expected = tuple(
            expected_words(found[k][1]) if k in found else "" for k in range(len(columns))
        )
        look = look_words(harness, next(iter(found.values()))[1])
        numbers = tuple(number for number, _ in found.values())
        rows.append(SheetRow(numbers, f"{pair[0]} to {pair[1]}", expected, f"over it: {look}"))
    steps = [step for step, _ in drops]
    said = (movement_words(harness, step.works) for step in steps)
    limits = (pulled_cautions(harness, step.pulled) for step in steps)
    cautions = dict.fromkeys((FIRST, *chain(*said), *chain(*limits)))
    do = tuple(_do_drops(harness, steps, columns))
    return SheetPart(TITLES[r.LOADED_DROP], do, tuple(cautions), columns, tuple(rows))


def _do_drops(
    harness: Harness, steps: Sequence[SheetStep], columns: Sequence[str]
) -> Iterator[str]:
    limits = [_briefly(harness, step) for step in steps]
    held = "; then on, and read" if any(limits) else ", with the coil on"
    yield (
        "Key on, engine off, coils cold. Millivolt range, red probe on the first point, black on "
        f"the second{held}."
    )
    for column, limit in zip(columns, limits, strict=True):
        if limit:
            yield f"{column}: on{limit.removeprefix(',')}."
    yield "Compare side by side: what is far off its like is worth a look even inside its band."
