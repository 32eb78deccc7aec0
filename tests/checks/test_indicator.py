"""What a lit indicator proves in each place where it is wired; polarity and voltage by hand."""

import pytest

from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS
from circuitcheck.checks.lights.indicator import CHECK, HIGHEST, REVERSE, SHOWS

JOINT = ("", {"kind": '"splice"', "joint_resistance": '"0 ohm"'})
KINDS = {
    "lamp": {"kind": '"indicator lamp"', "power": '"1.2 W"', "rated": '"13.5 V"'},
    "LED": {
        "kind": '"LED indicator"',
        "forward": '["1.9 V", "2.1 V"]',
        "series": '"1 kohm"',
        "reverse": '"5 V"',
        "polarity": '{ plus = "1" }',
    },
}
PARTS = {"SW": "button", "A": JOINT, "B": JOINT, "V": "coil"}
PLACES = {
    "before": ["PLUS A", "A SW.line", "SW.load B", "B V.1", "V.2 MINUS", "A L.1", "L.2 MINUS"],
    "after": ["PLUS A", "A SW.line", "SW.load B", "B V.1", "V.2 MINUS", "B L.1", "L.2 MINUS"],
    "across": ["PLUS A", "A SW.line", "SW.load B", "B V.1", "V.2 MINUS", "A L.1", "L.2 B"],
}


def shown(on_parts, place, kind, parts=PARTS, **changes):
    indicator = ("", {**KINDS[kind], **changes})
    return on_parts(CHECK, {**parts, "L": indicator}, PLACES[place])[f"L: {SHOWS}"]


def facts(finding):
    lit, dark, needs, spare = finding.conditions[:4]
    return (
        lit.removeprefix("lit in: "),
        dark.removeprefix("dark in: "),
        set(needs.removeprefix("lit, it proves whole: ").split(", ")),
        set(spare.removeprefix("it would be lit without: ").split(", ")),
        " ".join(finding.conditions[4:]),
    )


@pytest.mark.parametrize("kind", KINDS)
def test_before_the_contact_it_proves_the_feed_and_nothing_of_the_coil(on_parts, kind):
    lit, dark, needs, spare, said = facts(shown(on_parts, "before", kind))
    assert (lit, dark) == ("key on, key on, SW", "no position")
    # fuses, the wire to A, its own two wires and the return; not the contact, not the coil
    assert {"TAP/fuse", "F1", "W1", "W6", "W7", "B3"} <= needs
    assert not needs & {"SW/SW", "W2", "W3", "W4", "W5", "V"}
    assert spare == {"V"}
    assert said == "lit with V asked for and without: it says nothing of V"


@pytest.mark.parametrize("kind", KINDS)
def test_after_the_contact_it_proves_the_contact_but_not_the_coil(on_parts, kind):
    lit, dark, needs, spare, said = facts(shown(on_parts, "after", kind))
    assert (lit, dark) == ("key on, SW", "key on")
    assert {"SW/SW", "W1", "W2", "W3", "W6", "W7"} <= needs
    assert not needs & {"W4", "W5", "V"}
    assert spare == {"V"}
    assert "lit whenever V is asked for, and only then" in said
    assert "its contact is closed, no more of V" in said


@pytest.mark.parametrize("kind", KINDS)
def test_across_the_contact_it_proves_the_coil_while_it_is_off(on_parts, kind):
    lit, dark, needs, spare, said = facts(shown(on_parts, "across", kind))
    assert (lit, dark) == ("key on", "key on, SW")
    # its current runs through winding and return: both are whole, and the contact is open
    assert {"W1", "W4", "V", "W5", "B3", "W6", "W7"} <= needs
    assert not needs & {"W2", "W3"}
    assert spare == {"nothing else"}
    assert said == "lit only while V is off; its current runs through V"


def test_beside_another_way_the_coil_is_no_longer_proved(on_parts):
    # across the contact, but a second coil hangs on the same feed: either of the two is enough
    parts = {**PARTS, "V2": "coil"}
    places = [*PLACES["across"], "B V2.1", "V2.2 MINUS"]
    found = on_parts(CHECK, {**parts, "L": ("", KINDS["LED"])}, places)[f"L: {SHOWS}"]
    _, _, needs, spare, _ = facts(found)
    assert {"V", "V2"} <= spare
    assert not needs & {"V", "V2"}


def test_in_series_with_the_coil_it_proves_current(on_parts):
    parts = {"SW": "button", "L": ("", {**KINDS["LED"], "series": '"10 ohm"'}), "V": "coil"}
    wires = ["PLUS SW.line", "SW.load L.1", "L.2 V.1", "V.2 MINUS"]
    lit, _, needs, _, _ = facts(on_parts(CHECK, parts, wires)[f"L: {SHOWS}"])
    assert lit == "key on, SW"
    assert "V" in needs


def test_a_led_the_wrong_way_round(on_parts):
    found = shown(on_parts, "before", "LED", polarity='{ plus = "2" }')
    assert found.result == FAIL
    assert "the wrong way round" in found.reason


@pytest.mark.parametrize(
    ("stands", "result"), [('"12.1 V"', PASS), ('"11.9 V"', FAIL), (None, NOT_JUDGED)]
)
def test_its_reverse_voltage_by_hand(on_parts, stands, result):
    turned = {**KINDS["LED"], "polarity": '{ plus = "2" }', "reverse": stands}
    found = on_parts(CHECK, {**PARTS, "L": ("", turned)}, PLACES["before"])[f"L: {REVERSE}"]
    assert found.value == pytest.approx(12.0, rel=2e-3)
    assert found.result == result


def test_the_right_way_round_sees_no_reverse_voltage(on_parts):
    found = on_parts(CHECK, {**PARTS, "L": ("", KINDS["LED"])}, PLACES["after"])
    assert set(found) == {f"L: {SHOWS}"}
    assert found[f"L: {SHOWS}"].result == PASS


def test_an_led_that_lights_either_way_round(on_parts):
    for place in PLACES:
        assert shown(on_parts, place, "LED", polarity='"either"').result == PASS


@pytest.mark.parametrize(("rated", "result"), [("13.1 V", PASS), ("12.9 V", FAIL)])
def test_highest_voltage_of_a_lamp(on_parts, rated, result):
    # 14.9 V over 1.15 is 12.96 V
    lamp = ("", {**KINDS["lamp"], "rated": f'"{rated}"'})
    base = {"charging": '["13 V", "14.9 V"]'}
    found = on_parts(CHECK, {**PARTS, "L": lamp}, PLACES["before"], **base)[f"L: {HIGHEST}"]
    assert found.value == pytest.approx(14.9, rel=2e-3)
    assert found.limit == pytest.approx(1.15 * float(rated[:-2]))
    assert found.result == result


def test_life_and_light_of_a_lamp_by_hand(on_parts):
    # 14.85 V on 13.5 V: 1.1^-12 = 32 % of its life; 10.8 V: 0.8^3.4 = 47 % of its light
    base = {"charging": '["13 V", "14.855 V"]', "engine_off": '["10.8 V", "12 V"]'}
    lamp = ("", KINDS["lamp"])
    found = on_parts(CHECK, {**PARTS, "L": lamp}, PLACES["before"], **base)[f"L: {HIGHEST}"]
    assert found.result == PASS
    assert any("lives 32% of its rated life" in c for c in found.conditions)
    assert any("gives 47% of its light" in c for c in found.conditions)


def test_below_its_rated_voltage_nothing_is_said_of_its_life(on_parts):
    found = on_parts(CHECK, {**PARTS, "L": ("", KINDS["lamp"])}, PLACES["before"])
    assert not any("life" in c for c in found[f"L: {HIGHEST}"].conditions)


def test_a_rated_voltage_that_nobody_gave_fails_no_lamp(on_parts):
    # the system's 12 V stand in for it; 14.9 V would be 124 %
    lamp = ("", {**KINDS["lamp"], "rated": None})
    base = {"charging": '["13 V", "14.9 V"]'}
    found = on_parts(CHECK, {**PARTS, "L": lamp}, PLACES["before"], **base)[f"L: {HIGHEST}"]
    assert found.result == NOT_JUDGED
    assert "read it on its base" in found.reason
    passing = on_parts(CHECK, {**PARTS, "L": lamp}, PLACES["before"])[f"L: {HIGHEST}"]
    assert passing.result == PASS


def test_an_indicator_that_never_lights(on_parts):
    # a lamp for 24 V behind a resistor of 1 kohm
    lamp = ("", {**KINDS["lamp"], "rated": '"28 V"'})
    ohm = '{ value = "1 kohm", tolerance = "0 %" }'
    resistor = ("", {"kind": '"resistor"', "resistance": ohm})
    wires = ["PLUS SW.line", "SW.load R.1", "R.2 L.1", "L.2 MINUS", "PLUS V.1", "V.2 MINUS"]
    parts = {"SW": "button", "R": resistor, "L": lamp, "V": "coil"}
    found = on_parts(CHECK, parts, wires)[f"L: {SHOWS}"]
    assert found.result == FAIL
    assert "never lights" in found.reason


def test_without_an_indicator_there_is_nothing_to_say(on_parts):
    assert on_parts(CHECK, {"V": "coil"}, ["PLUS V.1", "V.2 MINUS"]) == {}
