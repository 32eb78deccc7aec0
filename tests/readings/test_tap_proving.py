"""Tap proving: hand calculation, Monte Carlo, and the checks' own limits."""

from __future__ import annotations

import json
import math
import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from circuitcheck import InputError, open_case, read_harness, read_library
from circuitcheck.checks.supply.tap_capacity import CHECK as TAP_CAPACITY
from circuitcheck.documents.tap_text import harness_lines, tap_json, tap_text
from circuitcheck.model.supply_tap import NEVER_TAP
from circuitcheck.model.tap_readings import KnownLoad, TapReadings
from circuitcheck.model.tolerance_band import Band
from circuitcheck.read.readings.tap_file import read_tap_answers, read_tap_file
from circuitcheck.readings.fuse_current import fuse_current_a
from circuitcheck.readings.source_resistance import TapVolts, expected_with, source_resistance
from circuitcheck.readings.tap_answers import (
    CRANKING,
    FUSED,
    KEY_SWITCHED,
    LIVE,
    MAY_BE_TAPPED,
    NO,
    ROOM,
    STIFF,
    UNKNOWN,
    YES,
)
from circuitcheck.readings.tap_proving import prove_tap

EXAMPLES = Path(__file__).parents[2] / "examples"
LIBRARY = read_library()
METER = LIBRARY.instrument("digital voltmeter")
ON_20_V = METER.ranges[2]
GOOD = {
    "system": "12 V", "wanted": "4 A", "feeds": "wiper", "fuse": "15 A blade", "gauge": "14 AWG",
    "insulation": "PVC 105", "length": "1.8 m", "air": "60 degC", "engine_space": "yes",
    "open": "12.60 V", "load": "21 W bulb", "loaded": "12.52 V", "key_off": "0.02 V",
    "cranking": "0.01 V", "fuse_drop": "12.0 mV",
}  # fmt: skip


def readings(**changed: str | None) -> TapReadings:
    answers = {**GOOD, **changed}
    given_ones = {key: value for key, value in answers.items() if value is not None}
    return read_tap_answers(given_ones, LIBRARY)


def bulb(name: str) -> KnownLoad:
    return KnownLoad(name, filament=LIBRARY.instrument(f"{name} and voltmeter").filament)


def test_source_resistance_over_a_resistor_by_hand() -> None:
    """12.60 V open, 12.10 V over 2.2 ohm +/- 5 %: I = 5.5 A, R = 0.5 / 5.5 = 90.9 mohm.

    u(R)/R by hand: digits 2 x 10 mV / sqrt(3) = 11.55 mV in each reading; R = RL (Vo/Vl - 1), so
    dR/dVo = RL/Vl = 0.18182 ohm/V, dR/dVl = -RL Vo/Vl^2 = -0.18933; dR/dscale = -R, scale 5 % /
    sqrt(3). The gain cancels. u = sqrt((2.099 m)^2 + (2.186 m)^2 + (2.624 m)^2) = 4.008 mohm.
    """
    load = KnownLoad("2.2 ohm", resistance_ohm=Band(2.09, 2.2, 2.31))
    found = source_resistance(TapVolts(12.60, 12.10), ON_20_V, load)
    assert found.current_a == pytest.approx(5.5)
    assert found.resistance_ohm == pytest.approx(0.090909, abs=1e-6)
    assert found.standard_ohm == pytest.approx(4.008e-3, abs=3e-6)
    gain = next(part for part in found.budget if part.name.startswith("gain"))
    assert gain.standard_ohm < 1e-9


def test_battery_posts_read_too_leave_the_battery_out() -> None:
    """(12.60 - 12.10) - (12.60 - 12.40) = 0.30 V over 5.5 A: 54.5 mohm from posts to tap."""
    load = KnownLoad("2.2 ohm", resistance_ohm=Band.exact(2.2))
    found = source_resistance(TapVolts(12.60, 12.10, (12.60, 12.40)), ON_20_V, load)
    assert found.resistance_ohm == pytest.approx(0.3 / 5.5)
    assert not found.with_battery


def test_a_difference_of_two_meters_would_be_far_worse_than_of_one_range() -> None:
    """0.5 % of 12.6 V is 63 mV in each reading, were the gains independent: as much as the drop."""
    load = KnownLoad("3 A", current_a=Band.exact(3.0))
    found = source_resistance(TapVolts(12.60, 12.50), ON_20_V, load)
    independent = math.hypot(0.005 * 12.60, 0.005 * 12.50) / math.sqrt(3.0) / 3.0
    assert found.standard_ohm < 0.55 * independent


@pytest.mark.parametrize("name", ["21 W bulb", "55 W bulb"])
def test_the_law_of_propagation_agrees_with_monte_carlo(name: str) -> None:
    """JCGM 101:2008: 200,000 draws of gain, digits and the bulb's current."""
    rng, n = np.random.default_rng(5), 200_000
    volts, load = TapVolts(12.62, 12.41), bulb(name)
    filament = load.filament
    assert filament is not None
    half = (filament.current_a.upper - filament.current_a.lower) / 2.0
    gain = 1.0 + rng.uniform(-1, 1, n) * ON_20_V.gain
    digits = rng.uniform(-1, 1, (2, n)) * ON_20_V.digits * ON_20_V.resolution
    opened, loaded = (volts.open_v + digits[0]) * gain, (volts.loaded_v + digits[1]) * gain
    rated_a = filament.current_a.nominal + half * rng.uniform(-1, 1, n)
    ohm = (opened - loaded) / (rated_a * (loaded / filament.rated_v) ** filament.exponent)
    found = source_resistance(volts, ON_20_V, load)
    assert found.resistance_ohm == pytest.approx(ohm.mean(), rel=0.01)
    assert found.standard_ohm == pytest.approx(ohm.std(), rel=0.02)
    inside = np.abs(ohm - found.resistance_ohm) <= found.expanded_ohm
    assert inside.mean() > 0.95


def test_the_drop_in_one_piece_is_told_far_better_by_hand() -> None:
    """85.0 mV at 1.771 A: 48.0 mohm. u: 0.5 % and 2 x 0.1 mV of 85 mV, 6 % of the bulb, / sqrt(3).

    sqrt((0.5 %)^2 + (0.2 / 85)^2 + (6 %)^2 + (0.55 x 0.5 %)^2 + (0.55 x 20 / 12520)^2) / sqrt(3)
    = 6.04 % / sqrt(3) = 3.49 %.
    """
    found = prove_tap(readings(drop="85 mV"), LIBRARY).resistance
    assert found is not None
    amps = 25.0 / 13.5 * (12.52 / 13.5) ** 0.55
    assert found.current_a == pytest.approx(amps)
    assert found.resistance_ohm == pytest.approx(0.085 / amps)
    assert found.standard_ohm / found.resistance_ohm == pytest.approx(0.0349, abs=2e-4)
    difference = prove_tap(readings(), LIBRARY).resistance
    assert difference is not None
    assert found.standard_ohm < 0.25 * difference.standard_ohm


@given(source_ohm=st.floats(0.001, 0.5), open_v=st.floats(11.0, 13.0))
def test_another_load_on_the_same_source_gives_the_same_resistance(
    source_ohm: float, open_v: float
) -> None:
    for name in ("5 W test lamp", "21 W bulb", "55 W bulb"):
        found = expected_with(source_ohm, open_v, bulb(name), ON_20_V, posts=False)
        assert found.resistance_ohm == pytest.approx(source_ohm, rel=1e-6)


def test_a_good_tap_may_be_used_and_its_spare_is_added_up_by_hand() -> None:
    """15 A blade at 60 degC: factor 0.95, 75 %: 10.69 A. 12 mV over a 15 A fuse; see below."""
    proof = prove_tap(readings(), LIBRARY)
    assert proof.verdict == YES
    assert (proof.key, proof.cranking) == ("on", "off")
    fuse = next(c for c in proof.spare.carriers if c.name.startswith("fuse"))
    assert fuse.most_a == pytest.approx(0.75 * 15.0 * 0.95)
    present = proof.spare.present_a
    assert present is not None
    row = LIBRARY.fuse("blade", 15.0)
    assert present.nominal == pytest.approx(0.012 / row.resistance_ohm.nominal, rel=0.03)
    scaled = present.upper * 14.9 / 12.6
    assert proof.spare.spare_a == pytest.approx(fuse.most_a - scaled)


def test_what_is_left_is_what_the_check_of_a_harness_allows() -> None:
    """The lines printed, read as a harness: `tap capacity` has the same two limits."""
    proof = prove_tap(readings(), LIBRARY)
    source = (EXAMPLES / "orchard_sprayer" / "harness.toml").read_text(encoding="utf-8")
    start, end = source.index("[part.TAP]"), source.index("# --- the add-on")
    pasted = harness_lines(proof).replace(
        'kind = "supply tap"', 'kind = "supply tap"\nzone = "cab"'
    )
    pasted += 'zone = "engine"\n'
    text = source[:start] + pasted + source[end:]
    text = text.replace('ambient = ["-10 degC", "70 degC"]', 'ambient = ["-10 degC", "60 degC"]')
    harness = read_harness("pasted.toml", LIBRARY, text=text)
    findings = TAP_CAPACITY.judge(open_case(harness, LIBRARY))
    limits = sorted(f.limit for f in findings if f.limit is not None)
    assert limits == pytest.approx(sorted(c.most_a for c in proof.spare.carriers))
    tap = harness.parts["TAP"]
    assert tap.upstream.present_load_a.upper == pytest.approx(proof.spare.present_a.upper, abs=0.1)
    assert (tap.upstream.key, tap.upstream.cranking) == ("on", "off")


@pytest.mark.parametrize("feed", sorted(NEVER_TAP))
def test_the_kinds_that_never_may_be_tapped(feed: str) -> None:
    proof = prove_tap(readings(feeds=f"lighting, {feed}"), LIBRARY)
    assert proof.answer(MAY_BE_TAPPED).answer == NO
    assert NEVER_TAP[feed] in proof.answer(MAY_BE_TAPPED).because
    assert proof.verdict == NO


@pytest.mark.parametrize(
    ("changed", "question", "answer", "said"),
    [
        ({"feeds": None}, MAY_BE_TAPPED, UNKNOWN, "not known what else"),
        ({"open": "11.0 V", "loaded": "10.9 V"}, LIVE, NO, "empty battery"),
        ({"open": "0.4 V", "loaded": "0.2 V"}, LIVE, NO, "dead"),
        ({"key_off": "12.5 V"}, KEY_SWITCHED, NO, "live"),
        ({"key_off": "3 V"}, KEY_SWITCHED, UNKNOWN, "floating"),
        ({"key_off": None}, KEY_SWITCHED, UNKNOWN, "not measured"),
        ({"cranking": "9.6 V"}, CRANKING, YES, "stays live"),
        ({"cranking": None}, CRANKING, UNKNOWN, "not measured"),
        ({"loaded": "11.2 V"}, STIFF, NO, "lost at 4 A"),
        ({"loaded": "12.75 V"}, STIFF, UNKNOWN, "rose under load"),
        ({"loaded": "12.75 V", "drop": "85 mV"}, STIFF, UNKNOWN, "rose under load"),
        ({"loaded": "0.5 V"}, STIFF, NO, "the load is not carried"),
        ({"loaded": "0 V"}, STIFF, NO, "the load is not carried"),
        ({"loaded": "-0.02 V"}, STIFF, NO, "the load is not carried"),
        ({"loaded": "0.5 V", "drop": "85 mV"}, STIFF, NO, "the load is not carried"),
        ({"loaded": "8 V", "drop": "85 mV"}, STIFF, UNKNOWN, "make 8.09 V at the battery"),
        ({"open": "13.9 V", "loaded": "13.7 V"}, STIFF, UNKNOWN, "than any battery has at rest"),
        ({"drop": "13 V"}, STIFF, UNKNOWN, "more than any battery has"),
        ({"open": "0.3 V"}, STIFF, UNKNOWN, "dead before the load was on"),
        ({"posts_open": "12.6 V", "posts_loaded": "12.1 V"}, STIFF, UNKNOWN, "mixed up"),
        ({"load": "LED tester"}, STIFF, UNKNOWN, "the LED tester is no load: it draws 5 mA"),
        ({"load": "digital voltmeter"}, STIFF, UNKNOWN, "is no load"),
        ({"load": "LED tester", "loaded": None}, STIFF, UNKNOWN, "is no load"),
        ({"fuse": "none", "fuse_drop": None, "present_load": "2 A"}, FUSED, NO, "no fuse ahead"),
        ({"fuse": None, "fuse_drop": None}, FUSED, UNKNOWN, "not known which fuse"),
        ({"gauge": None}, FUSED, UNKNOWN, "what its wire carries is not known"),
        ({"fuse": "40 A blade", "gauge": "18 AWG"}, FUSED, NO, "overheats before the fuse opens"),
        ({"fuse": "40 A blade", "gauge": "18 AWG", "insulation": None}, FUSED, UNKNOWN, "worst"),
        ({}, FUSED, YES, "15 A blade; wire 14 AWG, PVC 105 carries"),
        ({"loaded": None, "load": None}, STIFF, UNKNOWN, "not measured"),
        ({"wanted": "9 A"}, ROOM, NO, "9 A wanted"),
        ({"meter": "moving-coil voltmeter"}, ROOM, UNKNOWN, "but it may be as little as 0 A"),
        ({"present_load": "40 A"}, ROOM, UNKNOWN, "not all is known"),
        ({"open": "0.1 V", "loaded": None, "load": None}, ROOM, YES, "4 A wanted"),
        ({"fuse": None, "fuse_drop": None}, ROOM, UNKNOWN, "not all is known"),
        ({"gauge": None}, ROOM, UNKNOWN, "not all is known"),
        ({"air": None}, ROOM, UNKNOWN, "not all is known"),
        ({"insulation": None}, ROOM, UNKNOWN, "at the worst"),
        ({"insulation": None, "wanted": "12 A"}, ROOM, NO, "12 A wanted"),
        ({"engine_space": None, "wanted": "4 A"}, ROOM, YES, "4 A wanted"),
        ({"key_contact": "4 A"}, ROOM, NO, "the key contact carries 4 A"),
    ],
)
def test_each_question_is_answered_by_itself(
    changed: dict[str, str | None], question: str, answer: str, said: str
) -> None:
    proof = prove_tap(readings(**changed), LIBRARY)
    found = proof.answer(question)
    assert found.answer == answer, found
    assert said in found.because
    assert answer == YES or found.measure or question in (KEY_SWITCHED, CRANKING)
    assert proof.verdict != YES or answer == YES or question in (KEY_SWITCHED, CRANKING)


def test_no_fuse_ahead_rules_a_tap_out_and_leaves_its_room_open() -> None:
    """Check `wiring complete` fails such a feed; the key contact's rating makes it no better."""
    proof = prove_tap(
        readings(fuse="none", fuse_drop=None, present_load="2 A", key_contact="25 A"), LIBRARY
    )
    assert proof.verdict == NO
    assert proof.answer(ROOM).answer == UNKNOWN
    assert proof.spare.spare_a is None
    assert proof.answer(MAY_BE_TAPPED).answer == YES
    # 33 CFR 183.455: within 7 inches of the source
    assert "within 7 in" in proof.answer(FUSED).measure


def test_clamp_and_fuse_that_contradict_each_other_are_both_named() -> None:
    """12 mV across a 15 A blade fuse are some 2.5 A; 40 A by clamp cannot be the same current."""
    missing = prove_tap(readings(present_load="40 A"), LIBRARY).spare.missing
    assert any("the clamp says 40 A" in one for one in missing)
    near = prove_tap(readings(present_load="2.5 A"), LIBRARY).spare
    assert not near.missing
    assert near.present_a is not None
    assert near.present_a.nominal == 2.5


def test_an_electronic_fuse_is_refused_as_a_harness_file_refuses_it() -> None:
    proof = prove_tap(readings(fuse="electronic fuse", fuse_drop=None), LIBRARY)
    assert proof.answer(MAY_BE_TAPPED).answer == NO
    assert proof.verdict == NO


def test_a_tap_live_with_the_key_off_is_never_a_plain_yes() -> None:
    proof = prove_tap(readings(key_off="12.5 V"), LIBRARY)
    assert proof.conditions == ("what springs back by itself and moves no machine part",)
    assert not proof.is_open
    assert proof.verdict == UNKNOWN


@settings(max_examples=150)
@given(
    opened=st.integers(0, 1800),
    loaded=st.integers(-100, 1800),
    drop=st.none() | st.integers(0, 20_000),
    wanted=st.floats(0.1, 900.0),
)
def test_no_reading_gives_a_negative_resistance_or_more_lost_than_there_is(
    opened: int, loaded: int, drop: int | None, wanted: float
) -> None:
    """Centivolts and millivolts, as a meter shows them."""
    open_v = opened / 100.0
    proof = prove_tap(
        readings(
            open=f"{open_v} V",
            loaded=f"{loaded / 100.0} V",
            drop=None if drop is None else f"{drop} mV",
            wanted=f"{wanted:.3f} A",
        ),
        LIBRARY,
    )
    said = tap_text(proof)
    resistance = proof.resistance
    assert "-" not in "".join(re.findall(r"(-?)[0-9.]+ [mu]?ohm", said))
    for amount, step in re.findall(r"([0-9.]+) (m|)V lost at", proof.answer(STIFF).because):
        lost_v = float(amount) * (0.001 if step else 1.0)
        assert lost_v <= open_v * 1.005
    if loaded < 50 * opened / 100:
        assert resistance is None
        assert proof.answer(STIFF).answer != YES
    if loaded > opened + 4:
        assert resistance is None
        assert proof.answer(STIFF).answer == UNKNOWN


def test_no_drop_seen_is_at_most_the_whole_uncertainty() -> None:
    """12.60 V and 12.61 V: no negative resistance, and not 0 but up to the uncertainty."""
    found = prove_tap(readings(loaded="12.61 V"), LIBRARY)
    assert found.resistance is not None
    assert found.resistance.resistance_ohm < 0.0
    assert found.resistance.upper_ohm == found.resistance.expanded_ohm
    assert "source resistance at most" in found.answer(STIFF).because
    assert json.loads(tap_json(found))["source_resistance"]["resistance_ohm"] == 0.0


def test_the_bulbs_named_are_those_of_the_system() -> None:
    proof = prove_tap(readings(system="24 V", open="25.2 V", load=None, loaded=None), LIBRARY)
    assert "21 W bulb or 70 W bulb" in proof.answer(STIFF).measure


def test_a_load_too_small_to_tell_says_so_and_which_would_do() -> None:
    """5 W over 50 mohm: 17 mV of drop against 2 digits of 10 mV in each reading."""
    small = prove_tap(readings(load="5 W test lamp", loaded="12.58 V"), LIBRARY)
    answer = small.answer(STIFF)
    assert answer.answer == UNKNOWN
    assert "this load is too small to tell" in answer.because
    assert "read again with 21 W bulb" in answer.measure
    large = prove_tap(readings(load="21 W bulb", loaded="12.50 V"), LIBRARY)
    assert large.answer(STIFF).answer == YES


@settings(max_examples=60)
@given(ohm=st.floats(0.005, 0.4), wanted=st.floats(0.5, 10.0), seed=st.integers(0, 10_000))
def test_the_answer_is_never_wrong_within_the_limits_of_the_meter(
    ohm: float, wanted: float, seed: int
) -> None:
    """A source of known resistance read with a meter and bulb anywhere in their limits.

    Twice the standard uncertainty is not the limit: with all errors at their far ends at once an
    answer may be beside; drawn at random, a wrong yes or no needs the resistance near the limit.
    """
    rng = np.random.default_rng(seed)
    filament = bulb("55 W bulb").filament
    assert filament is not None
    true = replace(filament, current_a=filament.current_a.scaled(1.0 + rng.uniform(-0.06, 0.06)))
    low, high = 0.0, 12.6
    for _ in range(60):
        middle = (low + high) / 2
        is_above = 12.6 - ohm * true.current_at_a(middle) > middle
        low, high = (middle, high) if is_above else (low, middle)
    gain = 1.0 + rng.uniform(-0.005, 0.005)
    seen = [round((v * gain + rng.uniform(-0.02, 0.02)), 2) for v in (12.6, low)]
    proof = prove_tap(
        readings(load="55 W bulb", open=f"{seen[0]} V", loaded=f"{seen[1]} V",
                 wanted=f"{wanted:.3f} A"), LIBRARY)  # fmt: skip
    answer, limit = proof.answer(STIFF).answer, 0.03 * 12.0 / wanted
    assert proof.resistance is not None
    room = proof.resistance.expanded_ohm
    assert not (answer == YES and ohm > limit + room)
    assert not (answer == NO and ohm < limit - room)


def test_fuse_millivolts_at_the_data_sheet_points() -> None:
    """At the listed drop a fuse carries its rating; far below it, volts over cold resistance."""
    for row in LIBRARY.fuses.values():
        at_rating = fuse_current_a(row, row.drop_at_rated_v)
        assert at_rating.nominal == pytest.approx(row.rating_a, rel=1e-9)
        assert at_rating.lower < row.rating_a < at_rating.upper
        little = 0.02 * row.drop_at_rated_v
        cold = little / row.resistance_ohm.nominal
        assert fuse_current_a(row, little).nominal == pytest.approx(cold, rel=0.002)
    with pytest.raises(ValueError, match="more than a 10 A blade fuse carries"):
        fuse_current_a(LIBRARY.fuse("blade", 10.0), 0.4)


@pytest.mark.parametrize(
    ("changed", "place", "said"),
    [
        ({"open": "40 V"}, "open", "12 V to 36 V|-1 V to 36 V"),
        ({"open": "-12.6 V"}, "open", "The probes are swapped"),
        ({"open": "24 V", "loaded": "23 V"}, "open", "cannot be on a 12 V machine"),
        ({"load": "21 W blub"}, "load", 'Did you mean "21 W bulb"'),
        ({"load": "70 W bulb"}, "load", "no 70 W bulb for 12 V"),
        ({"load": None}, "", "load is missing"),
        ({"range": "20 V", "open": "12.6 V", "posts_open": "12.6 V"}, "", "posts_loaded is"),
        ({"range": "2 V"}, "open", "is not on a 2 V range"),
        ({"range": "30 V"}, "range", "Ranges of digital voltmeter"),
        ({"fuse": "15 A bladee"}, "fuse", "15 A blade"),
        ({"fuse": "15A"}, "fuse", "15 A blade, 15 A mini blade"),
        ({"fuse": "13 A"}, "fuse", "rating and kind"),
        ({"load": "LED"}, "load", "An LED is no load"),
        ({"load": "20 mohm"}, "load", "a load of 600 A. mohm or ohm"),
        ({"fuse": "none"}, "fuse_drop", "across no fuse"),
        ({"feeds": "brakes"}, "feeds, item 1", 'Did you mean "brake"'),
        ({"engine_space": "maybe"}, "engine_space", "Give yes or no, or true or false"),
        ({"system": "48 V"}, "system", "Give 12 V or 24 V"),
    ],
)
def test_what_is_wrong_is_named(changed: dict[str, str | None], place: str, said: str) -> None:
    with pytest.raises(InputError) as caught:
        readings(**changed)
    told = [f"{p.wrong}. {p.right}" for p in caught.value.problems if p.place == place]
    assert any(any(word in text for word in said.split("|")) for text in told), caught.value


@pytest.mark.parametrize(
    ("key", "ways"),
    [
        ("engine_space", ("yes", "true", "True", "YES")),
        ("engine_space", ("no", "false", "False")),
        ("system", ("12 V", "12V", "12", "12 v")),
        ("fuse", ("15 A blade", "15A blade")),
        ("load", ("21 W bulb", "21 w bulb")),
        ("feeds", ("nothing", "none", "")),
    ],
)
def test_words_are_taken_as_people_write_them(key: str, ways: tuple[str, ...]) -> None:
    first, *others = (readings(**{key: way}) for way in ways)
    assert all(other == first for other in others)


def test_a_file_reads_like_options_and_names_its_lines() -> None:
    text = "\n".join(
        f"{key} = {value!r}".replace("'", '"')
        for key, value in GOOD.items()
        if key not in ("feeds", "engine_space")
    )
    text += '\nfeeds = ["wiper"]\nengine_space = true\n'
    assert read_tap_file("tap.toml", LIBRARY, text=text) == readings()
    with pytest.raises(InputError) as caught:
        read_tap_file("tap.toml", LIBRARY, text=text.replace("12.52 V", "12,52 V"))
    line = next(n for n, line in enumerate(text.splitlines(), 1) if line.startswith("loaded"))
    assert caught.value.problems[0].line == line
    with pytest.raises(InputError) as caught:
        read_tap_file("tap.toml", LIBRARY, {"loaded": "12,52 V"}, text=text)
    assert caught.value.problems[0].line is None


def test_the_example_proves_the_tap_of_its_harness() -> None:
    folder = EXAMPLES / "orchard_sprayer"
    found = read_tap_file(folder / "tap.toml", LIBRARY)
    proof, tap = (
        prove_tap(found, LIBRARY),
        read_harness(folder / "harness.toml", LIBRARY).parts["TAP"],
    )
    assert proof.verdict == YES
    up = tap.upstream
    assert (found.fuse, found.conductor, found.insulation) == (up.fuse, up.conductor, up.insulation)
    assert (found.feeds, proof.key, proof.cranking) == (tap.also_feeds, up.key, up.cranking)
    assert found.key_contact_a == up.key_contact_rated_a
    assert proof.spare.present_a.lower < up.present_load_a.upper < proof.spare.present_a.upper
    # fuse, wire and key contact as described reach from nearly nothing to 72 mohm or so
    assert proof.resistance.resistance_ohm < 0.08


@settings(max_examples=40)
@given(st.dictionaries(st.sampled_from([*GOOD, "name", "range", "area"]), st.text(max_size=20)))
def test_any_answers_are_proved_or_refused_in_words(answers: dict[str, str]) -> None:
    try:
        found, said = read_tap_answers({**GOOD, **answers}, LIBRARY), ""
    except InputError as error:
        found, said = None, str(error)
    assert said.isprintable() or "\n" in said
    if found is not None:
        assert prove_tap(found, LIBRARY).verdict in (YES, NO, UNKNOWN)
