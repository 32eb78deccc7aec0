"""Coil heat against second methods: direct iteration, and a stepped first-order body."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from circuitcheck.formulas.coil import (
    periodic_peak_c,
    periodic_share,
    steady_resistance_ohm,
    winding_temperature_c,
)
from circuitcheck.formulas.wire_resistance import resistance_at_ohm

RESISTANCE = st.floats(2.0, 60.0)
VOLTAGE = st.floats(0.0, 32.0)
AMBIENT = st.floats(-40.0, 85.0)
THERMAL = st.floats(0.5, 9.0)


@given(RESISTANCE, VOLTAGE, AMBIENT, THERMAL, st.floats(0.0, 30.0))
def test_steady_state_satisfies_the_heat_balance(r20, volt, ambient, thermal, series):
    hot = steady_resistance_ohm(r20, volt, ambient, thermal, series)
    power = volt**2 * hot / (hot + series) ** 2
    rise = winding_temperature_c(hot, r20) - ambient
    assert rise == pytest.approx(thermal * power, rel=1e-7, abs=1e-7)


def test_batch_equals_one_by_one():
    r20, volt = np.linspace(4.0, 40.0, 7), np.linspace(9.0, 30.0, 7)
    series = np.array([0.0, 0.0, 0.1, 0.5, 1.0, 2.0, 4.0])
    batch = steady_resistance_ohm(r20, volt, 40.0, 5.0, series)
    single = [
        steady_resistance_ohm(float(r), float(v), 40.0, 5.0, float(s))
        for r, v, s in zip(r20, volt, series, strict=True)
    ]
    assert batch == pytest.approx(single, rel=1e-12)
    assert isinstance(single[0], float)


@given(RESISTANCE, VOLTAGE, AMBIENT, THERMAL)
def test_more_voltage_or_heat_never_cools(r20, volt, ambient, thermal):
    base = steady_resistance_ohm(r20, volt, ambient, thermal)
    # a microvolt warms nothing that is left after rounding
    least, most = base * (1.0 - 1e-14), base * (1.0 + 1e-14)
    assert steady_resistance_ohm(r20, volt + 1.0, ambient, thermal) >= least
    assert steady_resistance_ohm(r20, volt, ambient + 1.0, thermal) >= least
    assert steady_resistance_ohm(r20, volt, ambient, thermal + 0.1) >= least
    assert steady_resistance_ohm(r20, volt, ambient, thermal, 0.5) <= most


def test_share_of_limit_cases():
    # known by thought: always on gives all of the rise, never on none, a quick cycle its duty
    assert periodic_share(60.0, 60.0, 1000.0) == 1.0
    assert periodic_share(0.0, 60.0, 1000.0) == 0.0
    assert periodic_share(0.002, 0.006, 1000.0) == pytest.approx(1 / 3, rel=1e-5)
    # one press in a very long cycle: 1 - exp(-1) after one time constant
    assert periodic_share(1000.0, 1e6, 1000.0) == pytest.approx(1.0 - math.exp(-1.0), rel=1e-12)


def stepped_peak_c(r20, volt, ambient, thermal, tau, on_s, cycle_s, series):
    """Settle a first-order body with falling power by small steps; last peak."""
    steps = 400
    rise, peak = 0.0, 0.0
    dt = on_s / steps
    for _ in range(round(10 * tau / cycle_s) + 3):
        for _ in range(steps):
            ohm = resistance_at_ohm(r20, ambient + rise)
            power = volt**2 * ohm / (ohm + series) ** 2
            rise = thermal * power + (rise - thermal * power) * math.exp(-dt / tau)
        peak = rise
        rise *= math.exp(-(cycle_s - on_s) / tau)
    return ambient + peak


@pytest.mark.parametrize(
    ("on_s", "cycle_s", "tau", "series"),
    [(20.0, 60.0, 300.0, 0.0), (200.0, 600.0, 400.0, 0.4), (600.0, 700.0, 500.0, 0.0)],
)
def test_peak_bounds_enclose_a_stepped_simulation(on_s, cycle_s, tau, series):
    peak = periodic_peak_c(7.2, 14.4, 60.0, 5.0, tau, on_s, cycle_s, series)
    simulated = stepped_peak_c(7.2, 14.4, 60.0, 5.0, tau, on_s, cycle_s, series)
    assert peak.lower_c - 0.05 <= simulated <= peak.upper_c + 0.05
    assert peak.upper_c - peak.lower_c < 25.0


@settings(max_examples=50)
@given(RESISTANCE, VOLTAGE, AMBIENT, THERMAL, st.floats(1.0, 599.0))
def test_peak_lies_between_ambient_and_the_continuous_state(r20, volt, ambient, thermal, on_s):
    peak = periodic_peak_c(r20, volt, ambient, thermal, 900.0, on_s, 600.0)
    cold_steady = ambient + thermal * volt**2 / resistance_at_ohm(r20, ambient)
    assert ambient <= peak.lower_c <= peak.upper_c + 1e-9
    assert peak.upper_c <= cold_steady + 1e-9


def test_always_on_is_the_steady_state():
    peak = periodic_peak_c(7.2, 14.0, 60.0, 5.0, 900.0, 600.0, 600.0)
    steady = winding_temperature_c(steady_resistance_ohm(7.2, 14.0, 60.0, 5.0), 7.2)
    assert peak.lower_c == pytest.approx(steady, rel=1e-9)
    assert peak.upper_c == pytest.approx(steady, rel=1e-9)


@pytest.mark.parametrize(
    ("call", "name"),
    [
        (lambda: steady_resistance_ohm(0.0, 12.0, 20.0, 5.0), "resistance_20c_ohm"),
        (lambda: steady_resistance_ohm(7.0, -1.0, 20.0, 5.0), "voltage_v"),
        (lambda: steady_resistance_ohm(7.0, 12.0, 500.0, 5.0), "ambient_c"),
        (lambda: steady_resistance_ohm(7.0, math.nan, 20.0, 5.0), "voltage_v"),
        (lambda: steady_resistance_ohm(7.0, 12.0, 20.0, 5.0, -0.1), "series_ohm"),
        (lambda: winding_temperature_c(-1.0, 7.0), "resistance_ohm"),
        (lambda: periodic_share(61.0, 60.0, 900.0), "cycle_s - on_s"),
        (lambda: periodic_peak_c(7.0, 12.0, 20.0, 5.0, 900.0, 1.0, 60.0, 8.0), "series_ohm"),
    ],
)
def test_arguments_outside_their_range_are_named(call, name):
    with pytest.raises(ValueError, match=name):
        call()
