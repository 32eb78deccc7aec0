"""Readings at a tap: from a small TOML file, from options, or from answers at the terminal.

One table of fields serves all three, so that they take the same words and refuse the same way.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from circuitcheck.errors import InputError, Problem
from circuitcheck.model.instrument import LOADED_VOLTMETER, Filament, InstrumentRow
from circuitcheck.model.library import Library
from circuitcheck.model.library_rows import ConductorRow, FuseRow, InsulationRow
from circuitcheck.model.supply_tap import ELECTRONIC_FUSE, NEVER_TAP
from circuitcheck.model.tap_readings import KnownLoad, TapReadings
from circuitcheck.model.tolerance_band import Band
from circuitcheck.read.forms.fields import Given, read_fields
from circuitcheck.read.forms.forms import Form, ListOf
from circuitcheck.read.forms.printable import printable
from circuitcheck.read.parts.parts_supply import conductor_row
from circuitcheck.read.reading import Gap, Place, Reading
from circuitcheck.read.readings.tap_fields import FIELDS, UNREADABLE
from circuitcheck.read.readings.tap_forms import no_loads
from circuitcheck.read.toml_source import TomlSource, load_toml

LOAD_TOLERANCE = 0.05
"""Tolerance of a resistor whose own is not given: the usual class of a power resistor."""
HIGHEST_LOAD_A = 100.0
"""More is no load that anyone hangs on by hand; common practice, no source."""
UNREAD = "the command line"


def read_tap_file(
    path: str | Path,
    library: Library,
    answers: Mapping[str, object] | None = None,
    *,
    text: str | None = None,
) -> TapReadings:
    """Return the readings of a TOML file; `answers`, as options give them, stand before its own.

    Raises InputError with every problem of the file.
    """
    if text is None and not Path(path).exists():
        right = "Check the name. Without a file the readings are asked for one by one."
        raise InputError(
            [Problem(printable(str(path), most=200), "", "there is no such file", right)]
        )
    source = load_toml(path, text)
    if {"part", "wire"} <= set(source.tables):
        right = "Give the readings at the tap in a file of their own, or no file."
        raise InputError([Problem(source.file, "", "this is a harness file", right)])
    more = typed(answers or {})
    lines = {place: line for place, line in source.lines.items() if place[0] not in more}
    return _read(TomlSource(source.file, {**source.tables, **more}, lines), library)


def read_tap_answers(answers: Mapping[str, object], library: Library) -> TapReadings:
    """Return the readings given as texts under their keys, as options and answers are.

    A list is written with commas. Raises InputError.
    """
    return _read(TomlSource(UNREAD, typed(answers), {}), library)


def typed(answers: Mapping[str, object]) -> dict[str, object]:
    """Return texts as a file would have them: lists of words."""
    forms: dict[str, Form] = {field.key: field.form for field in FIELDS}
    out: dict[str, object] = {}
    for key, value in answers.items():
        form = forms.get(key)
        if isinstance(value, str) and isinstance(form, ListOf):
            words = [word.strip() for word in value.split(",")]
            out[key] = [] if words in ([""], ["nothing"], ["none"]) else words
        else:
            out[key] = value
    return out


def problem_of(key: str, written: str, library: Library, before: Mapping[str, object]) -> str:
    """Return what is wrong with one answer after those before; an empty text where nothing is."""
    reading = Reading(TomlSource(UNREAD, {}, {}), library)
    place = Place(reading, (key,))
    field = next(field for field in FIELDS if field.key == key)
    field.form.read(typed({key: written})[key], place)
    problems = tuple(reading.problems)
    if not problems:
        try:
            load = read_tap_answers({**before, key: written}, library).load
        except InputError as error:
            problems = error.problems
        else:
            if key == "load" and load is not None and not load.is_load:
                return f"The {load.name} is no load. Hang a bulb on, or press Enter."
    return " ".join(f"{p.wrong}. {p.right}" for p in problems)


def is_never_tapped(answers: Mapping[str, object], library: Library) -> bool:
    """Return whether the answers so far name a circuit that never may be tapped."""
    return not set(NEVER_TAP).isdisjoint(read_tap_answers(answers, library).feeds or ())


def _read(source: TomlSource, library: Library) -> TapReadings:
    reading = Reading(source, library)
    given = read_fields(source.tables, FIELDS, Place(reading, ()), "tap")
    found = None if given.broken else _built(given, library)
    if reading.problems or found is None:
        raise InputError(sorted(reading.problems, key=lambda problem: problem.line or 0))
    return found


def _built(given: Given, library: Library) -> TapReadings | None:
    system_v = 24.0 if given.value("system", str, "") == "24 V" else 12.0
    meter = given.value("meter", InstrumentRow, library.instrument("digital voltmeter"))
    _check_range(given, meter)
    _check_volts(given, system_v)
    conductor: ConductorRow | None = None
    if given.has("gauge"):
        conductor = conductor_row(given, library)
    feeds: tuple[Any, ...] | None = given.optional("feeds", tuple)
    if given.values.get("fuse") == ELECTRONIC_FUSE and ELECTRONIC_FUSE not in (feeds or ()):
        feeds = (*(feeds or ()), ELECTRONIC_FUSE)
    return TapReadings(
        name=given.value("name", str, "TAP"),
        system_v=system_v,
        wanted_a=given.optional("wanted", float),
        feeds=feeds,
        meter=meter,
        range_v=given.optional("range", float),
        open_v=given.optional("open", float),
        loaded_v=given.optional("loaded", float),
        posts_open_v=given.optional("posts_open", float),
        posts_loaded_v=given.optional("posts_loaded", float),
        drop_v=given.optional("drop", float),
        load=_load(given, library, system_v),
        key_off_v=given.optional("key_off", float),
        cranking_v=given.optional("cranking", float),
        present_load_a=given.optional("present_load", float),
        clamp=given.value("clamp", InstrumentRow, library.instrument("clamp ammeter")),
        fuse_drop_v=given.optional("fuse_drop", float),
        fuse=given.optional("fuse", FuseRow),
        fuse_known=given.has("fuse"),
        conductor=conductor,
        insulation=given.optional("insulation", InsulationRow),
        length_m=given.optional("length", float),
        air_c=given.optional("air", float),
        engine_space=given.optional("engine_space", bool),
        key_contact_a=given.optional("key_contact", float),
        gauge=given.value("gauge", str, ""),
        area=given.value("area", str, ""),
    )


def _check_range(given: Given, meter: InstrumentRow) -> None:
    chosen = given.optional("range", float)
    scales = [r.full_scale for r in meter.ranges]
    if chosen is None:
        return
    if chosen not in scales:
        named = ", ".join(f"{scale:g} V" for scale in scales)
        given.at("range").problem(f"got {chosen:g} V", f"Ranges of {meter.name}: {named}.")
    for key in ("open", "loaded", "posts_open", "posts_loaded"):
        volts = given.optional(key, float)
        if volts is not None and volts > chosen:
            right = "Read both voltages on one range that shows both."
            given.at(key).problem(f"{volts:g} V is not on a {chosen:g} V range", right)


def _check_volts(given: Given, system_v: float) -> None:
    for key in ("open", "loaded", "posts_open", "posts_loaded", "key_off", "cranking"):
        volts = given.optional(key, float)
        if volts is not None and volts > 1.5 * system_v:
            wrong = f"{volts:g} V cannot be on a {system_v:g} V machine"
            given.at(key).problem(wrong, "mV or V? Is the system right?")
    pair = ("posts_open", "posts_loaded")
    if given.has(pair[0]) != given.has(pair[1]):
        missing = pair[1] if given.has(pair[0]) else pair[0]
        given.place.problem(f"{missing} is missing", "Give both readings of the posts, or none.")
    if given.has("loaded") and not given.has("load"):
        given.place.problem("load is missing", "Say which load was on.")
    if given.has("fuse_drop") and given.values.get("fuse") in (None, *UNREADABLE, Gap.UNKNOWN):
        right = "Give the fuse that the millivolts were read across."
        given.at("fuse_drop").problem("millivolts across no fuse", right)


def _load(given: Given, library: Library, system_v: float) -> KnownLoad | None:
    value = given.values.get("load")
    if isinstance(value, str) and value in no_loads(library):
        ohm = library.instrument(value).load_ohm(system_v)
        return KnownLoad(value, resistance_ohm=Band.exact(ohm), is_load=False)
    if isinstance(value, str):
        return KnownLoad(value, filament=_filament(given, library, value, system_v))
    if not isinstance(value, tuple):
        return None
    unit, number = value
    amps = number if unit == "A" else system_v / number
    if amps > HIGHEST_LOAD_A:
        right = "mohm or ohm, mA or A? Hang on what the circuit's fuse carries."
        given.at("load").problem(f"a load of {amps:.0f} A", right)
        return None
    share = given.value("load_tolerance", float, LOAD_TOLERANCE)
    band = Band(number * (1.0 - share), number, number * (1.0 + share))
    if unit == "A":
        return KnownLoad(f"{number:g} A", current_a=band)
    return KnownLoad(f"{number:g} ohm", resistance_ohm=band)


def _filament(given: Given, library: Library, name: str, system_v: float) -> Filament | None:
    for row in library.instruments.values():
        is_bulb = row.kind == LOADED_VOLTMETER and row.name.split(" and ")[0] == name
        if is_bulb and row.system_v == system_v:
            return row.filament
    fitting = [
        row.name.split(" and ")[0]
        for row in library.instruments.values()
        if row.kind == LOADED_VOLTMETER and row.system_v == system_v
    ]
    wrong = f"no {name} for {system_v:g} V in the library"
    given.at("load").problem(wrong, f"There are: {', '.join(fitting)}.")
    return None
