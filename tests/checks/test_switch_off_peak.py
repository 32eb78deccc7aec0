"""Peak at switch-off, by hand on the bench: 12 V, 10 ohm, 1.197 A."""

import pytest

from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS
from circuitcheck.checks.release.switch_off_peak import CHECK, COIL, CONTACT

WIRES = ["PLUS SW.line", "SW.load V.1", "V.2 MINUS"]
AMPS = 12.0 / 10.0217


def resistor(ohm, power="5 W"):
    return f'{{ kind = "resistor", resistance = "{ohm} ohm", power = "{power}" }}'


def found_on(on_parts, suppression, wires=WIRES, more=(), **base):
    coil = {"suppression": suppression, "polarity": None}
    parts = {"SW": "button", "V": ("coil", coil), **dict(more)}
    return on_parts(CHECK, parts, wires, **base)


@pytest.mark.parametrize(("ohm", "result"), [(125, PASS), (126, FAIL)])
def test_a_resistor_below_pulse_1(on_parts, ohm, result):
    # ISO 7637-2, pulse 1, level IV, 12 V: 150 V (from memory); 150 V / 1.197 A = 125.3 ohm
    found = found_on(on_parts, resistor(ohm))[f"V: {COIL}"]
    assert found.limit == 150.0
    assert found.value == pytest.approx(AMPS * ohm, rel=3e-4)
    assert found.result == result


def test_peak_as_measured(on_parts):
    # a 12 V relay coil of 120 ohm with 680 ohm beside it: 65 V measured (forum measurement)
    wires = ["PLUS SW.line", "SW.load K.86", "K.85 MINUS", "PLUS K.30", "K.87 V.1", "V.2 MINUS"]
    relay = {"resistance": '{ at_20degC = "120 ohm", tolerance = "0 %" }',
             "suppression": resistor(680)}  # fmt: skip
    parts = {"SW": "button", "K": ("relay", relay), "V": "coil"}
    found = on_parts(CHECK, parts, wires)[f"K: {COIL}"]
    assert found.value == pytest.approx(65.0, rel=0.05)


def test_coil_and_contact_differ_by_the_supply(on_parts):
    found = found_on(on_parts, resistor(100))
    across, contact = found[f"V: {COIL}"], found[f"V: {CONTACT}"]
    assert contact.value - across.value == pytest.approx(12.0)
    assert contact.limit == 300.0  # Paschen: no gap in air breaks down below 327 V
    assert contact.result == PASS
    assert found_on(on_parts, resistor(250))[f"V: {CONTACT}"].result == FAIL


def test_a_tvs_by_its_printed_clamp(on_parts):
    tvs = '{ kind = "bidirectional TVS", type = "bidirectional TVS 600 W, 12 V" }'
    found = found_on(on_parts, tvs)[f"V: {COIL}"]
    # 29.5 V and (38.9 V - 29.5 V) / 15.5 A for the rest
    assert found.value == pytest.approx(29.5 + 9.4 / 15.5 * AMPS, rel=1e-4)
    assert found.result == PASS


def test_a_clamping_voltage_that_is_not_given(on_parts):
    tvs = '{ kind = "bidirectional TVS", standoff = "24 V", power = "600 W" }'
    found = found_on(on_parts, tvs)[f"V: {COIL}"]
    assert found.result == NOT_JUDGED
    assert "clamping voltage" in found.reason
    given = tvs.replace(" }", ', clamp = "45 V" }')
    assert found_on(on_parts, given)[f"V: {COIL}"].value == pytest.approx(45.0)


@pytest.mark.parametrize("suppression", ['"none"', '{ kind = "diode", cathode = "1" }'])
def test_a_bare_diode_or_nothing_says_nothing(on_parts, suppression):
    assert found_on(on_parts, suppression) == {}


def test_nominal_passes_and_the_worst_case_fails(on_parts):
    wide = {"resistance": '{ at_20degC = "10 ohm", tolerance = "10 %" }', "polarity": None,
            "suppression": resistor(115)}  # fmt: skip
    found = on_parts(CHECK, {"SW": "button", "V": ("coil", wide)}, WIRES)[f"V: {COIL}"]
    assert 115.0 * AMPS < 150.0 < found.value
    assert found.result == FAIL


@pytest.mark.parametrize(("low_side", "side"), [(False, "high side"), (True, "low side")])
def test_the_side_of_the_contact_is_told(on_parts, low_side, side):
    wires = ["PLUS V.1", "V.2 SW.line", "SW.load MINUS"] if low_side else WIRES
    found = found_on(on_parts, resistor(100), wires)[f"V: {CONTACT}"]
    assert f"contact on the {side} of the coil" in found.conditions


def test_an_led_beside_the_coil_sees_the_peak(on_parts):
    led = ("", {"kind": '"LED indicator"', "type": '"12 V, red"', "polarity": '{ plus = "1" }'})
    joint = ("", {"kind": '"splice"', "joint_resistance": '"0 ohm"'})
    wires = ["PLUS SW.line", "SW.load A", "A V.1", "V.2 B", "B MINUS", "A H.1", "H.2 B"]
    more = {"H": led, "A": joint, "B": joint}
    found = found_on(on_parts, resistor(100), wires, more)
    (key,) = [key for key in found if key.startswith("H:")]
    assert found[key].value == pytest.approx(100.0 * AMPS, rel=1e-3)
    assert (found[key].limit, found[key].result) == (5.0, FAIL)
