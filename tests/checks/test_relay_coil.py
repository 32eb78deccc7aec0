"""Relay coils by hand: copper's law for the hot winding, plain voltage dividers for the rest."""

import pytest

from circuitcheck.checks.contacts.relay_coil import CHECK, HIGHEST, PULL_IN
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS

WIRES = ["PLUS SW.line", "SW.load K.86", "K.85 MINUS", "PLUS K.30", "K.87 VL.1", "VL.2 MINUS"]
HELD = 'longest_press = "400 s"\npresses_per_hour = 9'  # over 300 s: continuous (DIN VDE 0580)


def relay(on_parts, *, button=None, wires=WIRES, more=None, base=None, **changes):
    parts = {"SW": ("button", button or {}), "K": ("relay", changes), "VL": "coil", **(more or {})}
    return on_parts(CHECK, parts, wires, use=HELD, **(base or {}))


def hot_c(volts, ohm, k_per_w, air_c):
    # T of a winding held on: (b + sqrt(b^2 + 4 R_th 254.5 V^2 / R20)) / 2 - 234.5, b = 234.5 + air
    b = 234.5 + air_c
    return (b + (b * b + 4.0 * k_per_w * 254.5 * volts**2 / ohm) ** 0.5) / 2.0 - 234.5


def test_pull_in_of_the_hot_coil_by_hand(on_parts):
    found = relay(on_parts)[f"K: {PULL_IN}"]
    # 12 V on 90 ohm and 40 K/W in air of 20 degC: 1.6 W cold, 74 degC settled
    temperature_c = hot_c(12.0, 90.0, 40.0, 20.0)
    assert found.limit == pytest.approx(7.2 * (234.5 + temperature_c) / 254.5, rel=2e-3)
    assert found.value == pytest.approx(12.0, rel=2e-3)
    assert (found.result, found.coil_state) == (PASS, "heat-soaked")


@pytest.mark.parametrize(("volts", "result"), [("9.9 V", PASS), ("10.1 V", FAIL)])
def test_nominal_passes_and_the_hot_winding_fails(on_parts, volts, result):
    # 12 V are more than 10.1 V; a winding 53 K above 20 degC asks for 21 % more of it
    found = relay(on_parts, pull_in=f'"{volts}"')[f"K: {PULL_IN}"]
    assert found.limit == pytest.approx(
        float(volts[:-2]) * (234.5 + hot_c(11.985, 90.0, 40.0, 20.0)) / 254.5, rel=1e-3
    )
    assert found.result == result


def test_stated_for_another_temperature(on_parts):
    at_20 = relay(on_parts)[f"K: {PULL_IN}"].limit
    at_85 = relay(on_parts, coil_at='"85 degC"')[f"K: {PULL_IN}"].limit
    assert at_85 == pytest.approx(at_20 * 254.5 / 319.5)


def test_a_resistor_inside_takes_its_current_over_the_same_contact(on_parts):
    # 90 ohm beside 180 ohm are 60 ohm; behind a button of 10 ohm the coil gets 12 * 60 / 70 V
    button = {"contact_resistance": '"10 ohm"'}
    changes = {"thermal": '{ resistance = "0.001 K/W", class = "F" }'}
    inside = {"suppression": '{ kind = "resistor", resistance = "180 ohm" }', **changes}
    bare = relay(on_parts, button=button, **changes)[f"K: {PULL_IN}"]
    with_resistor = relay(on_parts, button=button, **inside)[f"K: {PULL_IN}"]
    assert bare.value == pytest.approx(12.0 * 90.0 / 100.0, rel=2e-3)
    assert with_resistor.value == pytest.approx(12.0 * 60.0 / 70.0, rel=2e-3)
    assert with_resistor.value < bare.value


def test_what_is_not_known_is_not_judged(on_parts):
    unknown = relay(on_parts, pull_in='"unknown"', highest='"unknown"')
    assert unknown[f"K: {PULL_IN}"].result == NOT_JUDGED
    assert unknown[f"K: {HIGHEST}"].result == NOT_JUDGED
    assert "data sheet" in unknown[f"K: {PULL_IN}"].reason


def test_an_unknown_heat_path_is_taken_at_its_worst(on_parts):
    # no thermal resistance: as hot as class F, 155 degC, where 7.2 V are 11.02 V: still enough
    bare = {"thermal": '{ class = "F" }'}
    found = relay(on_parts, **bare)[f"K: {PULL_IN}"]
    assert found.limit == pytest.approx(7.2 * 389.5 / 254.5)
    assert found.result == PASS
    assert relay(on_parts, pull_in='"8 V"', **bare)[f"K: {PULL_IN}"].result == NOT_JUDGED


@pytest.mark.parametrize(("volts", "result"), [("14.95 V", PASS), ("14.85 V", FAIL)])
def test_highest_voltage_on_the_charging_supply(on_parts, volts, result):
    base = {"charging": '["13 V", "14.9 V"]'}
    found = relay(on_parts, base=base, highest=f'"{volts}"')[f"K: {HIGHEST}"]
    assert found.value == pytest.approx(14.9, rel=2e-3)
    assert (found.coil_state, found.result) == ("cold start", result)


def test_without_a_relay_there_is_nothing_to_say(on_parts):
    assert on_parts(CHECK, {"V": "coil"}, ["PLUS V.1", "V.2 MINUS"]) == {}
