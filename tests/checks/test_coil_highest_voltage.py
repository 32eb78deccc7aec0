"""Highest voltage at a cold coil on a charging supply, by hand on the bench."""

import math
from dataclasses import replace

import pytest

from circuitcheck import open_case
from circuitcheck.checks.coils.coil_highest_voltage import CHECK
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS
from circuitcheck.solve.solution import COLD_START

HELD = 'longest_press = "400 s"\npresses_per_hour = 9'  # over 300 s: continuous (DIN VDE 0580)


def highest(on_bench, **changes):
    return on_bench(CHECK, "VL", **{"use": HELD, **changes})[0]


def test_by_hand(on_bench):
    found = highest(on_bench, charging='["13 V", "13.5 V"]', air='"-10 degC"')
    # 0.1 + 3 x 0.01 ohm given; the rest of the feed at its lower end, 1.9 mohm
    rest = 0.13 + 1.6745e-3 + 0.05e-3 + 1e-6 + 7 * 0.01 * 1.999e-3
    assert found.value == pytest.approx(13.5 * 10.0 / (10.0 + rest), rel=1e-4)
    assert found.limit == pytest.approx(13.8)
    assert (found.coil_state, found.result) == (COLD_START, PASS)
    terms = {term.symbol: term.value for term in found.working.terms}
    assert eval(found.working.formula, {}, terms) == pytest.approx(found.limit)


@pytest.mark.parametrize(("supply", "result"), [(13.95, PASS), (14.0, FAIL)])
def test_just_inside_and_outside(on_bench, supply, result):
    # the loop takes 1.3 %: 13.98 V at the posts are 13.8 V at the coil
    found = highest(on_bench, charging=f'["13 V", "{supply} V"]')
    assert found.result == result


def test_nominal_passes_and_worst_case_fails(on_bench, bench):
    changes = {"use": HELD, "charging": '["12 V", "14.9 V"]'}
    found = highest(on_bench, **changes)
    solved = bench(**changes).solution.of(found.position, found.coil_state)
    assert solved.across_v("VL").nominal < found.limit < found.value
    assert found.result == FAIL


def test_the_coil_has_a_range_of_its_own(on_bench):
    assert highest(on_bench, charging='["13 V", "14.9 V"]', highest='"125 %"').result == PASS
    assert highest(on_bench, charging='["13 V", "14.9 V"]', highest='"110 %"').result == FAIL


def test_shorter_duty_of_equal_heat(on_bench):
    # on 90 % of the time: V^2 d is the same at 13.8 V / sqrt(0.9) = 14.55 V
    use = 'longest_press = "81 s"\npresses_per_hour = 40'
    found = highest(on_bench, charging='["13 V", "14.6 V"]', use=use)
    assert found.limit == pytest.approx(13.8 / math.sqrt(0.9))
    assert found.result == PASS
    assert highest(on_bench, charging='["13 V", "14.9 V"]', use=use).result == FAIL
    terms = {term.symbol: term.value for term in found.working.terms}
    assert eval(found.working.formula, {}, terms) == pytest.approx(found.limit)


def test_shorter_duty_is_capped(on_bench):
    # on 5 % of the time heat alone would allow 61 V: common practice stops at 130 % of rated
    use = 'longest_press = "6 s"\npresses_per_hour = 30'
    found = highest(on_bench, charging='["13 V", "14.9 V"]', use=use)
    assert found.limit == pytest.approx(1.3 * 12.0)
    assert found.result == PASS
    doubled = highest(
        on_bench,
        charging='["26 V", "28 V"]',
        system="24 V",
        battery="24 V flooded, 100 Ah",
        use=use,
    )
    assert doubled.result == FAIL


def test_a_coil_for_short_duty_gets_no_more_when_used_harder(on_bench):
    found = highest(on_bench, duty='"40 %"', charging='["13 V", "13.5 V"]')
    assert found.limit == pytest.approx(13.8)


def test_unknown_duty_allows_no_more(on_bench):
    use = 'longest_press = "6 s"\npresses_per_hour = 30'
    found = highest(on_bench, duty='"unknown"', charging='["13 V", "14.9 V"]', use=use)
    assert found.limit == pytest.approx(13.8)
    assert found.result == FAIL


def test_no_figure_is_not_judged(bench):
    case = bench()
    coil = replace(case.harness.parts["VL"], highest_fraction=None)
    harness = replace(case.harness, parts={**case.harness.parts, "VL": coil})
    found = next(f for f in CHECK.judge(open_case(harness, case.library)) if f.subject == "VL")
    assert found.result == NOT_JUDGED
    assert "data sheet" in found.reason


def test_unsaid_figure_is_named(on_bench):
    found = highest(on_bench, highest=None)
    assert any("highest not given, taken as 115 %" in c for c in found.conditions)
