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
    # 7.2 ohm coil on about 12 V: P = I^2 R in the joint is largest where it equals the rest of the
    # loop; at 1 ohm 12.2 / 8.5 -> about 1.4^2 W
    assert table[HOT].severity == "1 ohm"
    assert 1.0 < table[HOT].value < 5.0
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
