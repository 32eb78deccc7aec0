"""Lamps, LEDs and diodes in whole harnesses: nothing drawn leaves a range; words; states."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

import numpy as np
import pytest
from solve.part_harnesses import circuit_text
from solve.small_harnesses import library, solved_text

from circuitcheck import Solution, read_harness, solve_harness
from circuitcheck.circuit.netlist import CurveBranch, DiodeCurve, LampCurve, Network
from circuitcheck.circuit.positions import Position
from circuitcheck.model.tolerance_band import Band
from circuitcheck.solve.curves.active_curves import active_curves, curve_ends
from circuitcheck.solve.curves.curve_arrays import CurveArrays
from circuitcheck.solve.curves.curve_bounds import with_curves
from circuitcheck.solve.curves.curves import Lamp, StraightDiode, voltage_v
from circuitcheck.solve.position_solution import PositionSolution
from circuitcheck.solve.solution import BLOCKED, COIL_STATES

COLD, SOAKED = COIL_STATES
ROOT = Path(__file__).parents[2]
FILES = {
    "relay and indicators": ROOT / "tests/harnesses/good/relay_indicators_12v.toml",
    "spreader": ROOT / "examples/salt_spreader_relay_lamp/harness.toml",
    "trailer": ROOT / "examples/tipping_trailer_shared_return/harness.toml",
}
DRAWS = 300


@lru_cache(maxsize=4)
def solved_file(name: str) -> Solution:
    return solve_harness(read_harness(FILES[name], library()), library())


def curved(name: str) -> list[PositionSolution]:
    """Live positions that differ electrically and hold lamps or conducting diodes."""
    found = {id(p.ranges): p for p in solved_file(name).live(COLD) if p.ranges.active}
    return list(found.values())


@pytest.mark.parametrize("name", FILES)
def test_no_draw_leaves_a_range(name: str) -> None:
    rng = np.random.default_rng(3)
    positions = curved(name)
    assert positions
    for solved in positions:
        network, ranges = solved.network, solved.ranges
        every = active_curves(network)
        exact = with_curves(ranges.shape, curve_ends(every)).exact
        box = ranges.box.resistance_ohm
        place = rng.random((len(network.branches), DRAWS))
        place[:, ::2] = place[:, ::2].round()
        ohms = box[0][:, None] + place * (box[2] - box[0])[:, None]
        ends = rng.integers(-1, 2, (len(every), DRAWS)).astype(np.int8)
        supply = rng.uniform(ranges.supply_v.lower, ranges.supply_v.upper, DRAWS)
        points = CurveArrays([one.curve for one in every]).at(ends)
        drawn = exact.solve(1.0 / ohms, supply, points)
        m = len(network.branches)
        amps = drawn.branch_a[: m + len(network.curves)]
        for k, values in enumerate(amps):
            found = ranges.currents[k].range
            # a diode that blocks leaks 1e-12 S
            assert found.lower - 1e-9 <= values.min(), k
            assert values.max() <= found.upper + 1e-9, k
        for k, values in enumerate(drawn.node_v):
            found = ranges.nodes[k].range
            if not np.isnan(values).any() and not np.isnan(found.lower):
                assert found.lower - 1e-8 <= values.min(), network.node_names[k]
                assert values.max() <= found.upper + 1e-8, network.node_names[k]
        for k, watts in enumerate(amps * drawn.branch_v[: len(amps)]):
            assert watts.max() <= ranges.powers[k].upper + 1e-9
            assert ranges.powers[k].lower - 1e-9 <= watts.min()


@pytest.mark.parametrize("name", FILES)
def test_gaps_are_from_values_that_are_reached(name: str) -> None:
    for solved in curved(name):
        for bounded in solved.ranges.currents:
            found = bounded.range
            assert 0.0 <= found.gap <= found.upper - found.lower + 1e-12
            assert found.lower <= found.nominal <= found.upper
        for power in solved.ranges.powers:
            assert power.lower <= power.nominal <= power.upper
            assert power.gap >= 0.0


def test_words_say_how_a_lamp_stands() -> None:
    solved = solved_file("relay and indicators").of("key on, BTN", COLD)
    lamp = next(one.name for one in solved.network.curves if one.role == "lamp")
    words = solved.conditions(lamp, "upper")
    assert any(
        word.startswith(f"lamp {lamp} hot, ") and word.endswith("V across it") for word in words
    )
    amps = solved.current_a(lamp)
    assert 0.0 < amps.lower < amps.nominal < amps.upper
    assert lamp in solved.asked_for
    assert lamp in solved.carrying()


LAMP = 'kind = "indicator lamp"\nrated = "12 V"\ncurrent = ["150 mA", "200 mA"]\ncold_ratio = 10'
BESIDE = [("S", "splice"), ("B", "button"), ("A", "splice"), ("H", LAMP), ("V", "valve")]
AHEAD = [
    ("TAP", "F1.line"),
    ("F1.load", "S"),
    ("S", "B.line"),
    ("B.load", "A"),
    ("A", "V.1"),
    ("V.2", "CHASSIS"),
]


def test_a_lamp_across_the_contact_feeds_the_coil_back() -> None:
    # open contact: the lamp lights through the coil. 12.4 V over lamp and 8 ohm coil: the coil is
    # so low that nearly all stands on the lamp: 0.175 A * (11 / 12)**0.55 = 0.167 A, 1.3 V on it
    wires = [*AHEAD, ("S", "H.1"), ("H.2", "A")]
    text = circuit_text(BESIDE, wires)
    off = solved_text(text).of("key on", COLD)
    assert off.energised() == ()
    assert "V" in off.carrying()
    assert "V" not in off.asked_for
    volts = off.across_v("V")
    assert volts.nominal == pytest.approx(1.37, rel=0.03)
    # 0.2 A * (13.2 / 12)**0.55 through 8.64 ohm at most
    assert volts.upper == pytest.approx(0.2 * (13.1 / 12.0) ** 0.55 * 8.64, rel=0.02)
    on = solved_text(text).of("key on, B", COLD)
    assert on.energised() == ("V",)
    # the closed contact leaves it less than 0.1 V: hardly warm
    share = on.across_v("H").upper / 12.0
    assert share < 0.1 / 12.0
    hot = 0.2 * min(10.0 * share, share**0.55)
    assert on.current_a("H").upper == pytest.approx(hot, rel=0.02)


def test_a_lamp_in_series_with_a_lamp_is_cold_where_it_is_dark() -> None:
    wires = [*AHEAD, ("A", "H.1"), ("H.2", "CHASSIS")]
    lit = solved_text(circuit_text(BESIDE, wires)).of("key on, B", COLD)
    assert lit.current_a("H").nominal == pytest.approx(0.175 * (13.2 / 12.0) ** 0.55, rel=0.02)
    assert any("lamp H hot" in word for word in lit.conditions("H", "lower"))


def test_a_blocking_diode_carries_nothing_and_is_said_to() -> None:
    diode = 'kind = "diode"\nforward = ["0.6 V", "1 V"]\ncurrent = "1 A"\nreverse = "400 V"'
    parts = [*BESIDE[:3], ("D", diode), ("V", "valve")]
    wires = [*AHEAD, ("A", "D.cathode"), ("D.anode", "CHASSIS")]
    solved = solved_text(circuit_text(parts, wires)).of("key on, B", COLD)
    found = solved.current_a("D")
    assert (found.lower, found.upper, found.method) == (0.0, 0.0, BLOCKED)
    assert solved.power_w("D").upper == 0.0
    assert solved.across_v("D").upper < -11.0
    assert solved.ranges.active == ()


def test_bands_of_curves_hold_what_the_record_says() -> None:
    lamp = LampCurve(12.0, Band(0.1, 0.2, 0.3), Band(8.0, 10.0, 14.0), 0.55)
    led = DiodeCurve(Band(1.6, 2.0, 2.4), Band(900.0, 1000.0, 1100.0), None, 5.0)
    diode = DiodeCurve(Band(0.4, 0.7, 0.9), Band.exact(0.0), 10.0, 400.0)
    branches = tuple(
        CurveBranch(name, name, role, 0, 1, given)
        for name, role, given in (("H", "lamp", lamp), ("L", "LED", led), ("D", "diode", diode))
    )
    network = Network(
        Position("key on", "key on", frozenset()), ("+", "-"), (), (), 0, 1, True, branches
    )
    one, two, three = (active.curve for active in active_curves(network))
    assert isinstance(one, Lamp)
    assert one.current_a == lamp.current_a
    assert isinstance(two, StraightDiode)
    # at 20 mA the LED drops its upper limit behind the resistor at most
    assert two.drop_v.upper + 0.02 * two.slope_ohm.upper >= 2.4 + 0.02 * 1100.0
    assert two.drop_v.lower + 0.02 * two.slope_ohm.lower <= 2.0 + 0.02 * 900.0
    assert isinstance(three, StraightDiode)
    # between its limits at every current up to the one they are stated for
    for amps in (0.1, 1.0, 10.0):
        assert voltage_v(three, -1, amps) <= 0.7
        assert voltage_v(three, 1, amps) >= 0.9
    assert voltage_v(three, 0, 0.0) == 0.0
    for end, share in ((-1, 0.3), (0, 0.2), (1, 0.1)):
        assert voltage_v(one, end, share) == pytest.approx(12.0, rel=1e-12)
        assert voltage_v(one, end, -share * 0.5**0.55) == pytest.approx(-6.0, rel=1e-12)
