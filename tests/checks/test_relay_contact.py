"""Relay contacts by hand: a coil or lamps on 12 V, against ratings of that side and load."""

import pytest

from circuitcheck.checks.contacts.relay_contact import CHECK
from circuitcheck.checks.contacts.switch_rating import CHECK as OF_SWITCHES
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS

BREAKING = "K: current of contact K/make"
CARRIED = "K: current carried by contact K/make"
BUTTON = ["PLUS SW.line", "SW.load K.86", "K.85 MINUS", "PLUS K.30"]


def rating(*rows):
    shown = [f'{{ current = "{a} A", voltage = "{v} V", load = "{load}" }}' for a, v, load in rows]
    return f"[{', '.join(shown)}]"


def of_coil(on_parts, *, ohm=10, tolerance=0, base=None, **relay):
    value = f'{{ at_20degC = "{ohm} ohm", tolerance = "{tolerance} %" }}'
    parts = {"SW": "button", "K": ("relay", relay), "V": ("coil", {"resistance": value})}
    return on_parts(CHECK, parts, [*BUTTON, "K.87 V.1", "V.2 MINUS"], **(base or {}))


def lamp(watts, ratio="10"):
    power = f'{{ value = "{watts} W", tolerance = "0 %" }}'
    return "", {"kind": '"indicator lamp"', "power": power, "rated": '"12 V"', "cold_ratio": ratio}


def of_lamp(on_parts, *, watts=24, **relay):
    parts = {"SW": "button", "K": ("relay", relay), "L": lamp(watts)}
    return on_parts(CHECK, parts, [*BUTTON, "K.87 L.1", "L.2 MINUS"])


@pytest.mark.parametrize(("amps", "result"), [(1.2, PASS), (1.19, FAIL)])
def test_breaking_a_coil_by_hand(on_parts, amps, result):
    found = of_coil(on_parts, rating=rating((amps, 14, "DC inductive")))[BREAKING]
    assert found.value == pytest.approx(12.0 / 10.04, rel=2e-3)
    assert (found.limit, found.result) == (amps, result)
    assert "coils on, with their suppression: V (diode)" in found.conditions


def test_nominal_passes_and_the_coldest_coil_fails(on_parts):
    base = {"charging": '["13 V", "14.9 V"]'}
    found = of_coil(on_parts, tolerance=10, base=base, rating=rating((1.5, 14, "DC inductive")))
    assert found[BREAKING].value == pytest.approx(14.9 / 9.03, rel=3e-3)
    assert found[BREAKING].result == FAIL


@pytest.mark.parametrize("row", [(30, 14, "DC resistive"), (30, 250, "AC"), (30, 14, "lamp")])
def test_no_inductive_rating_is_not_judged(on_parts, row):
    found = of_coil(on_parts, rating=rating(row))[BREAKING]
    assert found.result == NOT_JUDGED
    assert "ask for the DC inductive rating" in found.reason


def test_beyond_a_plain_rating_fails_all_the_same(on_parts):
    found = of_coil(on_parts, rating=rating((1, 12, "DC resistive")))[BREAKING]
    assert (found.limit, found.result) == (1.0, FAIL)


def test_the_break_side_has_ratings_of_its_own(on_parts):
    changes = {
        "contacts": '"changeover"',
        "break_rating": rating((1, 14, "DC inductive")),
        "rating": rating((10, 14, "DC inductive")),
    }
    parts = {"SW": "button", "K": ("relay", changes), "V": "coil"}
    found = on_parts(CHECK, parts, [*BUTTON, "K.87a V.1", "V.2 MINUS"])
    assert found["K: current of contact K/break"].result == FAIL
    assert BREAKING not in found


def test_a_lamp_is_broken_as_a_plain_load(on_parts):
    found = of_lamp(on_parts, rating=rating((2.1, 14, "DC resistive")))[BREAKING]
    assert (found.limit, found.result) == (2.1, PASS)


def test_a_coil_beside_a_lamp_is_the_hardest_to_break(on_parts):
    parts = {
        "SW": "button",
        "K": "relay",
        "L": lamp(24),
        "V": "coil",
        "S": ("", {"kind": '"splice"'}),
    }
    found = on_parts(CHECK, parts, [*BUTTON, "K.87 S", "S L.1", "L.2 MINUS", "S V.1", "V.2 MINUS"])
    assert found[BREAKING].limit == 10.0  # the inductive rating counts


def test_carrying_in_the_heat_of_its_place(on_parts):
    # the trade type carries 50 A in air of 23 degC, 35 A at 85 degC, 15 A at 125 degC
    parts = {
        "SW": "button",
        "K": ("", {"kind": '"relay"', "type": '"mini relay changeover, 12 V"'}),
        "V": "coil",
    }
    wires = [*BUTTON, "K.87 V.1", "V.2 MINUS"]
    assert on_parts(CHECK, parts, wires)[CARRIED].limit == 50.0
    assert on_parts(CHECK, parts, wires, air='["0 degC", "60 degC"]')[CARRIED].limit == 35.0


def test_an_isolator_is_judged_by_what_it_carries(on_parts):
    isolator = ("", {"kind": '"isolator"', "type": '"battery isolator 100 A"'})
    parts = {"I": isolator, "V": "coil"}
    found = on_parts(OF_SWITCHES, parts, ["PLUS I.1", "I.2 V.1", "V.2 MINUS"])
    assert [f.quantity for f in found.values()] == ["current carried by contact I/I off"]
    assert found["I: current carried by contact I/I off"].result == PASS
    hot = on_parts(OF_SWITCHES, parts, ["PLUS I.1", "I.2 V.1", "V.2 MINUS"], air='"40 degC"')
    assert hot["I: current carried by contact I/I off"].result == NOT_JUDGED


def test_behind_a_converter_a_contact_breaks_twelve_volt(on_parts):
    parts = {
        "C": "converter",
        "SW": ("button", {"rating": rating((3, 14, "DC inductive"))}),
        "V": "coil",
    }
    wires = ["PLUS C.in", "C.minus MINUS", "C.out SW.line", "SW.load V.1", "V.2 MINUS"]
    found = on_parts(OF_SWITCHES, parts, wires, on_24_v="yes")
    assert found["SW: current of contact SW/SW"].result == PASS


def test_without_a_relay_there_is_nothing_to_say(on_parts):
    assert on_parts(CHECK, {"V": "coil"}, ["PLUS V.1", "V.2 MINUS"]) == {}
