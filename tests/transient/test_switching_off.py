"""Release of one winding: laws that hold for all values, and the closed form against steps."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuitcheck import open_case, read_harness, read_library
from circuitcheck.formulas.suppression import stored_energy_j, suppressor_energy_j
from circuitcheck.transient.switching_off.suppressor import Law, choices, largest_resistor_ohm
from circuitcheck.transient.switching_off.switching_off import (
    HIGH_SIDE,
    LOW_SIDE,
    WindingState,
    released,
    switched_windings,
)

LIBRARY = read_library()
HENRY, OHM = st.floats(0.01, 1.0), st.floats(2.0, 100.0)
AMPS, SHARE = st.floats(0.1, 5.0), st.floats(0.05, 0.95)
CLAMP, SERIES = st.floats(0.0, 80.0), st.floats(0.0, 500.0)


def by_steps_s(state: WindingState, law: Law, end_a: float, parts: int = 4000) -> float:
    """Sum of L dI / (R i + E + r i) over equal steps of current, by the middle of each."""
    step = (state.current_a - end_a) / parts
    total = 0.0
    for k in range(parts):
        amps = end_a + (k + 0.5) * step
        total += state.inductance_h * step / (state.ohm * amps + law.volts(amps))
    return total


@given(HENRY, OHM, AMPS, SHARE, CLAMP, SERIES)
def test_the_closed_form_is_the_sum_of_its_steps(henry, ohm, amps, share, clamp, series):
    state, law = WindingState(henry, ohm, amps, None), Law(clamp, series)
    assert state.decay_s(law, share * amps) == pytest.approx(
        by_steps_s(state, law, share * amps), rel=1e-4
    )


@given(HENRY, OHM, AMPS, SHARE, CLAMP, SERIES, st.floats(1.01, 5.0))
def test_more_voltage_or_resistance_releases_sooner(henry, ohm, amps, share, clamp, series, more):
    state, end_a = WindingState(henry, ohm, amps, None), share * amps
    slow = state.decay_s(Law(clamp, series), end_a)
    assert state.decay_s(Law(more * clamp + 0.1, series), end_a) < slow
    assert state.decay_s(Law(clamp, more * series + 0.1), end_a) < slow
    shorted = state.decay_s(Law(0.0, 0.0), end_a)
    assert slow <= shorted * (1.0 + 1e-12)
    assert shorted == pytest.approx(henry / ohm * math.log(1.0 / share))


@given(HENRY, OHM, AMPS, CLAMP, SERIES)
def test_the_suppressor_never_takes_more_than_is_stored(henry, ohm, amps, clamp, series):
    taken = suppressor_energy_j(henry, ohm, amps, clamp, series)
    assert -1e-12 <= taken <= stored_energy_j(henry, amps) * (1.0 + 1e-9)


@given(st.floats(0.2, 1e5))
def test_the_largest_resistor_of_the_series_is_the_next_below(ohm):
    found = largest_resistor_ohm(ohm)
    assert found <= ohm < 1.26 * found  # steps of E12 are at most 25 %


def test_a_current_already_below_the_drop_out_is_gone_at_once():
    assert WindingState(0.1, 10.0, 0.05, None).decay_s(Law(0.7, 0.0), 0.1) == 0.0


@pytest.mark.parametrize(
    ("file", "branch", "side", "supply_v"),
    [
        ("round_baler_low_side", "YK", LOW_SIDE, 14.9),
        ("orchard_sprayer", "VL", HIGH_SIDE, 14.9),
        ("road_sweeper_24v", "Y1", HIGH_SIDE, 29.8),
        ("salt_spreader_relay_lamp", "YL", HIGH_SIDE, 14.9),
    ],
)
def test_the_side_of_the_contact_and_what_it_sees(file, branch, side, supply_v):
    from pathlib import Path

    path = Path(__file__).parents[2] / "examples" / file / "harness.toml"
    case = open_case(read_harness(path, LIBRARY), LIBRARY)
    every = {w.branch: w for w in switched_windings(case.harness, LIBRARY, case.solution)}
    winding = every[branch]
    assert (winding.side, winding.supply_v) == (side, supply_v)
    for one in choices(case.harness.system_v, winding.slowest.current_a, 8.0, LIBRARY):
        release = released(winding, one)
        assert release.contact_peak_v - release.coil_peak_v == pytest.approx(supply_v)
        assert release.release_s.lower <= release.release_s.nominal <= release.release_s.upper
        assert release.absorbed_j <= winding.energy_j
