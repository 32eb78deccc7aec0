"""Current of LEDs by hand: (voltage - forward voltage) / resistor."""

import pytest

from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS
from circuitcheck.checks.lights.led_current import CHECK, HIGHEST, LOWEST

JOINT = ("", {"kind": '"splice"', "joint_resistance": '"0 ohm"'})
PLAIN = ["PLUS SW.line", "SW.load L.1", "L.2 MINUS"]
WIDE = {"charging": '["13 V", "14.9 V"]', "engine_off": '["11.9 V", "12.8 V"]'}


def led(ohm, tolerance=0, plus='{ plus = "1" }', forward='["2 V", "2 V"]'):
    series = f'{{ value = "{ohm} ohm", tolerance = "{tolerance} %" }}'
    return "", {"kind": '"LED indicator"', "forward": forward, "series": series, "polarity": plus}


def of_led(on_parts, part, wires=PLAIN, more=None, **base):
    return on_parts(CHECK, {"SW": "button", "L": part, **(more or {})}, wires, **base)


@pytest.mark.parametrize(("ohm", "result"), [(338, PASS), (328, FAIL)])
def test_the_most_by_hand(on_parts, ohm, result):
    # 10 V over 333 ohm are 30 mA
    found = of_led(on_parts, led(ohm))[f"L: {HIGHEST}"]
    assert found.value == pytest.approx(10.0 / ohm, rel=3e-3)
    assert (found.limit, found.result) == (0.03, result)
    assert found.position == "key on, SW"


@pytest.mark.parametrize(("ohm", "result"), [(4950, PASS), (5050, FAIL)])
def test_the_least_by_hand(on_parts, ohm, result):
    # 10 V over 5 kohm are 2 mA
    found = of_led(on_parts, led(ohm))[f"L: {LOWEST}"]
    assert found.value == pytest.approx(10.0 / ohm, rel=3e-3)
    assert (found.limit, found.result) == (0.002, result)


def test_nominal_passes_and_the_worst_case_fails(on_parts):
    # the middle of the supply, 13.4 V, would give 25 mA and 2.3 mA
    bright = led(450, 10, forward='["1.8 V", "2.2 V"]')
    found = of_led(on_parts, bright, **WIDE)[f"L: {HIGHEST}"]
    assert found.value == pytest.approx((14.9 - 1.8) / 405.0, rel=2e-2)
    assert found.result == FAIL
    dim = of_led(on_parts, led(4800, 10, forward='["2.2 V", "2.2 V"]'), **WIDE)[f"L: {LOWEST}"]
    assert dim.value == pytest.approx((11.9 - 2.2) / 5280.0, rel=3e-3)
    assert dim.result == FAIL


def test_a_glimmer_that_nobody_asks_for_is_not_its_light(on_parts):
    # with the button up 15 kohm leave it 10 V / 16 kohm = 0.6 mA; worked, it has 10 mA
    ohm = '{ value = "15 kohm", tolerance = "0 %" }'
    parts = {"A": JOINT, "B": JOINT, "R": ("", {"kind": '"resistor"', "resistance": ohm}),
             "V": "coil"}  # fmt: skip
    wires = ["PLUS A", "A SW.line", "SW.load B", "B L.1", "L.2 MINUS", "A R.1", "R.2 B",
             "PLUS V.1", "V.2 MINUS"]  # fmt: skip
    found = of_led(on_parts, led(1000), wires, parts)[f"L: {LOWEST}"]
    assert (found.position, found.result) == ("key on, SW", PASS)
    assert found.value == pytest.approx(10.0 / 1000.0, rel=3e-3)


def test_either_way_round_both_directions_count(on_parts):
    turned = ["PLUS SW.line", "SW.load L.2", "L.1 MINUS"]
    found = of_led(on_parts, led(1000, plus='"either"'), turned)
    assert found[f"L: {HIGHEST}"].value == pytest.approx(0.01, rel=3e-3)
    assert found[f"L: {LOWEST}"].result == PASS


@pytest.mark.parametrize("colour", ["red", "yellow", "green", "blue", "white"])
def test_a_trade_led_passes_on_every_supply_of_its_system(on_parts, colour):
    keys = {"kind": '"LED indicator"', "type": f'"12 V, {colour}"'}
    found = of_led(on_parts, ("", {**keys, "polarity": '{ plus = "1" }'}), **WIDE)
    assert [f.result for f in found.values()] == [PASS, PASS]


def test_an_unknown_led_is_not_judged(on_parts):
    found = of_led(on_parts, ("", {"kind": '"LED indicator"', "type": '"unknown"'}))
    assert [f.result for f in found.values()] == [NOT_JUDGED, NOT_JUDGED]
    assert all("measure its current" in f.reason for f in found.values())


def test_an_led_that_never_lights_has_no_current_to_judge(on_parts):
    assert of_led(on_parts, led(1000, plus='{ plus = "2" }')) == {}


def test_without_an_led_there_is_nothing_to_say(on_parts):
    assert on_parts(CHECK, {"V": "coil"}, ["PLUS V.1", "V.2 MINUS"]) == {}
