"""Supply events: levels as the standard prints them, heat and energy by hand and by integration."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuitcheck import read_library
from circuitcheck.transient.supply_events import (
    HeatStep,
    SupplyEvent,
    cranking_dip_v,
    dump_energy_j,
    filament_life_h,
    jump_start,
    load_dump,
    reversed_battery,
)

LIBRARY = read_library()


@pytest.mark.parametrize(
    ("system_v", "dump", "reversed_v", "dip_v"),
    # ISO 16750-2: clamped load dump 35 V and about 58 V; reversed 14 V, 28 V (2010); first dip of
    # level II 4.5 V and 8 V, less 0.2 V
    [(12.0, (35.0, 0.4, 0.5), 14.0, 4.3), (24.0, (58.0, 0.4, 1.0), 28.0, 7.8)],
)
def test_levels_of_iso_16750_2(system_v, dump, reversed_v, dip_v):
    event = load_dump(LIBRARY, system_v)
    assert (event.supply_v, event.time_s, event.source_ohm) == dump
    turned = reversed_battery(LIBRARY, system_v)
    assert (turned.supply_v, turned.time_s) == (reversed_v, 60.0)
    assert cranking_dip_v(LIBRARY, system_v, 100.0) == dip_v
    assert cranking_dip_v(LIBRARY, system_v, 3.5) == 3.5  # the file knows better


def test_jump_start_is_for_12_v():
    event = jump_start(LIBRARY, 12.0)
    assert event is not None
    assert (event.supply_v, event.time_s) == (26.0, 60.0)  # ISO 16750-2:2023
    assert jump_start(LIBRARY, 24.0) is None


@given(
    st.floats(20.0, 150.0), st.floats(-20.0, 20.0), st.floats(3.0, 40.0), st.floats(2.0, 8.0),
    st.floats(300.0, 2000.0), st.floats(14.0, 40.0), st.floats(0.1, 120.0),
)  # fmt: skip
def test_the_closed_form_is_never_below_the_winding_step_by_step(
    start_c, ambient_c, r20, k_per_w, tau_s, volts, time_s
):
    step = HeatStep(start_c, ambient_c, r20, k_per_w, tau_s, volts, time_s)
    here_c, parts = start_c, 200
    for _ in range(parts):  # second-order steps; resistance follows copper

        def rate(c):
            ohm = r20 * (234.5 + c) / 254.5
            return (volts**2 / ohm * k_per_w - (c - ambient_c)) / tau_s

        first = rate(here_c)
        here_c += time_s / parts * (first + rate(here_c + first * time_s / parts)) / 2.0
    assert step.end_c >= here_c - 0.02


def test_a_short_surge_heats_as_without_cooling():
    # 35 V for 0.4 s on 7.2 ohm: 68 J into tau / R_th = 240 J/K
    step = HeatStep(20.0, 20.0, 7.2, 5.0, 1200.0, 35.0, 0.4)
    assert step.end_c - 20.0 == pytest.approx(35.0**2 / 7.2 * 0.4 / 240.0, rel=1e-3)


def test_a_filament_at_twice_its_voltage():
    # lamp-rerating: life goes with V^-12: 4096 times faster
    assert filament_life_h(27.0, 13.5, 60.0, 12.0) == pytest.approx(4096.0 / 60.0)


def test_energy_of_a_load_dump_in_a_tvs():
    event = SupplyEvent("load dump", 35.0, 0.4, 0.5, "iso-16750-2")
    # 5 V over 1 ohm: 5 A at 32.5 V for 0.4 s
    assert dump_energy_j(event, 30.0, 0.5) == pytest.approx((30.0 + 2.5) * 5.0 * 0.4)
    assert dump_energy_j(event, 35.0, 0.5) == 0.0
    assert math.isfinite(dump_energy_j(event, 0.0, 0.0))
