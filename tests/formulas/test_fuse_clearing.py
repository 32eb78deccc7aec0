"""Slow edge of a fuse against the adiabatic limit of a wire."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuitcheck.formulas.fuse_clearing import (
    clearing_time_s,
    guaranteed_opening_a,
    least_clearing_margin,
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


def test_worked_by_hand_at_both_ends_of_a_range():
    # 10 A fuse, 1.5 mm2 at 70 degC to 160 degC: k = 115, k2A2 = 29,756 A2s.
    # 20 A: 5 s against 74.4 s (0.067); 35 A: 0.5 s against 24.3 s (0.021); 16 A is the worst:
    # 50 s against 116.2 s (0.43).
    point = least_clearing_margin(
        16.0, 300.0, 10.0, PERCENTS, LONGEST_S, area_mm2=1.5, initial_c=70.0, final_c=160.0
    )
    assert point.current_a == 16.0
    assert point.clearing_s == pytest.approx(50.0)
    assert point.withstand_s == pytest.approx(116.2, rel=1e-3)


def test_a_listed_point_inside_the_range_can_be_the_worst():
    # A fuse slow at one listed point only: 16 A and 35 A are harmless there, 20 A is not.
    slow = (math.inf, 60.0, 50.0, 45.0, 0.5, 0.1)
    point = least_clearing_margin(
        16.0, 35.0, 10.0, PERCENTS, slow, area_mm2=1.5, initial_c=70.0, final_c=160.0
    )
    assert point.current_a == pytest.approx(20.0)
    assert point.clearing_s == 45.0


@given(
    lowest=st.floats(13.5, 400.0),
    span=st.floats(1.0, 50.0),
    share=st.floats(0.0, 1.0),
    rated=st.sampled_from([2.0, 5.0, 7.5, 10.0]),
    area=st.floats(0.35, 10.0),
)
def test_no_current_in_the_range_is_worse(lowest, span, share, rated, area):
    highest = lowest * span
    copper = {"area_mm2": area, "initial_c": 90.0, "final_c": 160.0}
    worst = least_clearing_margin(lowest, highest, rated, PERCENTS, LONGEST_S, **copper)
    inside = min(lowest * span**share, highest)
    k2a2 = 226.0**2 * math.log((234.5 + 160.0) / (234.5 + 90.0)) * area**2
    ratio = clearing_time_s(inside, rated, PERCENTS, LONGEST_S) / (k2a2 / inside**2)
    assert ratio <= worst.clearing_s / worst.withstand_s * (1 + 1e-9)
