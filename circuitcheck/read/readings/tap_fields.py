"""The fields of the readings at a tap: what may be written, what is asked for, and how."""

from __future__ import annotations

from collections.abc import Mapping

from circuitcheck.model.instrument import CLAMP_AMMETER, VOLTMETER
from circuitcheck.model.supply_tap import ELECTRONIC_FUSE
from circuitcheck.read.common_rules import AMPERES
from circuitcheck.read.forms.fields import Field
from circuitcheck.read.forms.forms import Either, ListOf, Name, Word
from circuitcheck.read.forms.quantities import AREAS, Amount, Gauge
from circuitcheck.read.forms.references import LibraryRow
from circuitcheck.read.parts.part_rules import FEEDS
from circuitcheck.read.readings.tap_forms import (
    LOWEST_V,
    InstrumentForm,
    SystemVoltage,
    TapFuse,
    TapLoadForm,
    TapVolts,
    YesOrNo,
)
from circuitcheck.units import CURRENT, LENGTH, SHARE, TEMPERATURE, VOLTAGE

VOLTS = TapVolts(Amount(VOLTAGE, LOWEST_V, 36.0))
NO_FUSE = "none"
UNREADABLE = (NO_FUSE, ELECTRONIC_FUSE)
"""Said of a feed instead of a fuse; across neither can millivolts be read."""

FIELDS: tuple[Field, ...] = (
    Field("name", Name("tap"), "name of the tap in the harness file", left_out="TAP"),
    Field("system", SystemVoltage(), "rated voltage of the machine", required=True),
    Field("wanted", AMPERES, "highest current the add-on takes, all coils on"),
    Field("feeds", ListOf(Word(FEEDS), 0, 20, '["wiper"]', distinct=True),
          "what else hangs on the circuit, with commas: pull its fuse and see what stops working"),
    Field("fuse", Either(UNREADABLE, TapFuse()),
          "the machine's own fuse; none where there is none"),
    Field("gauge", Gauge(), "size of the machine's wire to the tap"),
    Field("area", Word(AREAS), "standard that sets the conductor's area"),
    Field("insulation", LibraryRow("insulation"), "insulation class of that wire",
          left_out="the 60 degC class"),
    Field("length", Amount(LENGTH, 0.0, 100.0, above=True), "length of that wire, battery to tap"),
    Field("air", Amount(TEMPERATURE, -60.0, 150.0), "hottest air of that fuse and wire"),
    Field("engine_space", YesOrNo(),
          "whether that wire passes the engine space: yes or no", left_out="yes"),
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
    "system": "12 V or 24 V", "wanted": "4 A", "feeds": f"{', '.join(FEEDS)}; or nothing",
    "fuse": "15 A blade", "gauge": "14 AWG, 2.5 mm2", "insulation": "PVC 105", "length": "1.8 m",
    "air": "60 degC", "engine_space": "", "open": "12.60 V", "load": "21 W bulb",
    "loaded": "12.48 V", "drop": "85 mV", "key_off": "0.02 V", "cranking": "9.8 V",
    "present_load": "3.5 A", "fuse_drop": "12 mV",
}  # fmt: skip
"""How an answer at the terminal is written."""


def question(field: Field) -> str:
    """Return what is asked for, with how it is written."""
    example = EXAMPLES.get(field.key, "")
    return f"{field.meaning[0].upper()}{field.meaning[1:]}{example and f' ({example})'}"


def is_asked(key: str, answers: Mapping[str, str]) -> bool:
    """Return whether a field is asked for at the terminal, after the answers given so far."""
    needed = ASKED.get(key)
    if needed is None or (needed and not answers.get(needed)):
        return False
    if key == "fuse_drop":
        return answers["fuse"] not in UNREADABLE and "present_load" not in answers
    return True
