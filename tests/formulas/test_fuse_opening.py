"""Opening of fuses: edges of the band, guaranteed times, re-rating."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuitcheck.formulas.fuse_opening import longest_opening_s, opening_time_s, rerated_a

PERCENTS = (110.0, 135.0, 160.0, 200.0, 350.0, 600.0)
MIN_S = (360000.0, 0.75, 0.25, 0.15, 0.04, 0.02)
MAX_S = (math.inf, 1800.0, 50.0, 5.0, 0.5, 0.1)
BAND = (PERCENTS, MIN_S, MAX_S)
CURRENT = st.floats(0.1, 200.0)


@pytest.mark.parametrize("index", range(1, 6))
def test_listed_points_are_returned_as_listed(index):
    opening = opening_time_s(PERCENTS[index] / 10.0, 10.0, 10.0, *BAND)
    assert (opening.fastest_s, opening.slowest_s) == pytest.approx((MIN_S[index], MAX_S[index]))


def test_between_points_the_line_is_straight_on_logarithmic_paper():
    # geometric middle of 200 and 350 % lies at the geometric middle of the times
    current = math.sqrt(20.0 * 35.0)
    opening = opening_time_s(current, 10.0, 10.0, *BAND)
    assert opening.slowest_s == pytest.approx(math.sqrt(5.0 * 0.5))
    assert opening.fastest_s == pytest.approx(math.sqrt(0.15 * 0.04))
    assert opening.remark == ""


@given(CURRENT, st.floats(1.0, 1.5))
def test_more_current_never_opens_later(current, factor):
    first, second = (opening_time_s(i, 10.0, 10.0, *BAND) for i in (current, current * factor))
    tiny = 1.0 + 1e-9
    assert second.fastest_s <= first.fastest_s * tiny
    assert second.slowest_s <= first.slowest_s * tiny
    assert first.fastest_s <= first.slowest_s


@given(CURRENT)
def test_points_alone_promise_no_more_than_the_line(current):
    line = opening_time_s(current, 10.0, 10.0, *BAND).slowest_s
    assert line <= longest_opening_s(current, 10.0, PERCENTS, MAX_S) * (1.0 + 1e-9)


def test_above_the_last_point_each_edge_says_what_it_does():
    opening = opening_time_s(120.0, 10.0, 10.0, *BAND)
    assert opening.slowest_s == 0.1
    assert opening.fastest_s == pytest.approx(0.02 / 4.0)  # twice the current, a quarter the time
    assert "constant I2t" in opening.remark
    assert "held at its value there" in opening.remark


def test_cold_fuse_is_slow_and_hot_fuse_is_fast():
    plain = opening_time_s(20.0, 10.0, 10.0, *BAND)
    spread = opening_time_s(20.0, 9.0, 11.0, *BAND)
    assert spread.fastest_s < plain.fastest_s
    assert spread.slowest_s > plain.slowest_s


def test_rerating_is_straight_between_points_and_refuses_to_go_beyond():
    points, factors = (-40.0, 25.0, 60.0), (1.12, 1.0, 0.95)
    assert rerated_a(10.0, 25.0, points, factors) == 10.0
    assert rerated_a(10.0, 42.5, points, factors) == pytest.approx(9.75)
    assert rerated_a(10.0, -40.0, points, factors) == pytest.approx(11.2)
    for outside in (-40.1, 60.1, math.nan):
        with pytest.raises(ValueError, match="temperature_c"):
            rerated_a(10.0, outside, points, factors)


@pytest.mark.parametrize(
    ("current", "lower", "upper", "name"),
    [
        (0.0, 10.0, 10.0, "current_a"),
        (5.0, 0.0, 10.0, "rated_lower_a"),
        (5.0, 10.0, 9.0, "rated_up"),
    ],
)
def test_arguments_outside_their_range_are_named(current, lower, upper, name):
    with pytest.raises(ValueError, match=name):
        opening_time_s(current, lower, upper, *BAND)
