"""Dead short cleared: IEC 60364-4-43 434.5 with k of IEC 60364-5-54, fuse by ISO 8820-3."""

import itertools
import math

import pytest

from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS
from circuitcheck.checks.wires.short_cleared import CHECK

LISTED = ((135, 1800.0), (160, 50.0), (200, 5.0), (350, 0.5), (600, 0.1))  # ISO 8820-3, slow edge
COLD_FUSE = 1.0 + 0.12 * (25.0 + 10.0) / (25.0 + 40.0)  # -10 degC between -40 (1.12) and 25 degC


def slow_edge_s(amps, rated_a):
    """Slow edge by hand: straight on log scales, constant I2t above 600 %."""
    percent = 100.0 * amps / rated_a
    if percent > 600:
        return 0.1 * (600 / percent) ** 2
    for (p0, t0), (p1, t1) in itertools.pairwise(LISTED):
        if p0 <= percent <= p1:
            share = math.log(percent / p0) / math.log(p1 / p0)
            return t0 * (t1 / t0) ** share
    return math.inf


def withstand_s(amps, area_mm2, start_c, final_c):
    return 226**2 * math.log((234.5 + final_c) / (234.5 + start_c)) * (area_mm2 / amps) ** 2


def fuse(amps):
    return {"rating": f'"{amps} A"'}


def test_good_harness_passes_on_every_feed_wire(judge):
    findings = judge(CHECK)
    for wire in ("TAP/wire", "W1", "W2", "W3", "W4", "W5", "W6"):
        assert findings[wire].result == PASS
    assert not {"W7", "W8", "W9", "W10", "W11"} & set(findings)


def terms_of(working):
    found = {term.symbol: term.value for term in working.terms}
    for step in working.steps:
        found |= terms_of(step)
    return found


def test_seconds_against_seconds_by_hand(judge, case_of):
    # 30 A fuse, 18 AWG of 0.76 mm2 at the least, PVC to 160 degC, from air of 45 degC and 3 K of
    # its own: 20 A * (2.5 / 20)^2. Short: no heat leaves it.
    change = {
        "upstream": {"fuse": '"30 A blade"'},
        "F1": fuse(30),
        "W2": {"gauge": '"18 AWG"', "insulation": '"PVC 105"'},
    }
    finding, short = judge(CHECK, **change)["W2"], case_of(**change).shorts.at_far_end("W2")
    amps = terms_of(finding.working)["I"]
    assert short.weakest_a <= amps <= short.strongest_a
    assert finding.value == pytest.approx(slow_edge_s(amps, 30.0 * COLD_FUSE), rel=1e-6)
    assert finding.limit == pytest.approx(withstand_s(amps, 0.76, 47.0, 160.0), rel=0.02)
    assert finding.unit == "s"
    assert "to 160 degC" in " ".join(finding.conditions)


def long_run(metres, fuse_a):
    """A thin feed and a far valve: the weakest short gets weak."""
    thin = {"gauge": '"20 AWG"', "insulation": '"PVC 105"'}
    return {
        "F1": fuse(fuse_a),
        "W3": {**thin, "length": f'"{metres} m"'},
        "use": {"longest_press": '"20 s"'},
    }


def test_where_the_fuse_may_never_open_the_unprotected_length_tells(judge):
    assert "W3" not in judge(CHECK, **long_run(40, 7.5))


def test_the_same_run_behind_a_smaller_fuse_is_cleared(judge):
    finding = judge(CHECK, **long_run(40, 3))["W3"]
    assert finding.result == PASS
    assert finding.value < finding.limit


def test_strongest_source_clears_but_weakest_does_not(judge, case_of):
    """Nominal passes, worst case fails: the usual battery would open the fuse in time."""
    # 20 AWG, 6 m, 15 A: sure to open, yet just above 135 % only within minutes.
    change = long_run(6, 15)
    short = case_of(**change).shorts.at_far_end("W3")
    strongest = slow_edge_s(short.strongest_a, 15 * COLD_FUSE)
    assert strongest < withstand_s(short.strongest_a, 0.508, 50.0, 160.0)
    finding = judge(CHECK, **change)["W3"]
    assert finding.result == FAIL
    assert "heating curve" in finding.reason


def test_a_large_fuse_on_a_thin_wire_burns_it(judge):
    # 40 A fuse above 600 %: up to (240 * 1.065)^2 * 0.1 = 6530 A2s. 20 AWG of 105 degC runs
    # at 45 + 75 * (2.56 / 5.8)^2 = 60 degC: 226^2 ln(394.5 / 294.5) 0.508^2 = 3850 A2s.
    thin = {"gauge": '"20 AWG"', "insulation": '"PVC 105"', "length": '"0.3 m"'}
    change = {"upstream": {"fuse": '"40 A blade"', "gauge": '"8 AWG"', "length": '"0.3 m"'}}
    finding = judge(CHECK, F1=fuse(40), W1={"gauge": '"8 AWG"'}, W2=thin, **change)["W2"]
    assert finding.result == FAIL
    assert finding.value > finding.limit
    amps = next(term.value for term in finding.working.terms if term.symbol == "I")
    assert finding.value == pytest.approx(slow_edge_s(amps, 40 * COLD_FUSE), rel=1e-6)
    assert finding.limit == pytest.approx(withstand_s(amps, 0.508, 60.0, 160.0), rel=0.01)


def test_the_fuse_that_does_best_is_named(judge):
    # The machine's 3 A fuse clears sooner than a 10 A one of the add-on.
    findings = judge(CHECK, upstream={"fuse": '"3 A blade"'}, F1=fuse(10))
    assert "machine's fuse (3 A)" in findings["W2"].quantity
    assert "F1 (5 A)" in judge(CHECK)["W2"].quantity


def test_unknown_machine_fuse_is_not_judged_ahead_of_f1(judge):
    findings = judge(CHECK, upstream={"fuse": '"unknown"'})
    assert findings["W1"].result == NOT_JUDGED
    assert findings["W2"].result == PASS


def test_a_wire_straight_from_the_battery_is_left_to_its_length(judge):
    findings = judge(CHECK, without=("TAP", "upstream"), W1={"from": '"BAT.+"'})
    assert "W1" not in findings
    assert findings["W2"].result == PASS


def test_unknown_gauge_is_not_failed_on_a_guess(judge):
    finding = judge(CHECK, F1=fuse(30), W2={"gauge": '"unknown"'})["W2"]
    assert finding.result == NOT_JUDGED


def test_above_5_s_the_heating_curve_takes_over_from_the_adiabatic_limit(judge):
    finding = judge(CHECK, **long_run(6, 15))["W3"]
    terms = terms_of(finding.working)
    # By hand: the adiabatic limit alone would end sooner at that current; 155 degC is 105 + 50.
    assert finding.limit > withstand_s(terms["I"], 0.508, 60.0, 160.0)
    in_5_s = terms["Z"] * (math.exp(5.0 * (terms["I"] / (226.0 * 0.508)) ** 2) - 1.0)
    assert terms["Z"] - 234.5 + in_5_s + terms["dT"] == pytest.approx(155.0)


def test_working_can_be_redone(judge):
    finding = judge(CHECK, **long_run(6, 15))["W3"]
    terms = {term.symbol: term.value for term in finding.working.terms}
    assert eval(finding.working.formula, {}, terms) == pytest.approx(finding.limit, rel=1e-9)
