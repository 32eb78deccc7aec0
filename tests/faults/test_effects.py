"""Effects of single faults on circuits small enough to know the answer by thought."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from circuitcheck.faults.effect_survey import (
    DEAD,
    FUSE_OPENS,
    HOT,
    INDICATOR_WRONG,
    KEY_OFF_WORKS,
    LETS_GO,
    UNASKED,
    WEAK,
    WRONG_COIL,
)
from circuitcheck.faults.effects import (
    KINDS,
    NOTHING,
    CauseEffects,
    hazard_of,
    single_fault_effects,
)
from circuitcheck.faults.fault_list import single_faults
from circuitcheck.read.harness_file import read_harness
from circuitcheck.read.library.library_tables import read_library
from circuitcheck.solve.solution import HEAT_SOAKED

ROOT = Path(__file__).parents[2]
LIBRARY = read_library()


@cache
def effects(example: str) -> dict[str, CauseEffects]:
    harness = read_harness(ROOT / "examples" / example / "harness.toml", LIBRARY)
    return {one.cause: one for one in single_fault_effects(harness, LIBRARY)}


def said(example: str, cause: str) -> set[tuple[str, str]]:
    return {(e.kind, e.subject) for e in effects(example)[cause].effects}


@pytest.mark.parametrize(
    ("cause", "expected"),
    [
        ("GRIP contact left welded", {(UNASKED, "VL")}),
        ("W3 and W4 shorted together", {(UNASKED, "VL"), (UNASKED, "VR")}),
        ("plugs of VL and VR interchanged",
         {(WRONG_COIL, "VL"), (WRONG_COIL, "VR"), (DEAD, "VL"), (DEAD, "VR")}),
        ("X1 cavities 1 and 2 swapped",
         {(WRONG_COIL, "VL"), (WRONG_COIL, "VR"), (DEAD, "VL"), (DEAD, "VR")}),
        ("TAP not key-switched", {(KEY_OFF_WORKS, "VL"), (KEY_OFF_WORKS, "VR")}),
        ("W3 short to frame", {(FUSE_OPENS, "F1"), (DEAD, "VL"), (DEAD, "VR")}),
        ("W1 short to frame", {(FUSE_OPENS, "TAP/fuse"), (DEAD, "VL"), (DEAD, "VR")}),
        ("VL suppressor reversed", {(FUSE_OPENS, "F1"), (DEAD, "VL"), (DEAD, "VR")}),
        ("W5 open", {(DEAD, "VL")}),
        ("W10 open", {(DEAD, "VL"), (DEAD, "VR")}),
        ("VL seized", {(DEAD, "VL")}),
        ("VL suppressor open", set()),
        ("F1 wrong fuse", set()),
    ],
)  # fmt: skip
def test_a_sprayer_with_two_coils(cause: str, expected: set[tuple[str, str]]) -> None:
    found = said("orchard_sprayer", cause)
    # what the short makes dead is only dead where its button, or both, are on
    assert found == expected
    assert effects("orchard_sprayer")[cause].is_hidden == (not expected)


def test_where_and_how_a_movement_shows() -> None:
    one = effects("orchard_sprayer")["GRIP contact left welded"]
    (effect,) = one.effects
    assert effect.positions == ("key on", "key on, right")
    assert one.shows == ("VL works: key on", "VL works: key on, right")


def test_a_load_that_falls_when_the_coil_lets_go_counts_as_moving() -> None:
    path = ROOT / "examples" / "orchard_sprayer" / "harness.toml"
    text = path.read_text(encoding="utf-8").replace('hazard = "spray"', 'hazard = "load can fall"')
    harness = read_harness(path, LIBRARY, text=text)
    found = {one.cause: one for one in single_fault_effects(harness, LIBRARY)}
    assert [e.kind for e in found["W5 open"].effects] == [LETS_GO]
    assert hazard_of(harness, "VL", LETS_GO) == "load can fall"
    assert found["W3 short to frame"].worst == LETS_GO


def test_severities_tell_from_where_on() -> None:
    one = effects("orchard_sprayer")["W5 high resistance"]
    table = {e.kind: e for e in one.effects}
    # 9 ohm coil on the charging voltage: P = I^2 R in the joint is largest where R is nearest to
    # the rest of the loop, 10 ohm; at 1 ohm 14.7 / 10.2 -> about 1.4^2 W
    assert table[HOT].severity == "1 ohm"
    harness = read_harness(ROOT / "examples" / "orchard_sprayer" / "harness.toml", LIBRARY)
    highest_v = harness.conditions.running_v().upper
    assert table[HOT].value == pytest.approx(highest_v**2 * 10.0 / (10.0 + 9.0 + 0.3) ** 2, rel=0.1)
    assert table[DEAD].severity in ("10 ohm", "30 ohm")
    assert one.severities == tuple(f"{x} ohm" for x in ("0.1", "0.3", "1", "3", "10", "30", "100"))


def test_relay_and_lamp_tell_more() -> None:
    assert said("salt_spreader_relay_lamp", "K1 stuck operated") == {
        (UNASKED, "YL"), (INDICATOR_WRONG, "H1"),
    }  # fmt: skip
    assert said("salt_spreader_relay_lamp", "H1 open") == {(INDICATOR_WRONG, "H1")}
    dead_by_coil = said("salt_spreader_relay_lamp", "K1 coil open")
    assert dead_by_coil == {(DEAD, "YL"), (INDICATOR_WRONG, "H1")}


def test_a_weak_coil_is_told_from_a_dead_one() -> None:
    one = effects("salt_spreader_relay_lamp")["W9 high resistance"]
    kinds = [e.kind for e in one.effects]
    assert kinds.index(DEAD) < kinds.index(WEAK)
    weak = next(e for e in one.effects if e.kind == WEAK)
    dead = next(e for e in one.effects if e.kind == DEAD)
    assert float(weak.severity.split()[0]) < float(dead.severity.split()[0])


@pytest.mark.parametrize(
    "example", sorted(p.parent.name for p in (ROOT / "examples").glob("*/harness.toml"))
)
def test_every_fault_is_told_once_worst_first(example: str) -> None:
    harness = read_harness(ROOT / "examples" / example / "harness.toml", LIBRARY)
    found = effects(example)
    assert set(found) == {fault.cause for fault in single_faults(harness, LIBRARY)}
    ranks = [KINDS.index(one.worst) for one in found.values()]
    assert ranks == sorted(ranks)
    assert ranks[0] == KINDS.index(UNASKED)
    assert all((one.worst == NOTHING) == one.is_hidden for one in found.values())


def test_a_low_battery_shows_at_the_hot_coil() -> None:
    """15 m of thin wire lose 1.8 V: 11 V at the posts leave less than the stated 10.2 V."""
    for effect in effects("slurry_tanker_long_run")["BAT low"].effects:
        assert (effect.kind, effect.severity, effect.coil_state) == (WEAK, "11 V", HEAT_SOAKED)
    shows = effects("slurry_tanker_long_run")["BAT low"].shows
    assert "YG may not click, heat-soaked: key on, SW1 + SW2" in shows


def test_a_coil_that_is_weak_when_warm_as_usual_is_not_called_weak_for_heat_alone() -> None:
    one = effects("wood_chipper_pull_hold")["BAT low"]
    assert [(e.kind, e.severity, e.coil_state) for e in one.effects] == [(WEAK, "9 V", "")]


@pytest.mark.parametrize(
    ("example", "coil"), [("round_baler_low_side", "YK"), ("salt_spreader_relay_lamp", "YL")]
)
def test_shorted_turns_that_stay_within_the_class_are_not_hot(example: str, coil: str) -> None:
    """A short press warms the body little: hot is what passes the winding's class."""
    assert (HOT, coil) not in said(example, f"{coil} turns shorted")


@pytest.mark.parametrize(
    "example", sorted(p.parent.name for p in (ROOT / "examples").glob("*/harness.toml"))
)
def test_no_winding_is_hot_within_its_limit(example: str) -> None:
    told = [e for one in effects(example).values() for e in one.effects if e.kind == HOT]
    for effect in told:
        if effect.temperature_c is not None:
            assert effect.limit_c is not None
            assert effect.temperature_c > effect.limit_c


def test_a_stuck_press_is_on_without_end() -> None:
    """Steady: T - T_air = R_th P; P R(T) = V^2 of both windings side by side, IEC 60028 copper."""
    path = ROOT / "examples" / "wood_chipper_pull_hold" / "harness.toml"
    harness = read_harness(path, LIBRARY)
    coil = harness.parts["YC"]
    air_c = harness.zone_of(coil.zone).ambient_c.upper
    welded = effects("wood_chipper_pull_hold")["SW1 contact welded"].effects
    hot = next(e for e in welded if e.kind == HOT)
    assert hot.note == "held on without end"
    rise_k = coil.thermal_resistance_k_per_w.upper * hot.value
    assert hot.temperature_c == pytest.approx(air_c + rise_k, rel=1e-3)
    cold = 1.0 / (1.0 / coil.hold_20c_ohm.lower + 1.0 / coil.pull_20c_ohm.lower)
    volts = (hot.value * cold * (234.5 + hot.temperature_c) / 254.5) ** 0.5
    assert 0.85 * 14.0 < volts < harness.conditions.running_v().upper


def test_a_fault_is_not_passed_over_where_the_coil_is_weak_without_it() -> None:
    """At 11.3 V and hot the coil has less than its 10.2 V already; 10 V are worse, and are told."""
    path = ROOT / "examples" / "slurry_tanker_long_run" / "harness.toml"
    text = path.read_text(encoding="utf-8").replace('["11.9 V", "12.8 V"]', '["11.2 V", "11.4 V"]')
    harness = read_harness(path, LIBRARY, text=text)
    low = [f for f in single_faults(harness, LIBRARY) if f.cause == "BAT low"]
    (found,) = single_fault_effects(harness, LIBRARY, low)
    assert {(e.kind, e.severity) for e in found.effects} == {(WEAK, "11 V")}
    # what changes nothing for the coil is not made to look like its cause
    other = [f for f in single_faults(harness, LIBRARY) if f.name == "YG suppressor open"]
    assert single_fault_effects(harness, LIBRARY, other)[0].is_hidden


def test_heat_of_a_joint_says_that_no_temperature_is_known() -> None:
    for one in effects("orchard_sprayer")["W5 high resistance"].effects:
        if one.kind == HOT:
            assert one.temperature_c is None
            assert one.note.startswith("temperature not judged: ")


def test_a_pull_winding_that_is_never_cut_out_burns() -> None:
    """On for a press of 30 s where it stands 1.2 s; sound, it is off before its fuse could open."""
    path = ROOT / "tests" / "harnesses" / "good" / "pull_hold_low_side_12v.toml"
    harness = read_harness(path, LIBRARY)
    faults = [f for f in single_faults(harness, LIBRARY) if "never cut out" in f.name]
    (found,) = single_fault_effects(harness, LIBRARY, faults)
    (hot,) = [e for e in found.effects if e.kind == HOT]
    assert hot.note == "its pull winding stays on for 30 s, it stands 1.2 s"
    coil = harness.parts["Y1"]
    highest_w = harness.conditions.running_v().upper ** 2 / coil.pull_20c_ohm.lower
    assert 0.3 * highest_w < hot.value < highest_w
