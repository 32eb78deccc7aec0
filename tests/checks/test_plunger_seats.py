"""A plunger against spring and load, by hand: 49 mH over 4 mm is 12.25 H/m.

12 V over 10 ohm of winding, 0.02 ohm of feed and 0.1 ohm of contact, all but the tap's few mohm:
1.186 A, which pulls with 1.186^2 / 2 * 12.25 = 8.61 N at any place of the stroke.
"""

from __future__ import annotations

import pytest

from circuitcheck.checks.coils.plunger_seats import CHECK, QUANTITY
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS

COOL = '{ resistance = "0.001 K/W", time_constant = "1200 s", class = "F" }'
MOVES = '{ valve = "v", port = "A", movement = "opens", hazard = "spray" }'
SLOPE_H_PER_M = (0.114 - 0.065) / 4e-3
LEFT_A = 12.0 / (10.0 + 0.1 + 0.01 + 0.01 + 0.01)


def plunger(spring, load="0 N"):
    return (
        f'{MOVES}\nplunger = {{ stroke = "4 mm", mass = "20 g", spring = {spring}, '
        f'load = "{load}", inductance = ["65 mH", "114 mH"] }}'
    )


def finding(on_bench, spring='["3 N", "5 N"]', load="0 N", **changes):
    keys = {"thermal": COOL, "moves": plunger(spring, load)} | changes
    (found,) = on_bench(CHECK, "VL", **keys)
    assert found.quantity == QUANTITY
    return found


@pytest.mark.parametrize(
    ("spring", "load", "result"),
    [
        ('["3 N", "8.5 N"]', "0 N", PASS),
        ('["3 N", "8.7 N"]', "0 N", FAIL),
        ('["2 N", "6 N"]', "2.5 N", PASS),
        ('["2 N", "6 N"]', "2.7 N", FAIL),
        ('["3 N", "600 N"]', "0 N", FAIL),
    ],
)
def test_just_inside_and_outside_by_hand(on_bench, spring, load, result):
    found = finding(on_bench, spring, load)
    newtons = max(float(n.split()[0].strip('["')) for n in spring.split(",")) + float(load[:-2])
    assert found.value == pytest.approx(LEFT_A, rel=1e-3)
    assert found.limit == pytest.approx((2.0 * newtons / SLOPE_H_PER_M) ** 0.5, rel=1e-6)
    assert not found.at_most
    assert found.result == result


def test_nominal_passes_and_the_hot_winding_of_highest_resistance_fails(on_bench):
    # 8.1 N: a nominal winding of 10 ohm pulls 8.6 N, one of 10.5 ohm 7.8 N
    spring = '["3 N", "8.1 N"]'
    assert finding(on_bench, spring).result == PASS
    wide = finding(on_bench, spring, resistance='{ at_20degC = "10 ohm", tolerance = "5 %" }')
    assert wide.value == pytest.approx(12.0 / 10.63, rel=1e-3)
    assert wide.result == FAIL
    # 5 K/W and 12.2 W or so: more than 40 K warmer, 16 % more resistance
    hot = finding(on_bench, spring, thermal='{ resistance = "5 K/W", class = "H" }')
    assert hot.result == FAIL
    assert hot.coil_state == "heat-soaked"


def test_the_supply_is_the_lowest_that_the_file_gives(on_bench):
    found = finding(on_bench, engine_off='["10 V", "12 V"]', charging='["13 V", "14 V"]')
    assert found.value == pytest.approx(10.0 / 10.13, rel=1e-3)
    assert any(words.startswith("10.0 V") for words in found.conditions)


def test_a_pass_needs_the_heat_path_and_what_lies_upstream(on_bench):
    unknown = finding(on_bench, thermal='"unknown"')
    assert unknown.result == NOT_JUDGED
    assert "measure its resistance cold and after" in unknown.reason
    upstream = finding(on_bench, present_load='"unknown"')
    assert upstream.result == NOT_JUDGED
    assert "present load" in upstream.reason
    assert finding(on_bench, '["3 N", "600 N"]', thermal='"unknown"').result == FAIL


def test_without_a_plunger_it_says_nothing(on_bench):
    assert on_bench(CHECK, "VL", thermal=COOL) == []


def test_workings_give_value_and_limit(on_bench):
    found = finding(on_bench)
    for working, number in ((found.working, found.limit), (found.working.steps[0], found.value)):
        terms = {term.symbol: term.value for term in working.terms}
        assert eval(working.formula, {}, terms) == pytest.approx(number)
