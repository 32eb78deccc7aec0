"""Least current of contacts by hand: silver wants 100 mA here, gold 1 mA."""

import pytest

from circuitcheck.checks.contacts.wetting_current import CHECK
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS

WIRES = ["PLUS SW.line", "SW.load V.1", "V.2 MINUS"]
RELAYED = ["PLUS SW.line", "SW.load K.86", "K.85 MINUS", "PLUS K.30", "K.87 V.1", "V.2 MINUS"]
COOL = {"thermal": '{ resistance = "0.001 K/W", class = "H" }'}


def coil(ohm, tolerance=0):
    value = f'{{ at_20degC = "{ohm} ohm", tolerance = "{tolerance} %" }}'
    return "coil", {**COOL, "resistance": value}


def contact(on_parts, ohm, least='"100 mA"', tolerance=0, **base):
    parts = {"SW": ("button", {"least_current": least}), "V": coil(ohm, tolerance)}
    return on_parts(CHECK, parts, WIRES, **base)["SW: least current of contact SW/SW"]


@pytest.mark.parametrize(("ohm", "result"), [(119, PASS), (121, FAIL)])
def test_a_tenth_of_an_ampere(on_parts, ohm, result):
    found = contact(on_parts, ohm)
    assert found.value == pytest.approx(12.0 / (ohm + 0.02), rel=1e-3)
    assert (found.limit, found.at_most, found.result) == (0.1, False, result)


def test_nominal_passes_and_the_weakest_supply_fails(on_parts, parts):
    base = {"engine_off": '["11 V", "12.8 V"]', "charging": '["13 V", "14 V"]'}
    found = contact(on_parts, 110, tolerance=5, **base)
    assert 12.0 / 110.0 > 0.1 > found.value
    assert found.value == pytest.approx(11.0 / (115.5 + 0.02), rel=2e-3)
    assert found.result == FAIL


def test_gold_needs_little(on_parts):
    assert contact(on_parts, 1200, least='"1 mA"').result == PASS


def test_an_unknown_contact_is_asked_for(on_parts):
    found = contact(on_parts, 121, least=None)
    assert found.result == NOT_JUDGED
    assert "silver wants 10 mA" in found.reason
    # no metal wants more than silver
    assert contact(on_parts, 119, least=None).result == PASS


def test_a_button_that_works_a_relay_and_the_contact_of_it(on_parts):
    # 12 V on 90 ohm are 133 mA for the button, on 10 ohm 1.2 A for the relay's contact
    parts = {"SW": ("button", {"least_current": '"200 mA"'}), "K": ("relay", COOL), "V": coil(10)}
    found = on_parts(CHECK, parts, RELAYED)
    button, made = (
        found["SW: least current of contact SW/SW"],
        found["K: least current of contact K/make"],
    )
    assert button.value == pytest.approx(12.0 / 90.03, rel=2e-3)
    assert (button.result, made.result) == (FAIL, PASS)
    assert made.value == pytest.approx(1.2, rel=5e-3)


def test_a_contact_that_leads_to_nothing_asked_for_is_left_alone(on_parts):
    # the break contact of a changeover with nothing behind it but an LED through the coil
    led = {"kind": '"LED indicator"', "type": '"12 V, green"', "polarity": '{ plus = "1" }'}
    changes = {"contacts": '"changeover"', "break_making_limit": None}
    parts = {
        "SW": "button",
        "K": ("relay", {**COOL, **changes}),
        "V": coil(10),
        "L": ("", led),
        "S": ("", {"kind": '"splice"'}),
    }
    wires = [
        "PLUS SW.line",
        "SW.load K.86",
        "K.85 MINUS",
        "PLUS K.30",
        "K.87 S",
        "S V.1",
        "V.2 MINUS",
        "K.87a L.1",
        "L.2 S",
    ]
    found = on_parts(CHECK, parts, wires)
    assert "K: least current of contact K/break" not in found
    assert "K: least current of contact K/make" in found
