"""Coils that are on while a lamp or another coil switches on, on 12 V by hand.

Feed: 0.5 ohm of a resistor, 0.01 ohm of fuse, 2 mohm or so of tap and wires. The coil has 10 ohm,
a lamp of 24 W at 12 V 6 ohm lit and a tenth of that cold; each behind a button of 0.01 ohm.
"""

import pytest

from circuitcheck.checks.coils.held_coil_dips import CHECK, QUANTITY
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS

COOL = {"thermal": '{ resistance = "0.001 K/W", time_constant = "1200 s", class = "F" }'}
FEED_OHM = 0.5 + 0.01 + 2e-3
COLD_OHM = 1.0 / (1.0 / 10.01 + 1.0 / 0.61)
DIPPED_V = 12.0 * COLD_OHM / (COLD_OHM + FEED_OHM) * 10.0 / 10.01


def ohms(value, tolerance=0):
    return f'{{ value = "{value} ohm", tolerance = "{tolerance} %" }}'


def lamp(watts=24):
    power = f'{{ value = "{watts} W", tolerance = "0 %" }}'
    keys = {"kind": '"indicator lamp"', "power": power, "rated": '"12 V"', "cold_ratio": "10"}
    return "", keys


def on_feed(on_parts, other, held="coil", feed=None, wires=None, base=None, **changes):
    keys = {**(COOL if held != "relay" else {}), **changes}
    parts = {
        "S1": "button", "S2": "button", "Y": (held, keys),
        "J": ("", {"kind": '"splice"', "joint_resistance": '"0 ohm"'}), "L": other,
        "RF": ("", {"kind": '"resistor"', "resistance": feed or ohms(0.5), "power": '"50 W"'}),
    }  # fmt: skip
    own = wires or ["S1.load Y.1", "Y.2 MINUS", "S2.load L.1", "L.2 MINUS"]
    common = ["PLUS RF.1", "RF.2 J", "J S1.line", "J S2.line"]
    return on_parts(CHECK, parts, [*common, *own], **(base or {}))


def of_coil(found):
    return found[f"Y: {QUANTITY}"]


@pytest.mark.parametrize(("drop_out", "result"), [(52.4, PASS), (53.2, FAIL)])
def test_a_cold_lamp_beside_a_coil_by_hand(on_parts, drop_out, result):
    found = of_coil(on_feed(on_parts, lamp(), drop_out=f'["10 %", "{drop_out} %"]'))
    assert found.value == pytest.approx(DIPPED_V, rel=3e-3)
    assert found.limit == pytest.approx(0.12 * drop_out, rel=1e-4)
    assert found.result == result
    assert "cold lamps: L" in found.conditions
    assert "press S2, S1 held" in found.conditions


def test_a_lit_lamp_would_not_have_dipped_it(on_parts):
    found = of_coil(on_feed(on_parts, lamp(2.4)))
    # 60 ohm lit, 6 ohm cold: 12 V lose little
    cold = 1.0 / (1.0 / 10.01 + 1.0 / 6.01)
    assert found.value == pytest.approx(12.0 * cold / (cold + FEED_OHM), rel=3e-3)
    assert found.result == PASS


def test_a_coil_beside_a_coil(on_parts):
    found = on_feed(on_parts, ("coil", COOL))
    both = 12.0 * 5.005 / (5.005 + FEED_OHM)
    assert of_coil(found).value == pytest.approx(both * 10.0 / 10.01, rel=2e-3)
    assert set(found) == {f"Y: {QUANTITY}", f"L: {QUANTITY}"}


def test_nominal_passes_and_worst_case_fails(on_parts):
    changes = {"drop_out": '["10 %", "50 %"]'}
    nominal = of_coil(on_feed(on_parts, lamp(), **changes))
    wide = of_coil(on_feed(on_parts, lamp(), feed=ohms(0.5, 20), **changes))
    assert (nominal.result, wide.result) == (PASS, FAIL)
    at_most = FEED_OHM + 0.1
    expected = 12.0 * COLD_OHM / (COLD_OHM + at_most) * 10.0 / 10.01
    assert wide.value == pytest.approx(expected, rel=3e-3)


def test_a_soaked_coil_needs_more_voltage_for_its_current(on_parts):
    warm = {"thermal": '{ resistance = "5 K/W", time_constant = "1200 s", class = "H" }'}
    use = {"use": 'longest_press = "400 s"\npresses_per_hour = 9', "air": '"60 degC"'}
    cool = of_coil(on_feed(on_parts, lamp(2.4)))
    hot = of_coil(on_feed(on_parts, lamp(2.4), base=use, **warm))
    assert hot.limit > 1.05 * cool.limit


def test_a_pull_winding_dips_a_hold_winding(on_parts):
    """The second coil's pull winding of 0.4 ohm beside the first one's 12 ohm hold winding."""
    wires = ["S1.load Y.hold", "Y.common MINUS", "S2.load L.hold", "L.common MINUS"]
    cool = ("pull and hold", COOL)
    found = of_coil(on_feed(on_parts, cool, held="pull and hold", wires=wires))
    beside = 0.01 + 0.4 * 12.0 / 12.4
    both = 1.0 / (1.0 / 12.01 + 1.0 / beside)
    assert found.value == pytest.approx(12.0 * both / (both + FEED_OHM) * 12.0 / 12.01, rel=0.03)
    assert (found.limit, found.result) == (pytest.approx(4.8), PASS)
    without = on_feed(on_parts, cool, held="pull and hold", wires=wires, hold='"unknown"')
    assert of_coil(without).result == NOT_JUDGED
    assert "data sheet" in of_coil(without).reason


def test_a_relay_below_its_pull_in_is_asked_for(on_parts):
    wires = ["S1.load Y.86", "Y.85 MINUS", "S2.load L.1", "L.2 MINUS"]
    weak = of_coil(on_feed(on_parts, lamp(), held="relay", wires=wires))
    assert weak.result == NOT_JUDGED
    assert "below its pull-in voltage" in weak.reason
    stiff = of_coil(on_feed(on_parts, lamp(2.4), held="relay", wires=wires))
    assert stiff.result == PASS


def test_a_capacitor_that_charges_is_said(on_parts):
    wires = ["S1.load Y.1", "Y.2 MINUS", "S2.load L.in", "L.minus MINUS"]
    base = {"on_24_v": "yes"}
    rated = {"rated": '"24 V"', "resistance": '{ at_20degC = "40 ohm", tolerance = "0 %" }'}
    found = of_coil(on_feed(on_parts, "converter", wires=wires, base=base, **rated))
    assert found.result == NOT_JUDGED
    assert "input capacitor of L" in found.reason


def test_nothing_held_says_nothing(on_parts):
    parts = {"S1": "button", "Y": "coil"}
    assert not on_parts(CHECK, parts, ["PLUS S1.line", "S1.load Y.1", "Y.2 MINUS"])
