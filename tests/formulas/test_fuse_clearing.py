"""Slow edge of a fuse above and between its listed points, and what it is sure to hold."""

import math

import pytest

from circuitcheck.formulas.fuse_clearing import (
    clearing_time_s,
    guaranteed_opening_a,
    shortest_opening_s,
)

# ISO 8820-3 opening-time limits of a blade fuse: percent, shortest, longest.
PERCENTS = (110.0, 135.0, 160.0, 200.0, 350.0, 600.0)
SHORTEST_S = (360000.0, 0.75, 0.25, 0.15, 0.04, 0.02)
LONGEST_S = (math.inf, 1800.0, 50.0, 5.0, 0.5, 0.1)


@pytest.mark.parametrize(
    ("percent", "longest_s"), list(zip(PERCENTS[1:], LONGEST_S[1:], strict=True))
)
def test_listed_points_are_met(percent, longest_s):
    assert clearing_time_s(percent, 100.0, PERCENTS, LONGEST_S) == pytest.approx(longest_s)


def test_between_two_points_the_line_is_straight_on_logarithmic_scales():
    # By hand: half way between 200 % and 350 % on a log scale is sqrt(200 * 350) = 264.575 %,
    # and there the time is sqrt(5 * 0.5) = 1.58114 s.
    assert clearing_time_s(26.4575, 10.0, PERCENTS, LONGEST_S) == pytest.approx(1.58114, rel=1e-5)


def test_below_the_first_guaranteed_point_it_may_never_open():
    assert clearing_time_s(13.4, 10.0, PERCENTS, LONGEST_S) == math.inf
    assert guaranteed_opening_a(10.0, PERCENTS, LONGEST_S) == pytest.approx(13.5)


def test_above_the_last_point_i2t_is_constant():
    # By hand: 60 A for 0.1 s is 360 A2s; at 240 A that is 6.25 ms.
    assert clearing_time_s(240.0, 10.0, PERCENTS, LONGEST_S) == pytest.approx(360.0 / 240.0**2)


@pytest.mark.parametrize(
    ("current_a", "held_s"),
    [(11.0, 360000.0), (11.1, 0.75), (13.5, 0.75), (13.6, 0.25), (60.0, 0.02), (60.1, 0.0)],
)
def test_shortest_time_needs_no_line_between_points(current_a, held_s):
    assert shortest_opening_s(current_a, 10.0, PERCENTS, SHORTEST_S) == held_s
