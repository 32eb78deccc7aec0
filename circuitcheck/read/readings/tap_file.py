"""Readings at a tap: from a small TOML file, from options, or from answers at the terminal.

One table of fields serves all three, so that they take the same words and refuse the same way.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from circuitcheck.errors import InputError
from circuitcheck.model.instrument import (
    CLAMP_AMMETER,
    LOADED_VOLTMETER,
    VOLTMETER,
    Filament,
    InstrumentRow,
)
from circuitcheck.model.library import Library
from circuitcheck.model.library_rows import ConductorRow, FuseRow, InsulationRow
from circuitcheck.model.tap_readings import KnownLoad, TapReadings
from circuitcheck.model.tolerance_band import Band
from circuitcheck.read.common_rules import AMPERES
from circuitcheck.read.forms.fields import Field, Given, read_fields
from circuitcheck.read.forms.forms import Either, Form, ListOf, Name, Word, YesNo
from circuitcheck.read.forms.quantities import AREAS, Amount, Gauge
from circuitcheck.read.forms.references import LibraryRow
from circuitcheck.read.parts.part_rules import FEEDS
from circuitcheck.read.parts.parts_supply import conductor_row
from circuitcheck.read.reading import Gap, Place, Reading
from circuitcheck.read.readings.tap_forms import InstrumentForm, TapLoadForm
from circuitcheck.read.toml_source import TomlSource, load_toml
from circuitcheck.units import (
    CURRENT,
    LENGTH,
    SHARE,
    TEMPERATURE,
    VOLTAGE,
)

VOLTS = Amount(VOLTAGE, -1.0, 36.0)
LOAD_TOLERANCE = 0.05
"""Tolerance of a resistor whose own is not given: the usual class of a power resistor."""
NO_FUSE = "none"
UNREAD = "the command line"


FIELDS: tuple[Field, ...] = (
    Field("name", Name("tap"), "name of the tap in the harness file", left_out="TAP"),
    Field("system", Word(("12 V", "24 V")), "rated voltage of the machine", required=True),
    Field("wanted", AMPERES, "highest current the add-on takes, all coils on"),
    Field("feeds", ListOf(Word(FEEDS), 0, 20, '["wiper"]', distinct=True),
          "what else hangs on the circuit: pull its fuse and see what stops working"),
    Field("fuse", Either((NO_FUSE,), LibraryRow("fuses")),
          'the machine\'s own fuse, "15 A blade"; "none" where there is none'),
    Field("gauge", Gauge(), "size of the machine's wire to the tap"),
    Field("area", Word(AREAS), "standard that sets the conductor's area"),
    Field("insulation", LibraryRow("insulation"), "insulation class of that wire",
          left_out="the 60 degC class"),
    Field("length", Amount(LENGTH, 0.0, 100.0, above=True), "length of that wire, battery to tap"),
    Field("air", Amount(TEMPERATURE, -60.0, 150.0), "hottest air of that fuse and wire"),
    Field("engine_space", YesNo(), "whether that wire passes the engine space", left_out="true"),
    Field("key_contact", AMPERES, "rated current of the key contact, if it is printed"),
    Field("meter", InstrumentForm(VOLTMETER), "voltmeter", left_out="digital voltmeter"),
    Field("range", Amount(VOLTAGE, 0.0, 1000.0, above=True), "range that both readings were on"),
    Field("open", VOLTS, "tap to battery minus, key on, engine off, nothing added"),
    Field("load", TapLoadForm(), "known load then hung on, tap to battery minus"),
    Field("load_tolerance", Amount(SHARE, 0.0, 0.5), "tolerance of a load given in ohm or A",
          left_out="5 %"),
    Field("loaded", VOLTS, "tap to battery minus with that load on, same range"),
    Field("posts_open", VOLTS, "battery posts, when `open` was read"),
    Field("posts_loaded", VOLTS, "battery posts, when `loaded` was read"),
    Field("drop", Amount(VOLTAGE, 0.0, 20.0),
          "battery plus to tap with that load on, in one piece: better than a difference"),
    Field("key_off", VOLTS, "tap to battery minus with the key off, load still on"),
    Field("cranking", VOLTS, "tap to battery minus while an assistant cranks, load still on"),
    Field("clamp", InstrumentForm(CLAMP_AMMETER), "clamp meter", left_out="clamp ammeter"),
    Field("present_load", Amount(CURRENT, 0.0, 1000.0),
          "current of the circuit as it is, all its consumers on, by clamp"),
    Field("fuse_drop", Amount(VOLTAGE, -0.5, 0.5),
          "millivolts across the machine's fuse, all its consumers on, instead of a clamp"),
)  # fmt: skip
"""Every reading at a tap, in the order in which a person takes them."""
ASKED = {
    "system": "", "wanted": "", "feeds": "", "fuse": "", "gauge": "", "insulation": "gauge",
    "length": "gauge", "air": "", "engine_space": "gauge", "open": "", "load": "open",
    "loaded": "load", "drop": "loaded", "key_off": "open", "cranking": "open", "present_load": "",
    "fuse_drop": "fuse",
}  # fmt: skip
"""Fields asked for at the terminal, each with the field whose answer it hangs on."""
EXAMPLES = {
    "system": "12 V or 24 V", "wanted": "4 A", "feeds": ", ".join((*FEEDS, "or nothing")),
    "fuse": "15 A blade", "gauge": "14 AWG, 2.5 mm2", "insulation": "PVC 105", "length": "1.8 m",
    "air": "60 degC", "engine_space": "yes or no", "open": "12.60 V", "load": "21 W bulb",
    "loaded": "12.48 V", "drop": "85 mV", "key_off": "0.02 V", "cranking": "9.8 V",
    "present_load": "3.5 A", "fuse_drop": "12 mV",
}  # fmt: skip
"""How an answer at the terminal is written."""


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
    source = load_toml(path, text)
    more = typed(answers or {})
    return _read(TomlSource(source.file, {**source.tables, **more}, source.lines), library)


def read_tap_answers(answers: Mapping[str, object], library: Library) -> TapReadings:
    """Return the readings given as texts under their keys, as options and answers are.

    A list is written with commas, true and false as yes and no. Raises InputError.
    """
    return _read(TomlSource(UNREAD, typed(answers), {}), library)


def typed(answers: Mapping[str, object]) -> dict[str, object]:
    """Return texts as a file would have them: lists of words, booleans."""
    forms: dict[str, Form] = {field.key: field.form for field in FIELDS}
    out: dict[str, object] = {}
    for key, value in answers.items():
        form = forms.get(key)
        if isinstance(value, str) and isinstance(form, ListOf):
            words = [word.strip() for word in value.split(",")]
            out[key] = [] if words in ([""], ["nothing"]) else words
        elif isinstance(form, YesNo) and value in ("yes", "no"):
            out[key] = value == "yes"
        else:
            out[key] = value
    return out


def problem_of(key: str, written: str, library: Library) -> str:
    """Return what is wrong with one answer; an empty text where nothing is."""
    reading = Reading(TomlSource(UNREAD, {}, {}), library)
    place = Place(reading, (key,))
    field = next(field for field in FIELDS if field.key == key)
    field.form.read(typed({key: written})[key], place)
    return " ".join(f"{p.wrong}. {p.right}" for p in reading.problems)


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
            given.at(key).problem(wrong, "mV or V? Is the engine off?")
    pair = ("posts_open", "posts_loaded")
    if given.has(pair[0]) != given.has(pair[1]):
        missing = pair[1] if given.has(pair[0]) else pair[0]
        given.place.problem(f"{missing} is missing", "Give both readings of the posts, or none.")
    if given.has("loaded") and not given.has("load"):
        given.place.problem("load is missing", "Say which load was on.")
    if given.has("fuse_drop") and given.values.get("fuse") in (None, NO_FUSE, Gap.UNKNOWN):
        right = "Give the fuse that the millivolts were read across."
        given.at("fuse_drop").problem("millivolts across no fuse", right)


def _load(given: Given, library: Library, system_v: float) -> KnownLoad | None:
    value = given.values.get("load")
    if isinstance(value, str):
        return KnownLoad(value, filament=_filament(given, library, value, system_v))
    if not isinstance(value, tuple):
        return None
    unit, number = value
    share = given.value("load_tolerance", float, LOAD_TOLERANCE)
    band = Band(number * (1.0 - share), number, number * (1.0 + share))
    if unit == "A":
        return KnownLoad(f"a load of {number:g} A", current_a=band)
    return KnownLoad(f"a load of {number:g} ohm", resistance_ohm=band)


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
