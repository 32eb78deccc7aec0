"""Fuse protects wire: IEC 60364-4-43, 433.1 (In <= Iz and I2 <= 1.45 Iz)."""

import math
from dataclasses import replace

import pytest

from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS
from circuitcheck.checks.wires.fuse_protects_wire import CHECK

PVC60 = {"gauge": '"18 AWG"', "insulation": '"PVC 60"'}  # 10 A, 33 CFR 183.425 table 5
IN_CAB = 10.0 * math.sqrt((60.0 - 45.0) / (60.0 - 30.0))  # 7.07 A in air of 45 degC


def fuse(amps):
    return {"rating": f'"{amps} A"'}


def test_good_harness_passes_on_every_feed_wire(judge):
    findings = judge(CHECK)
    feed = ("TAP/wire", "W1", "W2", "W3", "W4", "W5", "W6")
    assert all(findings[wire].result == PASS for wire in feed)
    assert not {"W7", "W8", "W9", "W10", "W11"} & set(findings)
    # W1 lies ahead of F1: the machine's 15 A fuse has to protect it.
    assert (findings["W1"].value, findings["W2"].value) == (15.0, 5.0)


@pytest.mark.parametrize(("amps", "result"), [(5, PASS), (7.5, FAIL)])
def test_rated_current_by_hand(judge, amps, result):
    finding = judge(CHECK, F1=fuse(amps), W2=PVC60)["W2"]
    assert finding.result == result
    assert finding.value == amps
    assert finding.limit == pytest.approx(IN_CAB)


@pytest.mark.parametrize(("air_c", "result"), [(43.1, PASS), (43.2, FAIL)])
def test_just_inside_and_just_outside(judge, air_c, result):
    # 7.5 A = 10 A * sqrt((60 - T) / 30) at T = 60 - 30 * 0.75^2 = 43.125 degC.
    cab = {"ambient": f'["20 degC", "{air_c} degC"]'}
    assert judge(CHECK, cab=cab, F1=fuse(7.5), W2=PVC60)["W2"].result == result


def test_a_cold_fuse_lets_more_through_than_a_hot_wire_stands(judge):
    # Nominal: 7.5 A fuse on 7.51 A of wire is in order. At -40 degC the fuse is worth 1.12 of
    # that and must open only at 1.35 * 8.4 = 11.34 A, above 1.45 * 7.51 = 10.89 A.
    cab = {"ambient": '["-40 degC", "43.1 degC"]'}
    finding = judge(CHECK, cab=cab, F1=fuse(7.5), W2=PVC60)["W2"]
    assert finding.result == FAIL
    assert finding.value == pytest.approx(1.35 * 1.12 * 7.5)
    assert finding.limit == pytest.approx(1.45 * 10.0 * math.sqrt((60 - 43.1) / 30))


def test_engine_space_and_bundle_count(judge):
    # 60 degC class in an engine space: 0.58; three in the bundle: 0.7 (ABYC E-11).
    cab = {"ambient": '["20 degC", "30 degC"]', "engine_space": "true"}
    finding = judge(CHECK, cab=cab, W2={**PVC60, "bundled": "3"})["W2"]
    assert finding.limit == pytest.approx(10.0 * 0.58 * 0.7)
    assert finding.result == FAIL


def test_the_smaller_of_two_fuses_protects(judge):
    findings = judge(CHECK, upstream={"fuse": '"3 A blade"'})
    assert {findings[wire].value for wire in ("W1", "W2", "W5")} == {3.0}


def test_unknown_machine_fuse_leaves_only_the_wire_ahead_of_f1_open(judge):
    findings = judge(CHECK, upstream={"fuse": '"unknown"'}, W1={"length": '"1 m"'})
    assert findings["W1"].result == NOT_JUDGED
    assert "read the number" in findings["W1"].reason
    assert findings["W2"].result == PASS


@pytest.mark.parametrize(("length", "result"), [("7 in", PASS), ("7.1 in", FAIL)])
def test_a_lead_close_to_its_source_may_rely_on_the_fuse_at_its_end(judge, length, result):
    # 15 A is too much for 7.07 A of wire; F1 behind it lets no more than 5 A through.
    finding = judge(CHECK, W1={**PVC60, "length": f'"{length}"'})["W1"]
    assert finding.result == result
    assert finding.value == (5.0 if result == PASS else 15.0)


def test_two_fuses_at_the_end_of_a_lead_count_together(judge):
    more = """
[part.F2]
kind = "fuse"
zone = "cab"
rating = "5 A"
style = "blade"

[part.S2]
kind = "splice"
zone = "cab"
"""
    for name, start, end in (("W12", "S2", "F1.line"), ("W13", "S2", "F2.line"),
                             ("W14", "F2.load", "GRIP.spare")):  # fmt: skip
        more += (
            f'\n[wire.{name}]\nfrom = "{start}"\nto = "{end}"\ngauge = "14 AWG"\n'
            'insulation = "XLPE 125"\nlength = "0.02 m"\nroute = ["cab"]\n'
        )
    grip = """[
  { button = "left", action = "momentary", closes = ["feed", "out_left"] },
  { button = "right", action = "momentary", closes = ["spare", "out_right"] },
]"""
    change = {"more": more, "GRIP": {"contacts": grip}}
    finding = judge(CHECK, W1={**PVC60, "to": '"S2"'}, **change)["W1"]
    # Either alone would do (5 A on 7.07 A); both together are too much, and so is the 15 A ahead.
    assert finding.result == FAIL


def test_of_two_equal_fuses_the_add_ons_is_named(judge):
    finding = judge(CHECK, F1=fuse(15), W2=PVC60)["W2"]
    assert "F1 (15 A)" in finding.quantity


def test_unknown_gauge_is_not_failed_on_a_guess(judge):
    finding = judge(CHECK, F1=fuse(10), W2={"gauge": '"unknown"'})["W2"]
    assert finding.result == NOT_JUDGED
    assert "gauge" in finding.reason


def test_no_ampacity_row_is_not_judged(case_of):
    case = case_of()
    case = replace(case, library=replace(case.library, ampacities=()))
    findings = CHECK.judge(case)
    assert {finding.result for finding in findings} == {NOT_JUDGED}
    assert all("look it up" in finding.reason for finding in findings)


def test_a_wire_straight_from_the_battery_is_left_to_its_length(judge):
    findings = judge(CHECK, without=("TAP", "upstream"), W1={"from": '"BAT.+"'})
    assert "W1" not in findings
    assert findings["W2"].result == PASS
