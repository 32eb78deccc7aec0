"""The readings file: what is well is kept, what is wrong is named with line and remedy."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuitcheck import InputError, read_harness, read_library
from circuitcheck.circuit.positions import switch_positions
from circuitcheck.model.reading import Situation
from circuitcheck.read.readings.reading_value import ReadingValueError, parse_value
from circuitcheck.read.readings.readings_file import (
    ReadingRules,
    read_readings,
    read_whole_readings,
)

EXAMPLES = Path(__file__).parents[2] / "examples"
LIBRARY = read_library()


def rules(example: str) -> ReadingRules:
    harness = read_harness(EXAMPLES / example / "harness.toml", LIBRARY)
    return ReadingRules(harness, LIBRARY, [p.name for p in switch_positions(harness)])


SPRAYER = rules("orchard_sprayer")
SWEEPER = rules("road_sweeper_24v")

WELL = """\
format = 1
position = "key on, left"
battery = "12.5 V"

[[reading]]
instrument = "digital voltmeter"
plus = "VL.1"
minus = "VL.2"
value = "3.4 V"
coils = "warm"

[[reading]]
instrument = "click"
at = "VL"
value = "no"
note = "no = nothing"

[[reading]]
instrument = "ohmmeter"
plus = "VL.1"
minus = "VL.2"
position = "key off"
unplugged = ["VL"]
value = "OL"

[[reading]]
instrument = "test lamp"
plus = "X1.plug.1"
minus = "BAT.-"
engine = "running"
battery = "14.1 V"
value = "dim"

[[reading]]
instrument = "fuse millivolts"
at = "F1"
value = "4.2 mV"

[[reading]]
instrument = "clamp ammeter"
at = "W3"
value = "1.3 A"
"""


def test_each_reading_says_probes_position_and_state_of_the_machine() -> None:
    found = read_readings("r.toml", SPRAYER, text=WELL)
    assert found.problems == ()
    drop, click, ohm, lamp, fuse, clamp = found.readings
    assert (drop.measurement.plus, drop.measurement.minus, drop.value) == ("VL.1", "VL.2", 3.4)
    assert drop.measurement.situation == Situation("key on, left", "off", 12.5, coils_warm=True)
    assert (click.measurement.plus, click.measurement.minus, click.value) == ("VL", "", 0.0)
    assert click.note == "no = nothing"
    assert math.isinf(ohm.value)
    assert ohm.measurement.situation == Situation("key off", "off", 12.5, frozenset({"VL"}))
    assert (lamp.value, lamp.measurement.situation.engine) == (1.0, "running")
    assert lamp.measurement.situation.supply_v == 14.1
    assert fuse.value == pytest.approx(0.0042)
    assert clamp.value == 1.3
    assert [r.place for r in found.readings] == [f"r.toml:{n}" for n in (5, 12, 18, 26, 34, 39)]


@pytest.mark.parametrize(
    ("old", "new", "line", "wrong", "right"),
    [
        ('plus = "VL.1"', 'plus = "VL.3"', 7, 'no point "VL.3"', "Did you mean"),
        ('plus = "VL.1"', 'plus = "VL"', 7, "VL has more than one terminal", '"VL.1", "VL.2"'),
        ('minus = "VL.2"', 'minus = "VL.1"', 5, "both probes on one point", "two different"),
        ('value = "3.4 V"', 'value = "40 V"', 9, "40 V", "cannot be on a 12 V machine"),
        ('value = "3.4 V"', 'value = "3.4"', 9, "3.4", "unit is missing"),
        ('value = "3.4 V"', 'value = "3,4 V"', 9, "3,4 V", "with a point, not a comma"),
        ('value = "3.4 V"', 'value = "OL"', 9, "OL", "one number and one unit"),
        ('value = "3.4 V"', 'value = "3.4 ohm"', 9, "3.4 ohm", "unit of resistance"),
        ('value = "OL"', 'value = "-2 ohm"', 24, "-2 ohm", "never negative"),
        ('value = "no"', 'value = "maybe"', 15, "maybe", '"yes" or "no"'),
        ('value = "dim"', 'value = "yes"', 32, "yes", '"dark" or "dim" or "bright"'),
        ('value = "4.2 mV"', 'value = "12.1 V"', 37, "12.1 V", "blown"),
        ('"key on, left"', '"key on, lefd"', 2, "no switch position", 'mean "key on, left"'),
        ('position = "key off"', 'position = "key on"', 19, "ohmmeter with key on", "No ohmmeter"),
        ('["VL"]', '["VL", 3]', 23, "got 3", "Give text"),
        ('["VL"]', '["VX"]', 23, 'no part "VX" to unplug', "X1"),
        ('instrument = "click"', 'instrument = "clikc"', 13, "clikc", 'mean "click"'),
        ('instrument = "test lamp"', 'instrument = "test lamp, 24 V"', 27, "for 24 V", "test lamp"),
        ('at = "VL"', 'at = "F1"', 14, "taken at a coil, not at F1", "There are: VL, VR"),
        ('at = "F1"', 'plus = "F1.line"', 36, "plus does not go with", "Give at: the fuse"),
        ('at = "W3"\n', "", 39, "at is missing", "wire or part"),
        ('engine = "running"', 'engine = "runing"', 30, "runing", 'mean "running"'),
        ('battery = "14.1 V"', 'battery = "141 V"', 31, "141 V", "3 V to 36 V"),
        ('note = "no', 'nota = "no', 16, "no such key", 'mean "note"'),
    ],
)
def test_a_bad_reading_is_named_and_the_others_stay(
    old: str, new: str, line: int, wrong: str, right: str
) -> None:
    assert old in WELL
    found = read_readings("r.toml", SPRAYER, text=WELL.replace(old, new, 1))
    said = "\n".join(map(str, found.problems))
    hits = [p for p in found.problems if p.line == line and wrong in p.wrong and right in p.right]
    assert hits, said
    assert "?." not in said
    takes_the_place_of_another = old.startswith("at") and new.startswith("plus")
    assert len(found.problems) == (2 if takes_the_place_of_another else 1), said
    broken_position = "lefd" in new
    assert len(found.readings) == (1 if broken_position else 5), said


def test_all_problems_are_told_at_once_in_order_of_lines(tmp_path: Path) -> None:
    text = WELL.replace('"VL.1"', '"VQ.1"').replace('"no"', '"nope"').replace('"3.4 V"', '"99 V"')
    path = tmp_path / "readings.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(InputError) as caught:
        read_whole_readings(path, SPRAYER)
    lines = [p.line for p in caught.value.problems]
    assert lines == sorted(lines)
    assert len(lines) == 4


def test_an_ohmmeter_on_a_tap_that_the_key_does_not_switch_needs_its_fuse_out() -> None:
    source = (EXAMPLES / "orchard_sprayer" / "harness.toml").read_text(encoding="utf-8")
    harness = read_harness("h.toml", LIBRARY, text=source.replace('key = "on"', 'key = "always"'))
    always = ReadingRules(harness, LIBRARY, SPRAYER.positions)
    found = read_readings("r.toml", always, text=WELL)
    assert any("TAP may be live" in p.wrong and '["TAP"]' in p.right for p in found.problems)
    mended = WELL.replace('["VL"]', '["VL", "TAP"]')
    assert read_readings("r.toml", always, text=mended).problems == ()


def test_an_unknown_instrument_hides_no_other_mistake() -> None:
    text = WELL.replace('"digital voltmeter"', '"voltmetre"').replace("3.4 V", "3,4 V")
    found = read_readings("r.toml", SPRAYER, text=text.replace('"VL.2"', '"VL.2"'))
    assert [p.line for p in found.problems] == [6, 9]


def test_a_reading_says_again_what_stands_above_all() -> None:
    text = 'unplugged = ["X1"]\n' + WELL.replace('coils = "warm"', "unplugged = []", 1)
    found = read_readings("r.toml", SPRAYER, text=text)
    off = [r.measurement.situation.unplugged for r in found.readings]
    assert off[0] == frozenset()
    assert off[1] == {"X1"}
    wrong = read_readings("r.toml", SPRAYER, text=text.replace('["X1"]', '["X9"]', 1))
    assert [p.line for p in wrong.problems] == [1], "told once, not for each reading"
    assert len(wrong.readings) < len(found.readings)


def test_what_is_no_list_of_readings_is_said() -> None:
    for text, wrong in (
        ("", "there is no reading"),
        ("reading = 3", "got 3"),
        ("reading = [1]", "got 1"),
        ("[reading]\nvalue = 1", "got a table"),
    ):
        found = read_readings("r.toml", SPRAYER, text=text)
        assert any(wrong in p.wrong for p in found.problems), text
        assert found.readings == ()


@pytest.mark.parametrize(
    ("written", "name", "value"),
    [
        ("11.8 V", "digital voltmeter", 11.8),
        ("350 mV", "digital voltmeter", 0.35),
        ("-0.02 V", "digital voltmeter", -0.02),
        ("11.8", "digital voltmeter", 11.8),
        ("7.2 ohm", "ohmmeter", 7.2),
        ("7.2 kΩ", "ohmmeter", 7200.0),
        ("OL", "ohmmeter", math.inf),
        ("ol", "ohmmeter", math.inf),
        ("No  path", "ohmmeter", math.inf),
        ("yes", "click", 1.0),
        ("N", "click", 0.0),
        ("lit", "LED tester", 2.0),
        ("Dark", "test lamp", 0.0),
    ],
)
def test_a_value_as_typed_at_a_terminal(written: str, name: str, value: float) -> None:
    assert parse_value(written, LIBRARY.instrument(name), 12.0, bare=True) == pytest.approx(value)


@pytest.mark.parametrize(
    ("written", "wrong"),
    [
        ("0,5", "decimal with a point, not a comma"),
        ("6,44 V", "decimal with a point, not a comma"),
        ("1e400", "give one number and one unit"),
        ("5 A", "A is a unit of current"),
    ],
)
def test_what_is_wrong_with_a_typed_value_is_the_number_or_its_unit(
    written: str, wrong: str
) -> None:
    with pytest.raises(ReadingValueError, match=wrong):
        parse_value(written, LIBRARY.instrument("digital voltmeter"), 12.0, bare=True)


@pytest.mark.parametrize(
    ("name", "written", "value"),
    [("clamp ammeter", "-3 A", 3.0), ("fuse millivolts", "-4.2 mV", 0.0042),
     ("digital voltmeter", "-3 V", -3.0)],
)  # fmt: skip
def test_a_clamp_the_other_way_round_shows_the_same_current(
    name: str, written: str, value: float
) -> None:
    assert parse_value(written, LIBRARY.instrument(name), 12.0) == pytest.approx(value)


@given(st.text(max_size=30), st.sampled_from(sorted(LIBRARY.instruments)))
def test_any_text_is_a_value_or_refused_in_words(written: str, name: str) -> None:
    row = LIBRARY.instrument(name)
    try:
        value, said = parse_value(written, row, 24.0, bare=True), "well"
    except ReadingValueError as error:
        value, said = 0.0, str(error)
    assert not math.isnan(value)
    assert said
    assert said.isprintable()


def test_a_24_v_machine_has_its_own_lamps_and_limits() -> None:
    coil = SWEEPER.harness.coils[0].name
    position = SWEEPER.positions[-1]
    text = f"""
[[reading]]
instrument = "test lamp"
plus = "{coil}.1"
minus = "{coil}.2"
position = "{position}"
value = "bright"
[[reading]]
instrument = "digital voltmeter"
plus = "{coil}.1"
minus = "{coil}.2"
position = "{position}"
value = "27.5 V"
"""
    found = read_readings("r.toml", SWEEPER, text=text)
    assert [r.value for r in found.readings] == [27.5]
    assert "test lamp, 24 V" in found.problems[0].right
