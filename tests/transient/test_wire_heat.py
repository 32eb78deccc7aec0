"""Heating of a wire over time: limits known by thought, and the differential equation itself."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from circuitcheck.formulas.adiabatic import COPPER, temperature_after_c, withstand_time_s
from circuitcheck.transient.heat.wire_heat import WireHeat

OVERLOAD = {"overload_k": 50.0, "overload_s": 6 * 3600.0}

SIXTEEN_AWG = WireHeat(1.23, 0.0139, 0.0029, 45.0, 105.0, 160.0, COPPER, **OVERLOAD)
WIRES = st.builds(
    lambda area, wall_mm, air, class_c, bundle: WireHeat(
        area, 0.0185 / area, math.sqrt(4 * area / math.pi) / 1000 + 2 * wall_mm / 1000, air,
        class_c, max(160.0, class_c), COPPER, 1.0, bundle, **OVERLOAD,
    ),
    st.floats(0.35, 50.0), st.floats(0.2, 1.2), st.floats(-40.0, 55.0),
    st.sampled_from([60.0, 90.0, 105.0, 125.0]), st.sampled_from([1.0, 0.7, 0.5]),
)  # fmt: skip


@given(wire=WIRES, share=st.floats(0.05, 1.0))
@settings(max_examples=40, deadline=None)
def test_what_it_carries_at_a_temperature_holds_it_there(wire, share):
    end_c = wire.air_c + share * (wire.class_c - wire.air_c) + 0.5
    assert wire.steady_c(wire.carries_a(end_c)) == pytest.approx(end_c, abs=1e-4)
    assert wire.steady_c(0.0) == pytest.approx(wire.air_c, abs=1e-4)


@given(wire=WIRES, amps=st.floats(20.0, 500.0))
@settings(max_examples=30, deadline=None)
def test_heating_obeys_its_differential_equation(wire, amps):
    """Stepped by a second method, small explicit steps, over the first minute."""
    if wire.steady_c(amps) > 390.0:
        return
    rise = wire.heating(amps, wire.air_c, 60.0)
    temperature, step = wire.air_c, 0.02
    for _ in range(3000):
        ohms = wire.resistance_20c_ohm_per_m * (234.5 + temperature) / 254.5
        rate = (amps**2 * ohms - wire.loss_w_per_m(temperature)) / wire.stored_j_per_m_k
        temperature += step * rate
    assert rise.at(60.0) - wire.air_c == pytest.approx(temperature - wire.air_c, rel=0.015)


def test_time_from_one_temperature_to_another_is_that_of_the_curve():
    curve = SIXTEEN_AWG.heating(30.0, 50.0, 3000.0)
    for start, end in ((50.0, 60.0), (60.0, 100.0), (90.0, 120.0)):
        along = curve.first_crossing_s(end) - curve.first_crossing_s(start)
        assert SIXTEEN_AWG.heats_s(30.0, start, end) == pytest.approx(along, rel=5e-3)


def test_far_above_what_it_carries_it_heats_as_without_loss():
    # Conductor and the share of insulation that follows store 8.5 / 4.26 as much as copper alone.
    hot = SIXTEEN_AWG.heats_s(400.0, 60.0, 160.0)
    copper = 226.0**2 / (58.0 * 254.5) * 1.23
    alone = withstand_time_s(1.23, 400.0, 60.0, 160.0) * (1.0 / 58.0 / 1.23) / 0.0139
    assert hot == pytest.approx(alone * SIXTEEN_AWG.stored_j_per_m_k / copper, rel=0.01)


@given(
    wire=WIRES, share=st.floats(0.0, 0.95), low=st.floats(0.3, 100.0), more=st.floats(1.0001, 3.0)
)
@settings(max_examples=60, deadline=None)
def test_a_larger_current_is_never_stood_longer(wire, share, low, more):
    start_c = wire.air_c + share * (wire.class_c - wire.air_c)
    amps = low * wire.carries_a(wire.class_c)
    first, second = wire.stands_s(amps, start_c), wire.stands_s(amps * more, start_c)
    assert second <= first * (1 + 1e-9)


def test_joins_the_adiabatic_limit_at_5_s_without_a_step():
    start_c = 60.0
    k2a2 = 226.0**2 * math.log((234.5 + 160.0) / (234.5 + start_c)) * 1.23**2
    at_5_s = math.sqrt(k2a2 / 5.0)
    for share in (1.0, 1.5, 4.0):
        amps = at_5_s * share * 1.000001
        assert SIXTEEN_AWG.stands_s(amps, start_c) == pytest.approx(k2a2 / amps**2)
    currents = np.linspace(0.5 * at_5_s, 1.2 * at_5_s, 3000)
    times = np.array([SIXTEEN_AWG.stands_s(float(amps), start_c) for amps in currents])
    assert np.abs(np.diff(np.log(times))).max() < 0.02


def test_above_5_s_it_is_no_hotter_than_50_k_above_its_class():
    """Never less safe than either: the temperature by the whole curve stays below the limit."""
    for amps in (36.0, 40.0, 50.0, 60.0):
        time_s = SIXTEEN_AWG.stands_s(amps, 60.0)
        assert time_s > 5.0
        assert SIXTEEN_AWG.heating(amps, 60.0, time_s).at(time_s) <= 155.0
        assert temperature_after_c(1.23, amps, time_s, 60.0) > 155.0  # by then without loss


def test_carries_its_class_for_good_and_no_more_than_6_h_above():
    amps = SIXTEEN_AWG.carries_a(105.0)
    assert SIXTEEN_AWG.stands_s(amps * 0.999, 60.0) == math.inf
    assert SIXTEEN_AWG.stands_s(amps * 1.001, 60.0) == 6 * 3600.0


def test_a_bundle_lowers_what_it_carries_by_its_factor():
    bundled = WireHeat(1.23, 0.0139, 0.0029, 45.0, 105.0, 160.0, COPPER, 1.0, 0.6, **OVERLOAD)
    assert bundled.carries_a(105.0) == pytest.approx(0.6 * SIXTEEN_AWG.carries_a(105.0))


def test_outside_what_it_knows_it_refuses():
    with pytest.raises(ValueError, match="conductor_c"):
        SIXTEEN_AWG.carries_a(40.0)
    with pytest.raises(ValueError, match="short_circuit_c"):
        WireHeat(1.23, 0.0139, 0.0029, 45.0, 180.0, 160.0, COPPER, **OVERLOAD)
    assert SIXTEEN_AWG.steady_c(1000.0) == math.inf
