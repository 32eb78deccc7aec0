"""Inrush against fuse: ISO 8820-3, 110 % for 100 h and the fast edge above it."""

import pytest

from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS
from circuitcheck.checks.fuses.inrush import CHECK

AT_45C = 1.0 - 0.05 * 20.0 / 35.0  # re-rating between 25 degC (1.00) and 60 degC (0.95)
FREE = {"interlock": '{ kind = "none", between = ["left", "right"] }'}


def coils(ohm):
    row = {"resistance": f'{{ at_20degC = "{ohm} ohm", tolerance = "10 %" }}'}
    return {"VL": row, "VR": row}


def test_trade_anchor_one_coil_at_a_time_behind_5_a(judge):
    # Common practice, no source: the 5 A fuse of such a kit does not open on a cold morning.
    finding = judge(CHECK)["F1"]
    assert finding.result == PASS
    assert finding.limit == pytest.approx(1.10 * 5.0 * AT_45C)


def test_both_pressed_on_a_cold_morning_the_fuse_still_holds(judge):
    # Two cold coils draw 5.1 A: 105 % of what the fuse is worth, below 110 %.
    finding = judge(CHECK, GRIP=FREE)["F1"]
    assert "left + right" in finding.position
    assert 5.0 < finding.value < finding.limit
    assert finding.result == PASS


def test_two_larger_coils_together_fail(judge):
    finding = judge(CHECK, GRIP=FREE, **coils(6.5))["F1"]
    assert finding.result == FAIL
    assert finding.value > finding.limit
    # 110 % to 135 %: the shortest time listed at 135 % is 0.75 s, a press lasts 20 s.
    assert "750 ms" in finding.reason
    assert "20 s" in finding.reason


@pytest.mark.parametrize(("press", "result"), [("0.75 s", PASS), ("0.76 s", FAIL)])
def test_a_press_that_is_over_before_the_fast_edge(judge, press, result):
    finding = judge(CHECK, GRIP=FREE, use={"longest_press": f'"{press}"'}, **coils(6.5))["F1"]
    assert finding.result == result
    if result == PASS:
        assert (finding.value, finding.limit, finding.unit) == (0.75, 0.75, "s")


def test_held_without_pause_fails_above_110_percent(judge):
    finding = judge(CHECK, GRIP=FREE, use={"longest_press": None}, **coils(6.5))["F1"]
    assert finding.result == FAIL
    assert "without pause" in finding.reason


def both_coils_by_hand(ohm):
    """Return the current of both cold coils [A]: 14.9 V, all at the lower end, -10 degC."""
    cold, per_m = (234.5 - 10.0) / 254.5, 8.037e-3
    shared = (per_m * (0.15 + 0.8 + 0.2 + 3.2) + 5.054e-3 * 1.8 + 1.999e-3 * 0.4) * cold
    # New contacts of the way that both share, in milliohm.
    shared += 1e-3 * (0.05 + 0.85 * 4.8 + 0.6 + 1.0 + 0.15 + 0.85 * 17.85 + 0.6 + 0.1)
    shared += 1e-3 * (0.15 + 0.7 + 0.1 + 0.1 + 0.2)
    own = [
        (0.9 * ohm + per_m * metres) * cold + 1e-3 * (2.0 + 0.1 + 0.7 + 0.1 + 0.15)
        for metres in (3.0 + 0.6 + 0.5, 3.0 + 0.9 + 0.8)
    ]
    return 14.9 / (shared + own[0] * own[1] / (own[0] + own[1]))


@pytest.mark.parametrize(("ohm", "result"), [(6.83, PASS), (6.82, FAIL)])
def test_just_inside_and_just_outside(judge, ohm, result):
    finding = judge(CHECK, GRIP=FREE, **coils(ohm))["F1"]
    assert finding.value == pytest.approx(both_coils_by_hand(ohm), rel=1e-6)
    assert finding.value == pytest.approx(finding.limit, rel=1e-3)
    assert finding.result == result


def test_nominal_passes_but_worst_case_fails(judge, case_of):
    change = {"GRIP": FREE, **coils(6.5)}
    finding = judge(CHECK, **change)["F1"]
    solved = case_of(**change).solution.of(finding.position, finding.coil_state)
    assert solved.current_a("F1").nominal < finding.limit < finding.value


def test_without_a_re_rating_it_is_not_judged(judge):
    finding = judge(CHECK, cab={"ambient": '["-10 degC", "126 degC"]'})["F1"]
    assert finding.result == NOT_JUDGED
    assert "re-rating" in finding.reason
