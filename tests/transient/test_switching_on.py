"""Actions of whole harnesses, worked by hand on the bench, and laws on the examples."""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
import pytest

from circuitcheck import read_harness, read_library, solve_harness
from circuitcheck.solve.worst_case import Solution
from circuitcheck.transient.switching_on.actions import Action, actions
from circuitcheck.transient.switching_on.coil_states import HELD, OFF, ON, UNASKED
from circuitcheck.transient.switching_on.corners import CORNERS, STRONGEST, WEAKEST
from circuitcheck.transient.switching_on.switching_figures import switching_figures
from circuitcheck.transient.switching_on.switching_on import (
    CLOSED_FORM,
    STEP_BY_STEP,
    Switching,
    SwitchingCircuits,
    switch_on,
)
from circuitcheck.transient.switching_on.switching_report import switching_report

CHECKS = Path(__file__).parents[1] / "checks"
if str(CHECKS) not in sys.path:
    sys.path.insert(0, str(CHECKS))
from part_bench import part_text  # noqa: E402

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*/harness.toml"))
GOOD = sorted((Path(__file__).parents[1] / "harnesses" / "good").glob("*.toml"))
FEED_OHM = 0.01 + 0.01  # fuse and button; tap and wires add 0.1 to 3.5 mohm


def solved(parts: dict, wires: list[str], **base: str) -> Solution:
    library = read_library()
    harness = read_harness("harness.toml", library, text=part_text(parts, wires, **base))
    return solve_harness(harness, library)


def action_of(solution: Solution, name: str) -> Action:
    return next(one for one in actions(solution.harness) if one.name == name)


def followed(solution: Solution, name: str, corner: str = STRONGEST) -> Switching:
    return switch_on(solution, action_of(solution, name), corner)


def one_coil(**changes: str | None) -> Solution:
    parts = {"S": "button", "Y": ("coil", changes)}
    return solved(parts, ["PLUS S.line", "S.load Y.1", "Y.2 MINUS"])


def test_one_coil_rises_as_the_textbook_says() -> None:
    """12 V, 10 ohm and 60 mH: 63.2 % after 6 ms, all but the feed's few mohm."""
    found = followed(one_coil(), "press S")
    current = found.currents["Y"]
    assert found.method == CLOSED_FORM
    assert current.values[0] == 0.0
    assert current.values[-1] == pytest.approx(12.0 / (10.0 + FEED_OHM), rel=1e-3)
    reached = current.first_crossing_s(0.6321 * float(current.values[-1]))
    assert reached == pytest.approx(0.06 / (10.0 + FEED_OHM), rel=2e-3)
    assert found.voltages["Y"].values[-1] == pytest.approx(12.0, rel=3e-3)


def test_the_hot_corner_is_slower_and_weaker() -> None:
    solution = one_coil(inductance='["40 mH", "80 mH"]')
    strong, weak = (followed(solution, "press S", corner) for corner in CORNERS)
    assert abs(weak.currents["Y"].peak) < abs(strong.currents["Y"].peak)
    figures = [switching_figures(solution, one).coils[0] for one in (strong, weak)]
    assert figures[0].pull_in_a == figures[1].pull_in_a
    assert figures[0].reaches_s < figures[1].reaches_s


def test_without_inductance_it_says_so() -> None:
    # no row of the library is like 9 kohm, so nothing stands in for its inductance
    solution = one_coil(inductance=None, rated='"13 V"')
    found = followed(solution, "press S")
    assert any("Y: its inductance is not known" in words for words in found.not_modelled)
    assert found.currents["Y"].at(1e-6) == pytest.approx(12.0 / (10.0 + FEED_OHM), rel=1e-3)


def test_a_cut_off_coil_without_suppression_is_not_followed() -> None:
    found = followed(one_coil(suppression='"none"'), "release S")
    assert abs(float(found.currents["Y"].values[1])) < 1e-5
    assert any("dies away once it is cut off" in words for words in found.not_modelled)


def test_a_cut_off_coil_with_a_diode_frees_its_current_through_it() -> None:
    found = followed(one_coil(), "release S")
    current = found.currents["Y"]
    assert not any("cut off" in words for words in found.not_modelled)
    # i falls to 0.2 of itself: (L/R) ln((I R + E) / (0.2 I R + E)), E about 0.4 V at its least
    falls = current.first_crossing_s(0.2 * float(current.values[0]))
    assert falls == pytest.approx(0.006 * np.log(12.4 / (0.2 * 12.0 + 0.4)), rel=0.01)
    assert found.currents["F1"].values[-1] == pytest.approx(0.0, abs=1e-5)


HALF_OHM = '{ value = "0.5 ohm", tolerance = "0 %" }'


def two_loads(second: str | tuple) -> Solution:
    parts = {
        "S1": "button", "S2": "button", "Y": "coil", "L": second,
        "RF": ("", {"kind": '"resistor"', "resistance": HALF_OHM, "power": '"50 W"'}),
    }  # fmt: skip
    wires = ["PLUS RF.1", "RF.2 J", "J S1.line", "J S2.line", "S1.load Y.1", "Y.2 MINUS"]
    parts["J"] = ("", {"kind": '"splice"', "joint_resistance": '"0 ohm"'})
    return solved(parts, [*wires, "S2.load L.1", "L.2 MINUS"])


def lamp(watts: float, ratio: str = "10") -> tuple:
    power = f'{{ value = "{watts} W", tolerance = "0 %" }}'
    return "", {
        "kind": '"indicator lamp"', "power": power, "rated": '"12 V"', "cold_ratio": ratio,
    }  # fmt: skip


def test_a_cold_lamp_dips_a_coil_that_is_on() -> None:
    """24 W at 12 V is 6 ohm lit, 0.6 ohm cold: 12 V behind 0.5 ohm leave 0.6 of it."""
    solution = two_loads(lamp(24.0))
    found = followed(solution, "press S2, S1 held", WEAKEST)
    assert found.method == STEP_BY_STEP
    across = found.voltages["Y"]
    # the coil's inductance keeps its current up at first: 12 V less that, through 0.52 ohm
    held_a, feed_ohm = 12.0 / (10.01 + 0.513), 0.513
    dip_v = (12.0 - feed_ohm * held_a) * 0.61 / (0.61 + feed_ohm)
    figures = switching_figures(solution, found)
    coil = next(one for one in figures.coils if one.branch == "Y")
    assert coil.state == HELD
    assert coil.lowest_v == pytest.approx(dip_v, rel=0.01)
    assert coil.lowest_at_s < 1e-3
    # and its current never falls to what the dip would settle at
    assert dip_v / 10.0 < coil.lowest_a < 0.99 * held_a
    assert across.values[-1] > 10.0
    assert coil.lowest_at_s < 5e-3


def test_two_coils_share_their_feed() -> None:
    """12 V behind 0.51 ohm, each 10.01 ohm: 1.14 A alone, 1.09 A beside the other."""
    solution = two_loads(("coil", {}))
    alone = followed(solution, "press S1").currents["Y"]
    beside = followed(solution, "press S2, S1 held").currents["Y"]
    assert beside.values[0] == pytest.approx(float(alone.values[-1]), rel=1e-3)
    assert alone.values[-1] == pytest.approx(12.0 / (0.512 + 10.01), rel=1e-3)
    assert beside.values[-1] == pytest.approx(12.0 / (2.0 * 0.512 + 10.01), rel=1e-3)
    both = followed(solution, "press S1 + S2").currents["F1"]
    assert both.values[-1] == pytest.approx(2.0 * 12.0 / (2.0 * 0.512 + 10.01), rel=1e-3)


def relayed(**changes: str) -> Solution:
    parts = {"S": "button", "K": ("relay", changes), "Y": "coil"}
    wires = ["PLUS S.line", "S.load K.86", "K.85 MINUS", "PLUS K.30", "K.87 Y.1", "Y.2 MINUS"]
    return solved(parts, wires)


def test_a_relay_takes_its_time_both_ways() -> None:
    solution = relayed(operate_time='["6 ms", "12 ms"]', release_time='"4 ms"')
    for corner, operates_s in ((STRONGEST, 0.006), (WEAKEST, 0.012)):
        found = followed(solution, "press S", corner)
        assert [(stage.start_s, stage.what) for stage in found.stages[1:]] == [
            (operates_s, "K operates")
        ]
        current = found.currents["Y"]
        assert current.at(operates_s - 1e-6) == 0.0
        assert current.at(operates_s + 0.06) == pytest.approx(float(current.values[-1]), rel=1e-3)
    back = followed(solution, "release S")
    assert [(stage.start_s, stage.what) for stage in back.stages[1:]] == [(0.004, "K releases")]
    assert back.currents["K/make"].at(0.0039) > 1.0
    assert back.currents["K/make"].values[-1] == 0.0


def test_usual_relay_times_are_said() -> None:
    found = followed(relayed(), "press S")
    assert found.stages[1].start_s == 0.003
    assert any("K: its operate time is not given" in words for words in found.not_modelled)


def pulling(**changes: str) -> Solution:
    parts = {"S": "button", "Y": ("pull and hold", changes)}
    hold = "Y.hold" if changes.get("cut_out", '"internal switch"') == '"internal switch"' else ""
    wires = ["PLUS S.line", "S.load Y.hold", "Y.common MINUS"]
    if not hold:
        wires.append("PLUS Y.pull")
        wires[3] = "S.load Y.pull"
        parts["J"] = ("", {"kind": '"splice"', "joint_resistance": '"0 ohm"'})
        wires = ["PLUS S.line", "S.load J", "J Y.hold", "J Y.pull", "Y.common MINUS"]
    return solved(parts, wires, fuse="40 A")


@pytest.mark.parametrize(
    ("changes", "off_s", "said"),
    [
        ({"cut_out": '"outside timer"', "timer": '["0.5 s", "0.9 s"]'}, 0.9, ""),
        ({"cut_out": '"outside timer"'}, 2.0, "the time that its timer is set to is not given"),
        ({}, 2.0, "when its plunger is in is not worked out"),
        ({"cut_out": '"none"'}, None, ""),
    ],
)
def test_a_pull_winding_is_on_until_it_is_taken_off(
    changes: dict[str, str], off_s: float | None, said: str
) -> None:
    found = followed(pulling(**changes), "press S")
    pull = found.currents["Y/pull"]
    before_ohm = 0.4 + FEED_OHM
    assert pull.at(0.1) == pytest.approx(12.0 / before_ohm, rel=0.03)
    if off_s is None:
        assert len(found.stages) == 1
        assert abs(float(pull.values[-1])) > 20.0
    else:
        assert [stage.start_s for stage in found.stages[1:]] == [off_s]
        assert pull.values[-1] == 0.0
        assert found.currents["F1"].values[-1] == pytest.approx(1.0, rel=0.01)
    assert any(said in words for words in found.not_modelled)


def test_an_input_capacitor_charges_at_once_behind_little() -> None:
    changes = {"input_capacitance": '{ value = "1000 uF", tolerance = "0 %" }'}
    parts = {"S": "button", "C": ("converter", changes), "Y": "coil"}
    wires = ["PLUS S.line", "S.load C.in", "C.minus MINUS", "C.out Y.1", "Y.2 MINUS"]
    solution = solved(parts, wires, on_24_v="yes")
    found = followed(solution, "press S")
    feed_ohm = 28.0 / found.currents["F1"].peak
    assert 0.02 < feed_ohm < 0.026  # fuse, button and the tap's few mohm
    # the charge: C V, besides what the converter takes meanwhile
    wave = found.currents["C"]
    early = wave.times_s <= 10.0 * feed_ohm * 1e-3
    amps = wave.values[early]
    charge = float(np.sum(np.diff(wave.times_s[early]) * (amps[1:] + amps[:-1]) / 2.0))
    assert charge == pytest.approx(28.0 * 1e-3, rel=0.1)
    without = solved({**parts, "C": "converter"}, wires, on_24_v="yes")
    said = followed(without, "press S").not_modelled
    assert any("C: the charge of its input capacitor, which is not given" in w for w in said)


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.parent.name)
def test_what_an_action_settles_at_is_where_its_reverse_begins(path: Path) -> None:
    library = read_library()
    solution = solve_harness(read_harness(path, library), library)
    circuits = SwitchingCircuits(solution)
    every = [a for a in actions(solution.harness) if a.before.key == a.after.key]
    ways = {(action.before, action.after): action for action in every}
    for action in (one for one in every if one.adds):
        back = ways[action.after, action.before]
        for corner in CORNERS:
            found, other = (circuits.switch_on(one, corner) for one in (action, back))
            for name, wave in found.currents.items():
                end, begin = float(wave.values[-1]), float(other.currents[name].values[0])
                assert end == pytest.approx(begin, abs=3e-3 * abs(begin) + 1e-6), name


@pytest.mark.parametrize("path", GOOD, ids=lambda path: path.stem)
def test_every_action_of_every_kind_of_part_is_followed(path: Path) -> None:
    library = read_library()
    solution = solve_harness(read_harness(path, library), library)
    report = switching_report(solution)
    assert report.reports
    for one in report.reports:
        for switching in (one.strongest, one.weakest):
            for wave in (*switching.currents.values(), *switching.voltages.values()):
                assert np.all(np.isfinite(wave.values)), wave.name
        assert one.weakest_figures.lasts_s > 0.0


def test_the_last_corner_word_is_checked() -> None:
    with pytest.raises(ValueError, match="is none of"):
        followed(one_coil(), "press S", "middling")


def test_a_press_that_feeds_nothing_moves_nothing() -> None:
    solution = solved({"S": "button", "R": "coil"}, ["S.load R.1"])
    for one in switching_report(solution).reports:
        assert not one.strongest_figures.coils
        assert not one.weakest_figures.coils
        assert all(fuse.peak_a < 1e-3 for fuse in one.strongest_figures.fuses)


def test_a_published_coil_cold_and_hot() -> None:
    """24 V cartridge coil: 22 W cold, 26.2 ohm at 20 degC and 37.2 ohm held on in 50 degC.

    Typical data sheet; its rise of 77 K by 15.5 W is the 5 K/W that it is given here.
    """
    changes = {
        "rated": '"24 V"',
        "resistance": '{ at_20degC = "26.2 ohm", tolerance = "0 %" }',
        "thermal": '{ resistance = "5 K/W", time_constant = "1200 s", class = "N" }',
    }
    wires = ["PLUS S.line", "S.load Y.1", "Y.2 MINUS"]
    base = {"on_24_v": "yes", "charging": '["24 V", "24 V"]', "use": 'longest_press = "2 h"'}
    parts = {"S": "button", "Y": ("coil", changes)}
    cold = followed(solved(parts, wires, air='"20 degC"', **base), "press S", STRONGEST)
    hot = followed(solved(parts, wires, air='"50 degC"', **base), "press S", WEAKEST)
    assert 24.0 * float(cold.currents["Y"].values[-1]) == pytest.approx(22.0, rel=0.01)
    assert 24.0 / float(hot.currents["Y"].values[-1]) == pytest.approx(37.2, rel=0.01)


def states_of(solution: Solution, name: str, corner: str = WEAKEST) -> dict[str, str]:
    found = switching_figures(solution, followed(solution, name, corner))
    return {coil.branch: coil.state for coil in found.coils}


def leaking(ohm: float = 1000.0, kind: str = "coil", **changes: str | None) -> Solution:
    """A coil behind a button that a resistor bridges: 12 mA through 1 kohm, 1.2 A pressed."""
    value = f'{{ value = "{ohm} ohm", tolerance = "0 %" }}'
    parts = {
        "S": "button", "Y": (kind, changes),
        "R": ("", {"kind": '"resistor"', "resistance": value, "power": '"10 W"'}),
        "JA": ("", {"kind": '"splice"'}), "JB": ("", {"kind": '"splice"'}),
    }  # fmt: skip
    ends = ("86", "85") if kind == "relay" else ("1", "2")
    wires = ["PLUS JA", "JA S.line", "JA R.1", "S.load JB", "R.2 JB"]
    return solved(parts, [*wires, f"JB Y.{ends[0]}", f"Y.{ends[1]} MINUS"])


def test_a_coil_that_only_leaks_is_switched_on_by_the_press() -> None:
    solution = leaking(drop_out='["10 %", "50 %"]')
    (coil,) = switching_figures(solution, followed(solution, "press S", WEAKEST)).coils
    assert coil.state == ON
    assert coil.reaches_s is not None
    assert states_of(solution, "key on") == {}
    assert states_of(solution, "release S") == {"Y": OFF}
    assert states_of(solution, "key on with S held") == {"Y": ON}


@pytest.mark.parametrize(("ohm", "state"), [(80.0, HELD), (100.0, ON)])
def test_a_leak_that_may_keep_a_coil_in_counts_as_on(ohm: float, state: str) -> None:
    """12 V over 90 and 110 ohm: 133 and 109 mA; every coil has let go below 10 % of 1.2 A."""
    cool = '{ resistance = "0.001 K/W", time_constant = "1200 s", class = "F" }'
    solution = leaking(ohm, drop_out='["10 %", "50 %"]', thermal=cool)
    assert states_of(solution, "press S") == {"Y": state}


def test_a_leak_through_a_coil_of_no_known_drop_out_is_said() -> None:
    assert states_of(leaking(kind="relay"), "key on") == {"Y": UNASKED}
