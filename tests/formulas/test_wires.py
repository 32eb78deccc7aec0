"""Wires: resistance, ampacity, adiabatic fault, drop. Laws and limit cases known by thought."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuitcheck.formulas.adiabatic import adiabatic_k, withstand_time_s
from circuitcheck.formulas.ampacity import (
    ambient_factor,
    conductor_temperature_c,
    corrected_ampacity_a,
)
from circuitcheck.formulas.battery import internal_resistance_ohm, prospective_current_a
from circuitcheck.formulas.suppression import decay_time_s, diode_reverse_voltage_v, stored_energy_j
from circuitcheck.formulas.voltage_drop import area_for_drop_mm2, voltage_drop_v
from circuitcheck.formulas.wire_resistance import (
    awg_diameter_mm,
    resistance_at_ohm,
    wire_resistance_ohm,
)

AREA = st.floats(0.1, 50.0)
TEMPERATURE = st.floats(-60.0, 200.0)


def test_one_metre_of_one_square_millimetre_is_one_fifty_eighth_of_an_ohm():
    assert wire_resistance_ohm(1.0, 1.0, 20.0) == pytest.approx(1.0 / 58.0, rel=1e-12)


@given(AREA, TEMPERATURE)
def test_resistance_goes_with_length_and_against_area(area, celsius):
    base = wire_resistance_ohm(1.0, area, celsius)
    assert wire_resistance_ohm(3.0, area, celsius) == pytest.approx(3.0 * base)
    assert wire_resistance_ohm(1.0, 2.0 * area, celsius) == pytest.approx(base / 2.0)


def test_resistance_takes_batches():
    hot = resistance_at_ohm(np.array([1.0, 2.0]), np.array([20.0, 147.25]))
    assert hot == pytest.approx([1.0, 3.0])  # 127.25 K above 20 degC adds half of 254.5


@given(AREA, TEMPERATURE, st.floats(0.1, 40.0), st.floats(0.1, 100.0))
def test_area_for_a_drop_gives_that_drop(area, celsius, amperes, length):
    ohm_per_m = wire_resistance_ohm(1.0, area, celsius)
    drop = voltage_drop_v(amperes, ohm_per_m, length)
    assert area_for_drop_mm2(amperes, length, drop, celsius) == pytest.approx(area)


@given(st.floats(60.0, 200.0), st.floats(-40.0, 58.0), st.floats(1.0, 100.0))
def test_corrected_ampacity_brings_the_wire_to_its_limit(limit, air, ampacity):
    corrected = corrected_ampacity_a(ampacity, limit, air)
    assert conductor_temperature_c(corrected, ampacity, limit, air) == pytest.approx(limit)


def test_no_current_no_rise_and_no_ampacity_at_the_limit():
    assert conductor_temperature_c(0.0, 20.0, 105.0, 45.0) == 45.0
    assert ambient_factor(80.0, 80.0) == 0.0
    assert ambient_factor(80.0, 95.0) == 0.0
    assert ambient_factor(80.0, 30.0) == 1.0


def test_temperature_below_ampacity_is_an_upper_bound_of_the_full_balance():
    # full balance: rise = D r2 (234.5 + Ta + rise) / (234.5 + T_limit), solved for the rise
    limit, air, reference = 105.0, 50.0, 30.0
    for share in np.linspace(0.05, 0.85, 9):
        heat = (limit - reference) * share**2 / (234.5 + limit)
        full = air + heat * (234.5 + air) / (1.0 - heat)
        assert conductor_temperature_c(share * 20.0, 20.0, limit, air) >= full


@given(AREA, st.floats(10.0, 2000.0))
def test_twice_the_current_a_quarter_of_the_time(area, amperes):
    once = withstand_time_s(area, amperes, 70.0, 160.0)
    assert withstand_time_s(area, 2.0 * amperes, 70.0, 160.0) == pytest.approx(once / 4.0)


def test_a_conductor_already_at_its_limit_withstands_nothing():
    assert adiabatic_k(160.0, 160.0) == 0.0
    assert withstand_time_s(1.5, 100.0, 160.0, 160.0) == 0.0


def test_alternator_adds_less_than_its_current_at_the_end_of_a_path():
    alone = prospective_current_a(12.8, 0.006, 0.05)
    both = prospective_current_a(12.8, 0.006, 0.05, 90.0)
    assert alone < both < alone + 90.0
    # all of it where the battery has by far the higher resistance
    assert prospective_current_a(12.8, 1e6, 0.05, 90.0) == pytest.approx(90.0, rel=1e-4)


def test_two_batteries_in_series_have_twice_the_resistance():
    assert internal_resistance_ohm(800.0, 2) == 2.0 * internal_resistance_ohm(800.0)


@given(st.floats(0.01, 1.0), st.floats(2.0, 60.0), st.floats(0.1, 5.0), st.floats(0.05, 0.9))
def test_a_clamp_voltage_shortens_the_decay(inductance, ohm, amperes, share):
    bare = decay_time_s(inductance, ohm, amperes, share * amperes)
    assert bare == pytest.approx(inductance / ohm * math.log(1.0 / share))
    assert decay_time_s(inductance, ohm, amperes, share * amperes, 24.0) < bare


def test_energy_is_what_the_resistance_burns_in_a_decay():
    # integral of I0^2 exp(-2 t R / L) R dt = L I0^2 / 2, by the trapezium rule
    t = np.linspace(0.0, 0.1, 200001)
    current = 1.5 * np.exp(-t * 10.0 / 0.05)
    burnt = float(np.sum((current[1:] ** 2 + current[:-1] ** 2) / 2.0 * 10.0 * np.diff(t)))
    assert burnt == pytest.approx(stored_energy_j(0.05, 1.5), rel=1e-6)


@pytest.mark.parametrize(
    ("call", "name"),
    [
        (lambda: awg_diameter_mm(41), "gauge"),
        (lambda: awg_diameter_mm(-4), "gauge"),
        (lambda: wire_resistance_ohm(-0.5, 1.0, 20.0), "length_m"),
        (lambda: wire_resistance_ohm(1.0, 0.0, 20.0), "area_mm2"),
        (lambda: wire_resistance_ohm(1.0, 1.0, 500.0), "temperature_c"),
        (lambda: wire_resistance_ohm(math.nan, 1.0, 20.0), "length_m"),
        (lambda: ambient_factor(30.0, 20.0), "reference_c"),
        (lambda: ambient_factor(80.0, 300.0), "ambient_c"),
        (lambda: corrected_ampacity_a(10.0, 80.0, 20.0, 1.2), "bundle_factor"),
        (lambda: conductor_temperature_c(1.0, 0.0, 80.0, 20.0), "ampacity_a"),
        (lambda: adiabatic_k(160.0, 70.0), "final_c - initial_c"),
        (lambda: withstand_time_s(1.5, 0.0, 70.0, 160.0), "current_a"),
        (lambda: area_for_drop_mm2(1.0, 1.0, 0.0), "drop_v"),
        (lambda: internal_resistance_ohm(0.0), "cold_cranking_a"),
        (lambda: prospective_current_a(12.0, 0.0, 1.0), "battery_ohm"),
        (lambda: decay_time_s(0.05, 10.0, 1.0, 2.0), "start_a - end_a"),
        (lambda: diode_reverse_voltage_v(0.0, 10.0), "supply_upper_v"),
    ],
)
def test_arguments_outside_their_range_are_named(call, name):
    with pytest.raises(ValueError, match=name):
        call()
