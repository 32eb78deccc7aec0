"""Paths that nobody asked for, solved by hand, in each place where an indicator is wired."""

import pytest

from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS
from circuitcheck.checks.movement.sneak_path import CHECK, MEANT

JOINT = ("", {"kind": '"splice"', "joint_resistance": '"0 ohm"'})
COOL = {"thermal": '{ resistance = "0.001 K/W", class = "H" }'}
LED = (
    "",
    {
        "kind": '"LED indicator"',
        "forward": '["1.9 V", "2.1 V"]',
        "series": '{ value = "1 kohm", tolerance = "0 %" }',
        "polarity": '{ plus = "1" }',
    },
)
TWO = {
    "SL": "button",
    "SR": "button",
    "A": JOINT,
    "B": JOINT,
    "VL": ("coil", COOL),
    "VR": ("coil", COOL),
}
TWO_WIRES = [
    "PLUS SL.line",
    "SL.load A",
    "A VL.1",
    "VL.2 MINUS",
    "PLUS SR.line",
    "SR.load B",
    "B VR.1",
    "VR.2 MINUS",
]
VOLTAGE, GLOW, LIGHT = (
    f"{what} while nobody asks for it"
    for what in ("voltage across the winding", "voltage across the lamp", "current of the LED")
)


def resistor(ohm):
    value = f'{{ value = "{ohm} ohm", tolerance = "0 %" }}'
    return "", {"kind": '"resistor"', "resistance": value}


def lamp(watts):
    power = f'{{ value = "{watts} W", tolerance = "0 %" }}'
    keys = {"kind": '"indicator lamp"', "power": power, "rated": '"12 V"', "cold_ratio": "10"}
    return "", keys


@pytest.mark.parametrize(("ohm", "result"), [(91, PASS), (89, FAIL)])
def test_one_button_works_a_little_of_the_other_coil(on_parts, ohm, result):
    # R from one coil to the other: left pressed puts 12 V * 10 / (10 + R) on the right coil, of
    # which 10 %, 1.2 V, keep it
    found = on_parts(CHECK, {**TWO, "R": resistor(ohm)}, [*TWO_WIRES, "A R.1", "R.2 B"])
    right = found[f"VR: {VOLTAGE}"]
    assert right.value == pytest.approx(120.0 / (10.0 + ohm), rel=4e-3)
    assert (right.limit, right.result) == (pytest.approx(1.2, rel=1e-3), result)
    assert right.position == "key on, SL"
    path = "TAP/fuse TAP/wire TAP/key_contact B1 F1 B2 W1 SL/SL W2 W9 R W10 W7 VR W8 B3"
    named = ", ".join(path.replace("_", "#").split()).replace("#", " ")
    assert right.conditions[0] == f"path: {named}"


def test_nothing_flows_where_nothing_leads(on_parts):
    assert on_parts(CHECK, TWO, TWO_WIRES) == {}


def test_a_lamp_before_the_contact_is_asked_for_in_every_position(on_parts):
    parts = {"SW": "button", "A": JOINT, "L": lamp(1.2), "V": "coil"}
    wires = ["PLUS A", "A SW.line", "SW.load V.1", "V.2 MINUS", "A L.1", "L.2 MINUS"]
    assert on_parts(CHECK, parts, wires) == {}


def test_a_lamp_after_the_contact_is_asked_for_with_its_coil(on_parts):
    parts = {"SW": "button", "A": JOINT, "L": lamp(1.2), "V": "coil"}
    wires = ["PLUS SW.line", "SW.load A", "A V.1", "V.2 MINUS", "A L.1", "L.2 MINUS"]
    assert on_parts(CHECK, parts, wires) == {}


def across(on_parts, indicator, coil=COOL):
    parts = {"SW": "button", "A": JOINT, "B": JOINT, "L": indicator, "V": ("coil", coil)}
    wires = ["PLUS A", "A SW.line", "SW.load B", "A L.1", "L.2 B", "B V.1", "V.2 MINUS"]
    return on_parts(CHECK, parts, wires)


def test_a_led_across_the_contact_lights_through_the_coil(on_parts):
    # (12 V - 1.9 V) / 1010 ohm = 10 mA; the coil gets 0.1 V of it, far below 1.2 V
    found = across(on_parts, LED)
    light, coil = found[f"L: {LIGHT}"], found[f"V: {VOLTAGE}"]
    assert (light.result, light.reason, light.limit) == (PASS, MEANT, None)
    assert light.value == pytest.approx(10.1 / 1010.0, rel=2e-2)
    assert coil.value == pytest.approx(10.0 * light.value, rel=1e-3)
    assert coil.result == PASS
    assert "L, " in coil.conditions[0]
    assert coil.position == "key on"


@pytest.mark.parametrize(("watts", "result"), [(1.2, PASS), (3, FAIL)])
def test_a_lamp_across_the_contact_may_keep_the_coil(on_parts, watts, result):
    # 1.2 W at 12 V is 0.1 A: through 10 ohm of coil about 1 V. 3 W is 0.25 A: about 2 V
    found = across(on_parts, lamp(watts))
    assert found[f"L: {GLOW}"].result == PASS
    assert found[f"L: {GLOW}"].reason == MEANT
    coil = found[f"V: {VOLTAGE}"]
    # I = I_0 (V / 12)^0.55 and V = 12 - 10 I, solved here by repeating it
    amps = watts / 12.0
    for _ in range(60):
        amps = watts / 12.0 * ((12.0 - 10.0 * amps) / 12.0) ** 0.55
    assert coil.value == pytest.approx(10.0 * amps, rel=5e-3)
    assert coil.result == result


def test_a_lamp_that_glows_though_its_own_button_is_open(on_parts):
    # lamp behind a button of its own, fed back through 20 ohm from the coil beside it
    parts = {**TWO, "L": lamp(1.2), "R": resistor(20)}
    wires = [*TWO_WIRES, "A R.1", "R.2 B", "B L.1", "L.2 MINUS"]
    found = on_parts(CHECK, parts, wires)[f"L: {GLOW}"]
    # 12 V * 10 / 30 = 4 V, a little less for the lamp's own current; 3 V show
    assert 3.0 < found.value < 4.0
    assert found.limit == pytest.approx(3.0)
    assert (found.result, found.position) == (FAIL, "key on, SL")


def test_a_led_that_glimmers(on_parts):
    parts = {**TWO, "L": LED, "R": resistor(2000)}
    wires = [*TWO_WIRES, "A R.1", "R.2 B", "B L.1", "L.2 MINUS"]
    # the coil beside it takes all but 12 V * 10 / 2010: not enough for an LED
    assert f"L: {LIGHT}" not in on_parts(CHECK, parts, wires)
    parts["R"] = resistor(20)
    found = on_parts(CHECK, parts, wires)[f"L: {LIGHT}"]
    assert found.value == pytest.approx((4.0 - 1.9) / 1000.0, rel=5e-2)
    assert (found.limit, found.result) == (0.0001, FAIL)


def test_an_unknown_drop_out_is_asked_for(on_parts):
    parts = {
        "SW": "button",
        "A": JOINT,
        "B": JOINT,
        "R": resistor(800),
        "K": ("relay", {"drop_out": '"unknown"'}),
        "V": "coil",
    }
    wires = [
        "PLUS A",
        "A SW.line",
        "SW.load B",
        "A R.1",
        "R.2 B",
        "B K.86",
        "K.85 MINUS",
        "A K.30",
        "K.87 V.1",
        "V.2 MINUS",
    ]
    found = on_parts(CHECK, parts, wires)[f"K: {VOLTAGE}"]
    assert found.result == NOT_JUDGED
    assert "drop-out voltage is not known" in found.reason
