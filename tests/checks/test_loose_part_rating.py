"""Steering diodes and line resistors by hand."""

import pytest

from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS
from circuitcheck.checks.lights.loose_part_rating import CHECK, CURRENT, POWER, REVERSE

JOINT = ("", {"kind": '"splice"', "joint_resistance": '"0 ohm"'})


def diode(current="3 A", reverse="400 V"):
    keys = {"kind": '"diode"', "forward": '["0.6 V", "1 V"]', "current": f'"{current}"'}
    return "", {**keys, "reverse": reverse and f'"{reverse}"'}


def resistor(ohm, power="2 W", tolerance=0):
    value = f'{{ value = "{ohm} ohm", tolerance = "{tolerance} %" }}'
    return "", {"kind": '"resistor"', "resistance": value, "power": power and f'"{power}"'}


def in_line(on_parts, part, terminals, **base):
    parts = {"SW": "button", "P": part, "V": "coil"}
    first, last = terminals
    wires = ["PLUS SW.line", f"SW.load P.{first}", f"P.{last} V.1", "V.2 MINUS"]
    return on_parts(CHECK, parts, wires, **base)


def steered(on_parts, **changes):
    """Two buttons work coil V over a diode each; A works W too, which grounds D's anode."""
    parts = {
        "A": "button",
        "B": "button",
        "D": diode(**changes),
        "E": diode(),
        "M": JOINT,
        "S": JOINT,
        "V": "coil",
        "W": "coil",
    }
    wires = [
        "PLUS A.line",
        "A.load M",
        "M D.anode",
        "D.cathode S",
        "M W.1",
        "W.2 MINUS",
        "PLUS B.line",
        "B.load E.anode",
        "E.cathode S",
        "S V.1",
        "V.2 MINUS",
    ]
    return on_parts(CHECK, parts, wires)


@pytest.mark.parametrize(("amps", "result"), [("1.15 A", PASS), ("1.12 A", FAIL)])
def test_current_of_a_diode_by_hand(on_parts, amps, result):
    # 12 V less 0.6 V over 10 ohm, the contact and hundredths of fuse and slope
    found = in_line(on_parts, diode(amps), ("anode", "cathode"))[f"P: {CURRENT}"]
    assert found.value == pytest.approx(11.4 / 10.03, rel=5e-3)
    assert (found.limit, found.result) == (float(amps[:-2]), result)


@pytest.mark.parametrize(
    "keys",
    [{"type": '"unknown"'}, {"type": '"3 A silicon diode, 1000 V"', "current": '"unknown"'}],
)
def test_a_diode_that_nobody_knows_is_not_passed_on_the_librarys_least(on_parts, keys):
    part = ("", {"kind": '"diode"', **keys})
    found = in_line(on_parts, part, ("anode", "cathode"))[f"P: {CURRENT}"]
    assert (found.result, found.limit) == (NOT_JUDGED, None)
    assert "data sheet" in found.reason


def test_a_diode_that_never_blocks(on_parts):
    found = in_line(on_parts, diode(reverse=None), ("anode", "cathode"))[f"P: {REVERSE}"]
    assert found.result == PASS
    assert found.conditions == ("it never has to block",)


@pytest.mark.parametrize(
    ("reverse", "result"), [("36 V", PASS), ("34 V", FAIL), (None, NOT_JUDGED)]
)
def test_a_diode_that_blocks_stands_a_load_dump(on_parts, reverse, result):
    # ISO 16750-2, test B, 12 V: 35 V
    found = steered(on_parts, reverse=reverse)[f"D: {REVERSE}"]
    assert (found.value, found.result) == (35.0, result)
    assert found.position == "key on, B"


@pytest.mark.parametrize(("watts", "result"), [("2.01 W", PASS), ("1.95 W", FAIL)])
def test_power_of_a_line_resistor_by_hand(on_parts, watts, result):
    # 2 ohm before 10 ohm: 1 A, 2 V, 2 W, a little less for what else lies on the way
    found = in_line(on_parts, resistor(2, watts), ("1", "2"))[f"P: {POWER}"]
    assert found.value == pytest.approx(2.0, rel=1e-2)
    assert found.result == result


def test_nominal_passes_and_the_tolerance_fails(on_parts):
    base = {"charging": '["13 V", "14.9 V"]'}
    found = in_line(on_parts, resistor(2, "2.5 W", 10), ("1", "2"), **base)[f"P: {POWER}"]
    # at most 14.9 V * 2.2 / 12.2 stand across it, and it may have as little as 1.8 ohm
    assert found.value == pytest.approx((14.9 * 2.2 / 12.2) ** 2 / 1.8, rel=1e-2)
    assert found.result == FAIL


@pytest.mark.parametrize(("air", "share"), [(70, 1.0), (112.5, 0.5), (150, 5 / 85)])
def test_less_is_left_of_it_in_the_heat(on_parts, air, share):
    found = in_line(on_parts, resistor(1000, "2 W"), ("1", "2"), air=f'"{air} degC"')
    assert found[f"P: {POWER}"].limit == pytest.approx(2.0 * share)


def test_an_unrated_resistor_is_asked_for(on_parts):
    found = in_line(on_parts, resistor(1000, None), ("1", "2"))[f"P: {POWER}"]
    assert found.result == NOT_JUDGED
    assert "data sheet" in found.reason


def test_what_sits_across_a_coil_is_judged_there(on_parts):
    parts = {
        "SW": "button",
        "A": JOINT,
        "B": JOINT,
        "D": diode(),
        "R": resistor(100),
        "V": ("coil", {"suppression": '"none"'}),
    }
    wires = [
        "PLUS SW.line",
        "SW.load A",
        "A V.1",
        "V.2 B",
        "B MINUS",
        "A D.cathode",
        "D.anode B",
        "A R.1",
        "R.2 B",
    ]
    assert on_parts(CHECK, parts, wires) == {}
