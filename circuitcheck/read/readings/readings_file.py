"""The readings file: what was measured on the machine, one `[[reading]]` table for each.

    position = "key on, left"        # above the tables: holds for every reading that does not say
    battery = "12.5 V"

    [[reading]]
    instrument = "digital voltmeter"
    plus = "VL.1"
    minus = "BAT.-"
    value = "3.4 V"

    [[reading]]
    instrument = "click"
    at = "VL"
    value = "no"

Every problem is told with its line; the readings that are well stay.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from circuitcheck.errors import InputError, Problem
from circuitcheck.model.harness import Harness
from circuitcheck.model.instrument import InstrumentRow
from circuitcheck.model.library import Library
from circuitcheck.model.reading import ENGINE_STATES, Measurement, Reading, Situation
from circuitcheck.read.forms.fields import Field, Given, read_fields
from circuitcheck.read.forms.forms import Count, ListOf, Text, Word
from circuitcheck.read.forms.printable import printable, shown
from circuitcheck.read.forms.quantities import Amount
from circuitcheck.read.reading import Gap, Place
from circuitcheck.read.reading import Reading as FileUnderWay
from circuitcheck.read.readings.reading_points import (
    live_ohmmeter,
    misplaced,
    point_problem,
    unplug_problem,
)
from circuitcheck.read.readings.reading_value import ReadingValueError, parse_value
from circuitcheck.read.toml_source import load_toml
from circuitcheck.record import record
from circuitcheck.units import VOLTAGE

MOST_READINGS = 500
POINT = Text(60)

MACHINE = (
    Field("position", Text(200), "switch position, as `circuitcheck check` names it"),
    Field("engine", Word(ENGINE_STATES), "engine", left_out="off"),
    Field("battery", Amount(VOLTAGE, 3.0, 36.0), "what the battery posts read at that moment"),
    Field("coils", Word(("cold", "warm")), "whether the coils were on for long just before"),
    Field("unplugged", ListOf(POINT, 0, 40, '["X1"]', distinct=True),
          "connectors pulled apart, parts taken off or out"),
)  # fmt: skip
TOP = (
    Field("format", Count(1, 1), "version of this file format", left_out="1"),
    Field("harness", Text(200), "the harness file that the readings belong to"),
    *MACHINE,
)
READING = (
    Field("instrument", Text(60), "row of library/instruments.csv", required=True),
    Field("plus", POINT, "terminal of the red probe"),
    Field("minus", POINT, "terminal of the black probe"),
    Field("at", POINT, "part or wire of an observation, a clamp or a fuse"),
    Field("value", Text(40), 'what it showed, "11.8 V", "OL", "yes", "dim"', required=True),
    Field("note", Text(200), "anything in your own words"),
    *MACHINE,
)
ROWS = "reading"
ANY = ("digital voltmeter", "clamp ammeter", "ohmmeter", "test lamp", "click")
"""Instruments of which one must show a value that may be right at all."""


@record
class ReadingsFile:
    """The readings of a file in its order, those that are well; and the problems of the others."""

    file: str
    readings: tuple[Reading, ...]
    problems: tuple[Problem, ...]
    harness: str = ""


@record
class ReadingRules:
    """What readings are held against: the harness, the library and its switch positions."""

    harness: Harness
    library: Library
    positions: Sequence[str]


def read_readings(
    path: str | Path, rules: ReadingRules, *, text: str | None = None
) -> ReadingsFile:
    """Return the readings of a file; `text` is read instead of the file if given.

    Raises InputError where the file itself cannot be read. What is wrong with single readings
    is in `problems`, in order of lines.
    """
    source = load_toml(path, text)
    under_way = FileUnderWay(source, rules.library)
    place = Place(under_way, ())
    plain = {key: value for key, value in source.tables.items() if key != ROWS}
    top = _sound(read_fields(plain, TOP, place, "", others=(ROWS,)), rules)
    rows = _rows(source.tables.get(ROWS, []), place)
    readings = [one for n, row in rows if (one := _reading(n, row, top, place, rules)) is not None]
    problems = tuple(sorted(under_way.problems, key=lambda problem: problem.line or 0))
    return ReadingsFile(source.file, tuple(readings), problems, top.value("harness", str, ""))


def read_whole_readings(path: str | Path, rules: ReadingRules) -> tuple[Reading, ...]:
    """Return the readings of a file. Raises InputError with every problem where there is one."""
    found = read_readings(path, rules)
    if found.problems:
        raise InputError(list(found.problems))
    return found.readings


def _sound(given: Given, rules: ReadingRules) -> Given:
    """Return fields with what is not of this harness told once and marked as refused."""
    values = dict(given.values)
    position = values.get("position")
    if isinstance(position, str) and position not in rules.positions:
        values["position"] = _strange_position(given.at("position"), position, rules)
    unplugged = values.get("unplugged")
    for name in unplugged if isinstance(unplugged, tuple) else ():
        if isinstance(name, Gap):
            values["unplugged"] = name
            continue
        said = unplug_problem(name, rules.harness)
        if said:
            values["unplugged"] = given.at("unplugged").problem(*said)
    return replace(given, values=values)


def _rows(value: object, place: Place) -> list[tuple[int, Mapping[str, object]]]:
    at = place.inside(ROWS)
    if not isinstance(value, list) or len(value) > MOST_READINGS:
        right = f"Write each as [[{ROWS}]], at most {MOST_READINGS}."
        at.problem(f"got {shown(value)}", right)
        return []
    if not value:
        at.problem("there is no reading", f"Write each as a table [[{ROWS}]].")
    rows: list[tuple[int, Mapping[str, object]]] = []
    for n, row in enumerate(value):
        if isinstance(row, dict):
            rows.append((n, row))
        else:
            at.inside(n).problem(f"got {shown(row)}", f"Write it as a table [[{ROWS}]].")
    return rows


def _reading(
    n: int, row: Mapping[str, object], top: Given, place: Place, rules: ReadingRules
) -> Reading | None:
    """Return one reading; None after reporting what is wrong with it."""
    at, problems = place.inside(ROWS).inside(n), place.reading.problems
    before = len(problems)
    given = _sound(read_fields(row, READING, at, f"reading {n + 1}"), rules)
    instrument = _instrument(given, rules)
    situation = _situation(given, top, instrument, rules)
    points = _points(given, instrument, rules) if instrument else None
    value = _value(given, instrument, rules)
    if situation is None or points is None or value is None or instrument is None:
        return None
    measurement = Measurement(instrument.name, *points, situation)
    refused = live_ohmmeter(measurement, instrument, rules.harness)
    if refused:
        given.at("instrument").problem(*refused)
    # a key that nobody reads may have changed what the reading means: it is not taken either
    if len(problems) > before:
        return None
    file, line = place.reading.source.file, place.reading.source.line(at.path)
    note = given.value("note", str, "")
    return Reading(measurement, value, f"{file}:{line}" if line else file, note)


def _instrument(given: Given, rules: ReadingRules) -> InstrumentRow | None:
    name = given.optional("instrument", str)
    if name is None:
        return None
    rows = rules.library.instruments
    if name not in rows:
        place = given.at("instrument")
        hint = place.hint(name, rows) or f"There are: {'; '.join(rows)}."
        place.problem(f"got {shown(name)}", hint)
        return None
    row = rows[name]
    if row.system_v not in (None, rules.harness.system_v):
        fitting = "; ".join(
            other.name
            for other in rows.values()
            if other.kind == row.kind and other.system_v == rules.harness.system_v
        )
        wrong = f"{name} is for {row.system_v:g} V, the machine has {rules.harness.system_v:g} V"
        given.at("instrument").problem(wrong, f"For this machine: {fitting}.")
        return None
    return row


def _situation(
    given: Given, top: Given, instrument: InstrumentRow | None, rules: ReadingRules
) -> Situation | None:
    def either(key: str) -> object | None:
        value = given.values.get(key, top.values.get(key))
        return None if isinstance(value, Gap) else value

    position = either("position")
    if position is None and "position" not in given.values and "position" not in top.values:
        if instrument is not None and instrument.supply != "on":
            position = rules.positions[0]
        else:
            right = f'Give one of: "{rules.positions[0]}", "{rules.positions[-1]}" ...'
            given.place.problem("position is missing", right)
    unplugged = either("unplugged") or ()
    # a state that was refused, here or above all readings, leaves nothing to hold a reading against
    inherited = (given.values.get(f.key, top.values.get(f.key)) for f in MACHINE)
    if Gap.BROKEN in inherited or not isinstance(position, str):
        return None
    assert isinstance(unplugged, tuple)
    coils, volts = either("coils"), either("battery")
    return Situation(
        position=position,
        engine=str(either("engine") or "off"),
        supply_v=volts if isinstance(volts, float) else None,
        unplugged=frozenset(str(name) for name in unplugged),
        coils_warm=None if coils is None else coils == "warm",
    )


def _strange_position(place: Place, position: str, rules: ReadingRules) -> Gap:
    named = ", ".join(f'"{printable(name)}"' for name in rules.positions[:12])
    more = " ..." if len(rules.positions) > 12 else ""
    hint = place.hint(position, rules.positions) or f"There are: {named}{more}."
    return place.problem(f"no switch position {shown(position)}", hint)


def _points(given: Given, instrument: InstrumentRow, rules: ReadingRules) -> tuple[str, str] | None:
    """Return the two probes, or the subject of an observation and an empty text."""
    keys = ("plus", "minus") if instrument.at == "two points" else ("at",)
    sound = True
    for key in ("plus", "minus", "at"):
        if key in given.values and key not in keys:
            wrong, right = misplaced(key, instrument)
            given.at(key).problem(wrong, right)
            sound = False
    found = []
    for key in keys:
        point = given.optional(key, str)
        if point is None:
            if key not in given.values:
                given.place.problem(f"{key} is missing", misplaced(key, instrument)[1])
            sound = False
            continue
        said = point_problem(point, instrument, rules.harness, given.at(key))
        if said:
            given.at(key).problem(*said)
            sound = False
        found.append(point)
    if not sound:
        return None
    if len(found) == 2 and found[0] == found[1]:
        given.place.problem("both probes on one point", "Give two different points.")
        return None
    return found[0], found[1] if len(found) == 2 else ""


def _value(given: Given, instrument: InstrumentRow | None, rules: ReadingRules) -> float | None:
    """Return the value; of an unknown instrument only what no instrument shows is told."""
    written = given.optional("value", str)
    if written is None:
        return None
    system_v, library = rules.harness.system_v, rules.library
    tried = [instrument] if instrument else [library.instrument(name) for name in ANY]
    refused: list[str] = []
    for row in tried:
        try:
            return parse_value(written, row, system_v)
        except ReadingValueError as error:
            refused.append(str(error))
    said = refused[0]
    given.at("value").problem(f"value {shown(written)}", f"{said[0].upper()}{said[1:]}.")
    return None
