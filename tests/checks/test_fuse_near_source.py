"""Fuse near source: 33 CFR 183.455 (7 in, 40 in sheathed), ABYC E-11 (72 in from a battery)."""

import pytest

from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS
from circuitcheck.checks.fuses.fuse_near_source import CHECK

INCH = 0.0254
# A machine's fuse of 30 A does not protect 18 AWG of 60 degC (10 A): the length then decides.
LARGE = {"fuse": '"30 A blade"'}
THIN = {"gauge": '"18 AWG"', "insulation": '"PVC 60"'}


def lead(length, **other):
    return {"upstream": LARGE, "W1": {**THIN, "length": f'"{length}"', **other}}


@pytest.mark.parametrize(("length", "result"), [("7 in", PASS), ("7.01 in", FAIL)])
def test_seven_inches_bare(judge, length, result):
    finding = judge(CHECK, **lead(length))["TAP"]
    assert finding.result == result
    assert finding.limit == pytest.approx(7 * INCH, rel=1e-3)
    assert finding.unit == "m"


@pytest.mark.parametrize(("length", "result"), [("40 in", PASS), ("40.1 in", FAIL)])
def test_forty_inches_sheathed_all_the_way(judge, length, result):
    finding = judge(CHECK, **lead(length, sheathed="true"))["TAP"]
    assert finding.result == result
    assert finding.limit == pytest.approx(40 * INCH, rel=1e-3)


BATTERY = {"from": '"BAT.+"', "sheathed": "true"}


@pytest.mark.parametrize(("length", "result"), [("72 in", PASS), ("72.1 in", FAIL)])
def test_seventy_two_inches_from_a_battery_post(judge, length, result):
    finding = judge(CHECK, without=("TAP", "upstream"), W1={**BATTERY, "length": f'"{length}"'})
    assert finding["BAT"].result == result
    assert finding["BAT"].limit == pytest.approx(72 * INCH, rel=1e-3)


def test_from_a_battery_post_without_sheath_seven_inches_hold(judge):
    change = {"without": ("TAP", "upstream"), "W1": {"from": '"BAT.+"', "length": '"0.5 m"'}}
    finding = judge(CHECK, **change)["BAT"]
    assert finding.result == FAIL
    assert finding.limit == pytest.approx(7 * INCH, rel=1e-3)


def test_a_machine_fuse_that_protects_the_wire_is_ground_enough(judge):
    # 15 A against 40 A * sqrt(80 / 95): 14 AWG of 125 degC in air of 45 degC.
    finding = judge(CHECK, W1={"length": '"2 m"'})["TAP"]
    assert finding.result == PASS
    assert finding.value == 15.0
    assert finding.limit == pytest.approx(40.0 * (80.0 / 95.0) ** 0.5)
    assert "2 m" in finding.reason


def test_the_upper_end_of_a_length_counts(judge):
    finding = judge(CHECK, upstream=LARGE, W1={**THIN, "length": '["0.1 m", "0.2 m"]'})["TAP"]
    assert finding.value == pytest.approx(0.2)
    assert finding.result == FAIL


def test_the_way_goes_through_connectors_and_splices(judge):
    more = """
[part.X2]
kind = "connector"
zone = "cab"
cavities = 1
contact = "2.8 mm sealed"

[wire.W12]
from = "X2.receptacle.1"
to = "F1.line"
gauge = "18 AWG"
insulation = "PVC 60"
length = "0.1 m"
route = ["cab"]
"""
    change = lead("0.1 m", to='"X2.plug.1"')
    finding = judge(CHECK, more=more, **change)["TAP"]
    assert finding.value == pytest.approx(0.2)
    assert finding.result == FAIL


def test_without_any_fuse_of_the_add_on_the_whole_feed_counts(judge):
    # W1 now runs straight to the grip: to the farther coil it is 0.15 + 3.0 + 0.9 m.
    change = {"without": ("F1", "W2"), "W1": {"to": '"GRIP.feed"', **THIN}, "upstream": LARGE}
    finding = judge(CHECK, **change)["TAP"]
    assert finding.value == pytest.approx(0.15 + 3.0 + 0.9)
    assert finding.result == FAIL


def test_unknown_machine_fuse_is_not_judged(judge):
    finding = judge(CHECK, upstream={"fuse": '"unknown"'}, W1={"length": '"1 m"'})["TAP"]
    assert finding.result == NOT_JUDGED
    assert "pull fuses" in finding.reason


def test_unknown_length_is_not_failed_on_a_guess(judge):
    finding = judge(CHECK, upstream=LARGE, W1={**THIN, "length": '"unknown"'})["TAP"]
    assert finding.result == NOT_JUDGED
    assert "length along the wire" in finding.reason


def test_a_tap_without_a_fuse_counts_from_the_battery(judge):
    finding = judge(CHECK, upstream={"fuse": '"none"'}, W1={"length": '"0.1 m"'})["TAP"]
    assert finding.result == FAIL
    upstream = [term for term in finding.working.terms if term.symbol == "l_u"]
    assert finding.value == pytest.approx(0.1 + upstream[0].value)
    assert upstream[0].value > 1.0
    assert finding.conditions[0].startswith("from the battery through TAP along W1")
