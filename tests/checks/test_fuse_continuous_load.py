"""Fuse continuous load: at most 75 % of the re-rated current (fuse-definitions)."""

import pytest

from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS
from circuitcheck.checks.fuses.fuse_continuous_load import CHECK

# Re-rating curve of a blade fuse, read approximately: 1.00 at 25 degC, 0.95 at 60 degC.
AT_45C = 1.0 - 0.05 * (45.0 - 25.0) / (60.0 - 25.0)
COLD = (234.5 - 10.0) / (234.5 + 20.0)  # copper at -10 degC over 20 degC, iec-60228
FREE = {"interlock": '{ kind = "none", between = ["left", "right"] }'}


def coils(ohm):
    row = {"resistance": f'{{ at_20degC = "{ohm} ohm", tolerance = "10 %" }}'}
    return {"VL": row, "VR": row}


def highest_current_by_hand(coil_ohm):
    """Return V / sum of R: 14.9 V, everything at its lower end, copper at -10 degC [A]."""
    wire_m = {8.037e-3: 0.15 + 0.8 + 3.0 + 0.6 + 0.5 + 0.2 + 3.2, 5.054e-3: 1.8, 1.999e-3: 0.4}
    copper = sum(ohm_per_m * metres for ohm_per_m, metres in wire_m.items()) + 0.9 * coil_ohm
    # New contacts in milliohm, from the battery post round to the other post.
    contacts = [0.05, 0.85 * 4.8, 2 * 0.3, 1.0, 0.05 + 0.1, 0.85 * 17.85, 2 * 0.3, 0.1, 2.0, 0.1]
    contacts += [0.7, 0.1, 0.1 + 0.05, 0.1 + 0.05, 0.7, 0.1, 0.1, 0.1 + 0.05 + 0.05]
    return 14.9 / (copper * COLD + sum(contacts) * 1e-3)


def test_trade_anchor_two_valves_one_at_a_time_behind_5_a_pass(judge):
    # Common practice, no source: a handle kit with two valve coils, one at a time, behind 5 A.
    finding = judge(CHECK)["F1"]
    assert finding.result == PASS
    assert finding.value == pytest.approx(highest_current_by_hand(7.2), rel=1e-6)
    assert finding.limit == pytest.approx(0.75 * 5.0 * AT_45C)
    assert finding.coil_state == "cold start"
    assert "14.9 V" in " ".join(finding.conditions)
    assert "45 degC" in " ".join(finding.conditions)


def test_both_pressed_without_interlock_is_said(judge):
    finding = judge(CHECK, GRIP=FREE)["F1"]
    assert finding.result == FAIL
    assert "left + right" in finding.position
    assert finding.value == pytest.approx(2 * highest_current_by_hand(7.2), rel=0.02)
    # What would be in order is said too: each button by itself.
    assert "key on, left" in finding.reason
    assert "key on, right" in finding.reason


def test_an_electrical_interlock_removes_the_case(judge):
    lock = {"interlock": '{ kind = "electrical", between = ["left", "right"] }'}
    assert judge(CHECK, GRIP=lock)["F1"].result == PASS


@pytest.mark.parametrize(("ohm", "result"), [(5.04, PASS), (5.03, FAIL)])
def test_just_inside_and_just_outside(judge, ohm, result):
    finding = judge(CHECK, **coils(ohm))["F1"]
    assert finding.result == result
    assert finding.value == pytest.approx(highest_current_by_hand(ohm), rel=1e-6)
    assert finding.value == pytest.approx(finding.limit, rel=2e-3)


def test_nominal_passes_but_worst_case_fails(judge, case_of):
    case = case_of(**coils(5.0))
    nominal = max(p.current_a("F1").nominal for p in case.solution.live("cold start"))
    finding = judge(CHECK, **coils(5.0))["F1"]
    assert nominal < finding.limit < finding.value
    assert finding.result == FAIL


def test_hot_fuse_is_worth_less(judge):
    # By hand: 105 degC is 0.86 on the curve.
    hot = {"ambient": '["-10 degC", "105 degC"]'}
    finding = judge(CHECK, cab=hot)["F1"]
    assert finding.limit == pytest.approx(0.75 * 5.0 * 0.86)


def test_beyond_the_re_rating_curve_it_is_not_judged(judge):
    finding = judge(CHECK, cab={"ambient": '["-10 degC", "130 degC"]'})["F1"]
    assert finding.result == NOT_JUDGED
    assert "130 degC" in finding.reason


def test_working_can_be_redone(judge):
    finding = judge(CHECK)["F1"]
    terms = {term.symbol: term.value for term in finding.working.terms}
    assert eval(finding.working.formula, {}, terms) == pytest.approx(finding.value, rel=1e-6)


def pressed(seconds, per_hour):
    return {"use": {"longest_press": f'"{seconds} s"', "presses_per_hour": str(per_hour)}}


def test_a_short_press_counts_as_what_heats_the_fuse_as_much(judge):
    held = judge(CHECK, **coils(3.0))["F1"]
    assert held.result == FAIL  # 20 s at a time
    short = judge(CHECK, **coils(3.0), **pressed(0.05, 3))["F1"]
    assert short.result == PASS
    # Heat goes with the mean square at the least: 50 ms in 1200 s; and never beyond for good.
    assert (0.05 / 1200.0) ** 0.5 * held.value < short.value < held.value
    assert "in presses of 50 ms" in " ".join(short.conditions)
    longer = [judge(CHECK, **coils(3.0), **pressed(s, 3))["F1"].value for s in (0.05, 0.2, 1, 5)]
    assert longer == sorted(longer)
    assert longer[-1] == pytest.approx(held.value)


def test_what_flows_with_nothing_held_down_counts_in_full(judge):
    text = (
        '[ { button = "left", action = "maintained", closes = ["feed", "out_left"] }, '
        '{ button = "right", action = "maintained", closes = ["feed", "out_right"] } ]'
    )
    held = judge(CHECK, **coils(3.0))["F1"].value
    kept = judge(CHECK, **coils(3.0), **pressed(0.05, 3), GRIP={"contacts": text})["F1"]
    assert kept.value == pytest.approx(held, rel=1e-6)
