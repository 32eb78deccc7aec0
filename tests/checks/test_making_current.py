"""Contacts that close on cold lamps or an empty capacitor, on 12 V and 24 V by hand."""

import pytest

from circuitcheck.checks.contacts.making_current import CHECK
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS

LAMPS = "K: inrush of cold lamps through contact K/make"
CAPACITOR = "K: inrush of an input capacitor through contact K/make"
BUTTON = ["PLUS SW.line", "SW.load K.86", "K.85 MINUS", "PLUS K.30"]
CHARGES = {"input_capacitance": '"1000 uF"'}


def rating(*rows):
    shown = [f'{{ current = "{a} A", voltage = "{v} V", load = "{load}" }}' for a, v, load in rows]
    return f"[{', '.join(shown)}]"


def lamp(watts, tolerance=0):
    power = f'{{ value = "{watts} W", tolerance = "{tolerance} %" }}'
    return "", {"kind": '"indicator lamp"', "power": power, "rated": '"12 V"', "cold_ratio": "10"}


def of_lamp(on_parts, **relay):
    parts = {"SW": "button", "K": ("relay", relay), "L": lamp(24)}
    return on_parts(CHECK, parts, [*BUTTON, "K.87 L.1", "L.2 MINUS"])


@pytest.mark.parametrize(("limit", "result"), [("20.1 A", PASS), ("19.9 A", FAIL)])
def test_cold_filaments_by_hand(on_parts, limit, result):
    # 24 W at 12 V are 2 A; ten times that while they are cold, the feed left out
    found = of_lamp(on_parts, making_limit=f'"{limit}"')[LAMPS]
    assert found.value == pytest.approx(20.0, rel=2e-3)
    assert found.result == result


def test_nominal_passes_and_the_strongest_filament_fails(on_parts):
    for tolerance, result in (0, PASS), (10, FAIL):
        limit = {"making_limit": '"21 A"'}
        parts = {"SW": "button", "K": ("relay", limit), "L": lamp(24, tolerance)}
        found = on_parts(CHECK, parts, [*BUTTON, "K.87 L.1", "L.2 MINUS"])[LAMPS]
        assert found.result == result


def test_what_stands_in_for_a_making_limit(on_parts):
    bare = {"making_limit": '"unknown"'}
    by_lamp = of_lamp(on_parts, rating=rating((3, 14, "lamp")), **bare)[LAMPS]
    assert (by_lamp.limit, by_lamp.result) == (3.0, PASS)
    assert by_lamp.value == pytest.approx(2.0, rel=5e-3)
    by_plain = of_lamp(on_parts, rating=rating((25, 14, "DC resistive")), **bare)[LAMPS]
    assert (by_plain.limit, by_plain.result) == (25.0, PASS)
    neither = of_lamp(on_parts, rating=rating((25, 14, "AC")), **bare)[LAMPS]
    assert neither.result == NOT_JUDGED
    assert "no making limit" in neither.reason


def test_a_coil_beside_the_lamp_adds_its_own(on_parts):
    parts = {
        "SW": "button",
        "K": "relay",
        "L": lamp(24),
        "V": "coil",
        "S": ("", {"kind": '"splice"'}),
    }
    found = on_parts(CHECK, parts, [*BUTTON, "K.87 S", "S L.1", "L.2 MINUS", "S V.1", "V.2 MINUS"])
    assert found[LAMPS].value == pytest.approx(21.2, rel=5e-3)


def test_lamps_behind_a_switch(on_parts):
    parts = {
        "SW": ("switch", {"rating": rating((1, 14, "lamp"), (10, 14, "DC resistive"))}),
        "L": lamp(24),
    }
    found = on_parts(CHECK, parts, ["PLUS SW.line", "SW.load L.1", "L.2 MINUS"])
    assert found["SW: inrush of cold lamps through contact SW/SW"].result == FAIL


def converter(on_parts, changes, **relay):
    coil = {"resistance": '{ at_20degC = "200 ohm", tolerance = "0 %" }', "rated": '"24 V"'}
    keys = {"pull_in": '"16 V"', "drop_out": '"3 V"', "highest": '"32 V"', **coil, **relay}
    parts = {"SW": "button", "K": ("relay", keys), "C": ("converter", changes), "V": "coil"}
    wires = [*BUTTON, "K.87 C.in", "C.minus MINUS", "C.out V.1", "V.2 MINUS"]
    return on_parts(CHECK, parts, wires, on_24_v="yes")


@pytest.mark.parametrize(("limit", "result"), [("550 A", PASS), ("520 A", FAIL)])
def test_an_empty_capacitor_by_hand(on_parts, limit, result):
    # 28 V behind 0.01 ohm of fuse, 0.04 ohm of contact and 2 mohm of tap and wires
    relay = {"make_resistance": '"0.04 ohm"', "making_limit": f'"{limit}"'}
    found = converter(on_parts, CHARGES, **relay)[CAPACITOR]
    assert found.value == pytest.approx(28.0 / 0.0522, rel=0.02)
    assert found.working.result.value == found.value
    assert found.result == result


def test_an_unknown_capacitor_is_not_judged(on_parts):
    found = converter(on_parts, {})[CAPACITOR]
    assert found.result == NOT_JUDGED
    assert "input_capacitance" in found.reason


def test_a_capacitor_without_a_making_limit_is_not_judged(on_parts):
    found = converter(on_parts, CHARGES, making_limit='"unknown"')[CAPACITOR]
    assert found.result == NOT_JUDGED
    assert "no making limit" in found.reason


def test_coils_alone_have_no_inrush(on_parts):
    parts = {"SW": "button", "K": "relay", "V": "coil"}
    assert not on_parts(CHECK, parts, [*BUTTON, "K.87 V.1", "V.2 MINUS"])
