"""What stands on a coil that nobody asks for, by plain voltage dividers, against its drop-out."""

import pytest

from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS
from circuitcheck.checks.release.coil_released import BY_CURRENT, BY_VOLTAGE, CHECK

JOINT = ("", {"kind": '"splice"', "joint_resistance": '"0 ohm"'})
COOL = {"thermal": '{ resistance = "0.001 K/W", class = "H" }'}
ACROSS = ["PLUS A", "A SW.line", "SW.load B"]


def resistor(ohm):
    value = f'{{ value = "{ohm} ohm", tolerance = "0 %" }}'
    return "", {"kind": '"resistor"', "resistance": value}


def leaking(on_parts, ohm, **coil):
    """A resistor across the contact: 12 V over it and 10 ohm of coil in series."""
    parts = {"SW": "button", "A": JOINT, "B": JOINT, "V": ("coil", coil), "R": resistor(ohm)}
    return on_parts(CHECK, parts, [*ACROSS, "A R.1", "R.2 B", "B V.1", "V.2 MINUS"])


def leaking_relay(on_parts, ohm, **relay):
    parts = {
        "SW": "button",
        "A": JOINT,
        "B": JOINT,
        "K": ("relay", relay),
        "R": resistor(ohm),
        "V": "coil",
    }
    wires = [*ACROSS, "A R.1", "R.2 B", "B K.86", "K.85 MINUS", "A K.30", "K.87 V.1", "V.2 MINUS"]
    return on_parts(CHECK, parts, wires)


@pytest.mark.parametrize(("ohm", "result"), [(91, PASS), (89, FAIL)])
def test_a_tenth_of_the_rated_voltage_by_hand(on_parts, ohm, result):
    # 12 V * 10 / (10 + R) against the lower end, 10 % of 12 V: 90 ohm would leave 1.2 V
    found = leaking(on_parts, ohm, **COOL)[f"V: {BY_VOLTAGE}"]
    assert found.value == pytest.approx(120.0 / (10.0 + ohm), rel=1e-3)
    assert (found.limit, found.result) == (pytest.approx(1.2), result)
    assert found.position == "key on"


@pytest.mark.parametrize(("ohm", "result"), [(117, PASS), (110, FAIL)])
def test_nominal_passes_and_the_cold_coil_fails(on_parts, ohm, result):
    # on 12 V, with 5 K/W in air of 20 degC, the winding runs at 78.6 degC: there 1.2 V hold. At
    # 20 degC the same current flows on 1.2 * 254.5 / 313.1 = 0.975 V
    by_voltage, by_current = (leaking(on_parts, ohm)[f"V: {q}"] for q in (BY_VOLTAGE, BY_CURRENT))
    assert by_voltage.result == PASS
    assert by_current.value == pytest.approx(120.0 / (10.0 + ohm), rel=1e-3)
    assert by_current.limit == pytest.approx(1.2 * 254.5 / (234.5 + 78.6), rel=1e-3)
    assert (by_current.coil_state, by_current.result) == ("cold start", result)


def test_an_open_contact_leaves_nothing(on_parts):
    wires = ["PLUS SW.line", "SW.load V.1", "V.2 MINUS"]
    found = on_parts(CHECK, {"SW": "button", "V": "coil"}, wires)
    assert {key: f.result for key, f in found.items()} == {f"V: {BY_VOLTAGE}": PASS}
    assert found[f"V: {BY_VOLTAGE}"].value == pytest.approx(0.0, abs=1e-9)


def test_an_led_across_the_contact_leaves_little(on_parts):
    # (12 V - 2 V) / 1010 ohm over 10 ohm: a tenth of a volt
    led = {
        "kind": '"LED indicator"',
        "forward": '["1.9 V", "2.1 V"]',
        "series": '{ value = "1 kohm", tolerance = "0 %" }',
        "polarity": '{ plus = "1" }',
    }
    parts = {"SW": "button", "A": JOINT, "B": JOINT, "V": ("coil", COOL), "L": ("", led)}
    found = on_parts(CHECK, parts, [*ACROSS, "A L.1", "L.2 B", "B V.1", "V.2 MINUS"])
    assert found[f"V: {BY_VOLTAGE}"].value == pytest.approx(10.0 / 101.0, rel=0.02)
    assert found[f"V: {BY_VOLTAGE}"].result == PASS


def test_a_relay_kept_in_by_a_leak(on_parts):
    # 1.2 V release a relay of 90 ohm; 800 ohm across its button leave 12 * 90 / 890 = 1.21 V
    found = leaking_relay(on_parts, 800, **COOL)[f"K: {BY_VOLTAGE}"]
    assert found.value == pytest.approx(12.0 * 90.0 / 890.0, rel=1e-3)
    assert (found.limit, found.result) == (1.2, FAIL)
    assert leaking_relay(on_parts, 820, **COOL)[f"K: {BY_VOLTAGE}"].result == PASS


def test_an_unknown_drop_out_is_asked_for(on_parts):
    found = leaking_relay(on_parts, 800, drop_out='"unknown"')
    assert found[f"K: {BY_VOLTAGE}"].result == NOT_JUDGED
    assert "drop-out voltage is not known" in found[f"K: {BY_VOLTAGE}"].reason
    # the coil behind its contact is dead with it
    assert found[f"V: {BY_VOLTAGE}"].result == PASS


def test_an_unknown_heat_path_leaves_the_cold_relay_open(on_parts):
    # a coil's drop-out is stated for its running temperature: without class nor heat path unknown
    hold = {"thermal": None}
    parts = {
        "SW": "button",
        "A": JOINT,
        "B": JOINT,
        "R": resistor(200),
        "Y": ("pull and hold", {**hold, "drop_out": '["10 %", "40 %"]'}),
    }
    wires = [*ACROSS, "A R.1", "R.2 B", "B Y.hold", "Y.common MINUS"]
    found = on_parts(CHECK, parts, wires)
    assert found[f"Y: {BY_CURRENT}"].result == NOT_JUDGED
    assert "hot resistance" in found[f"Y: {BY_CURRENT}"].reason


def test_a_coil_that_is_always_asked_for_is_never_off(on_parts):
    assert on_parts(CHECK, {"V": "coil"}, ["PLUS V.1", "V.2 MINUS"]) == {}
