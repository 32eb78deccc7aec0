"""Pull and hold coil: both states solved, and its heat with the pull winding cut out or left on.

By hand, copper: R = R20 (234.5 + T) / 254.5; steady T = air + k V^2 / R.
"""

from __future__ import annotations

import pytest
from solve.part_harnesses import circuit_text
from solve.small_harnesses import solved_text

from circuitcheck import Solution
from circuitcheck.circuit.netlist import HOLDING, PULLING
from circuitcheck.solve.solution import COIL_STATES

COLD, SOAKED = COIL_STATES
COIL = """kind = "pull and hold coil"
pull_resistance = "{pull} ohm"
hold_resistance = "{hold} ohm"
cut_out = "{cut_out}"
thermal = {{ resistance = "5 K/W", time_constant = "1200 s", class = "F" }}
suppression = "none"
moves = {{ valve = "stop lever", movement = "lets the engine run", hazard = "none" }}"""
WIRES = [
    ("TAP", "F1.line"),
    ("F1.load", "B.line"),
    ("B.load", "S"),
    ("S", "Y.pull"),
    ("S", "Y.hold"),
    ("Y.common", "CHASSIS"),
]


def solved(
    cut_out: str, *, pull: float = 4.0, hold: float = 16.0, press: str = "400 s"
) -> Solution:
    coil = COIL.format(pull=pull, hold=hold, cut_out=cut_out)
    parts = [("B", "button"), ("S", "splice"), ("Y", coil)]
    return solved_text(circuit_text(parts, WIRES, press=press))


def steady(r20_ohm: float, volts: float, air_c: float, k_per_w: float) -> tuple[float, float]:
    """Temperature and resistance that settle, by taking turns."""
    hot = air_c
    for _ in range(500):
        ohm = r20_ohm * (234.5 + hot) / 254.5
        hot = air_c + k_per_w * volts**2 / ohm
    return hot, ohm


def test_both_states_are_solved_where_the_pull_winding_is_cut_out() -> None:
    found = solved("outside timer")
    states = {(p.position.name, p.coil_state, p.pull_state) for p in found.positions}
    assert len(states) == len(found.positions) == 6 * 2 * 2
    pulling = found.of("key on, B", COLD, PULLING)
    holding = found.of("key on, B", COLD, HOLDING)
    # nearly 13.4 V on 4 and on 16 ohm
    assert pulling.current_a("Y/pull").nominal == pytest.approx(13.4 / 4.0, rel=0.05)
    assert pulling.current_a("Y/hold").nominal == pytest.approx(13.4 / 16.0, rel=0.05)
    assert set(pulling.carrying()) == {"Y/pull", "Y/hold"}
    assert holding.carrying() == ("Y/hold",)
    assert holding.current_a("Y/hold").nominal > pulling.current_a("Y/hold").nominal
    assert pulling.current_a("F1").nominal == pytest.approx(
        pulling.current_a("Y/pull").nominal + pulling.current_a("Y/hold").nominal, rel=1e-9
    )
    with pytest.raises(KeyError):
        found.of("key on, B", COLD, "resting")


def test_the_hold_winding_alone_heats_one_that_is_cut_out() -> None:
    # held for good on 14.9 V less little: T = 20 + 5 * 14.9**2 / R, R from 16 ohm less 10 %
    found = solved("outside timer")
    hold, pull = found.heat["Y/hold"], found.heat["Y/pull"]
    hottest, _ = steady(16.0 * 0.9, 14.85, 20.0, 5.0)
    assert hold.temperature_c.upper == pytest.approx(hottest, abs=1.0)
    # the pull winding lies on the same body: its temperature, its own copper
    assert pull.temperature_c == hold.temperature_c
    assert pull.resistance_ohm.upper == pytest.approx(
        4.0 * 1.1 * (234.5 + hold.temperature_c.upper) / 254.5, rel=1e-3
    )


def test_a_pull_winding_left_on_heats_both() -> None:
    # 4 ohm beside 16 ohm heat as 3.2 ohm would: at 14.5 V some 65 W cold, and 5 K/W
    found = solved("none")
    assert {p.pull_state for p in found.positions} == {PULLING}
    hold, pull = found.heat["Y/hold"], found.heat["Y/pull"]
    at = found.of("key on, B", COLD)
    volts = at.across_v("Y/pull").upper
    hottest, _ = steady(3.2 * 0.9, volts, 20.0, 5.0)
    assert 180.0 < hottest < 260.0
    assert pull.temperature_c.upper == pytest.approx(hottest, abs=3.0)
    assert hold.temperature_c.upper == pull.temperature_c.upper
    alone, _ = steady(16.0 * 0.9, 14.85, 20.0, 5.0)
    assert hold.temperature_c.upper > alone + 80.0
    assert hold.resistance_ohm.upper / pull.resistance_ohm.upper == pytest.approx(4.0, rel=1e-9)
    # soaked, less current flows than cold
    assert found.of("key on, B", SOAKED).current_a("F1").lower < at.current_a("F1").lower


def test_an_unknown_cut_out_is_taken_as_left_on() -> None:
    assert solved("unknown").heat["Y/hold"] == solved("none").heat["Y/hold"]
