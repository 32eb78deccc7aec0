"""Pull and hold coils on 12 V by hand: 0.4 ohm beside 12 ohm pull the voltage down."""

import pytest

from circuitcheck.checks.coils.pull_hold_voltage import CHECK, HIGHEST, HOLD, PULL
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS

PULLED, HELD = PULL["pull winding"], PULL["hold winding"]
COOL = {"thermal": '{ resistance = "0.001 K/W", time_constant = "1200 s", class = "F" }'}
HELD_ON = 'longest_press = "400 s"\npresses_per_hour = 9'


def coil(on_parts, feed=0.05, use=HELD_ON, base=None, **changes):
    """The coil behind a feed of some ohm; a hundredth more lies in fuse and tap."""
    parts = {"SW": ("switch", {"contact_resistance": f'"{feed} ohm"'}),
             "Y": ("pull and hold", {**COOL, **changes})}  # fmt: skip
    wires = ["PLUS SW.line", "SW.load Y.hold", "Y.common MINUS"]
    return on_parts(CHECK, parts, wires, fuse="40 A", use=use, **(base or {}))


def across(feed, ohm):
    # 0.01 ohm of fuse, up to 3 mohm of the tap's fuse and its joints, five short wires
    before = feed + 0.01 + 3.3e-3
    return 12.0 * ohm / (ohm + before)


BOTH = 0.4 * 12.0 / 12.4


@pytest.mark.parametrize(("feed", "result"), [(0.14, PASS), (0.17, FAIL)])
def test_pull_in_with_both_windings_on_by_hand(on_parts, feed, result):
    # 70 % of 12 V is 8.4 V: 0.387 ohm get it behind up to 0.166 ohm
    found = coil(on_parts, feed)
    for quantity in (PULLED, HELD):
        one = found[f"Y: {quantity}"]
        assert one.value == pytest.approx(across(feed, BOTH), rel=4e-3)
        assert (one.limit, one.result) == (pytest.approx(8.4), result)


def test_hold_with_the_pull_winding_off(on_parts):
    # the same feed that starves both windings hardly bothers the weak one
    found = coil(on_parts, 0.17)[f"Y: {HOLD}"]
    assert found.value == pytest.approx(across(0.17, 12.0), rel=2e-3)
    assert (found.limit, found.result) == (pytest.approx(4.8), PASS)


@pytest.mark.parametrize(("ohm", "result"), [(17, PASS), (19, FAIL)])
def test_hold_just_inside_and_just_outside(on_parts, ohm, result):
    # 4.8 V across 12 ohm behind 18 ohm
    value = f'{{ value = "{ohm} ohm", tolerance = "0 %" }}'
    line = ("", {"kind": '"resistor"', "resistance": value, "power": '"10 W"'})
    parts = {"SW": "switch", "R": line, "Y": ("pull and hold", COOL)}
    wires = ["PLUS SW.line", "SW.load R.1", "R.2 Y.hold", "Y.common MINUS"]
    found = on_parts(CHECK, parts, wires, use=HELD_ON)[f"Y: {HOLD}"]
    assert found.value == pytest.approx(144.0 / (12.0 + ohm), rel=2e-3)
    assert found.result == result


@pytest.mark.parametrize(("share", "result"), [("125 %", PASS), ("124 %", FAIL)])
def test_highest_on_the_charging_supply(on_parts, share, result):
    base = {"charging": '["13 V", "14.96 V"]'}
    found = coil(on_parts, base=base, highest=f'"{share}"')[f"Y: {HIGHEST}"]
    assert found.value == pytest.approx(14.96, rel=6e-3)
    assert found.result == result


def test_short_use_allows_more(on_parts):
    base = {"charging": '["13 V", "14.96 V"]'}
    pressed = 'longest_press = "20 s"\npresses_per_hour = 18'  # a tenth of the time
    found = coil(on_parts, use=pressed, base=base, highest='"115 %"')[f"Y: {HIGHEST}"]
    assert found.limit == pytest.approx(1.3 * 12.0)  # the cap
    assert found.result == PASS


def test_nominal_passes_and_the_weak_battery_fails(on_parts):
    found = coil(on_parts, 0.1, base={"engine_off": '["10.5 V", "12.8 V"]'})[f"Y: {PULLED}"]
    assert across(0.1, BOTH) > 8.4
    assert found.value == pytest.approx(across(0.1, BOTH) * 10.5 / 12.0, rel=3e-3)
    assert found.result == FAIL


def test_a_pull_winding_that_stays_on_is_on_while_it_holds(on_parts):
    parts = {
        "SW": ("switch", {"contact_resistance": '"0.1 ohm"'}),
        "S": ("", {"kind": '"splice"'}),
        "Y": ("pull and hold", {**COOL, "cut_out": '"none"'}),
    }
    wires = ["PLUS SW.line", "SW.load S", "S Y.hold", "S Y.pull", "Y.common MINUS"]
    found = on_parts(CHECK, parts, wires, fuse="40 A", use=HELD_ON)
    assert found[f"Y: {HOLD}"].value == pytest.approx(across(0.1, BOTH), rel=1e-2)


def test_what_is_not_known_is_asked_for(on_parts):
    found = coil(on_parts, hold='"unknown"')[f"Y: {HOLD}"]
    assert found.result == NOT_JUDGED
    assert "data sheet" in found.reason


def test_without_one_there_is_nothing_to_say(on_parts):
    assert on_parts(CHECK, {"V": "coil"}, ["PLUS V.1", "V.2 MINUS"]) == {}
