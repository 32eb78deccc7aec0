"""A fuse against a wire over a range of currents: no current of it is worse."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from circuitcheck.formulas.adiabatic import COPPER
from circuitcheck.transient.heat.clearing import SlowEdge, least_clearing_margin
from circuitcheck.transient.heat.wire_heat import WireHeat

OVERLOAD = {"overload_k": 50.0, "overload_s": 6 * 3600.0}

# ISO 8820-3 opening-time limits of a blade fuse: percent, longest.
PERCENTS = (110.0, 135.0, 160.0, 200.0, 350.0, 600.0)
LONGEST_S = (math.inf, 1800.0, 50.0, 5.0, 0.5, 0.1)
TEN_A = SlowEdge(10.0, PERCENTS, LONGEST_S)


def wire(area_mm2, class_c=90.0, air_c=45.0):
    outside_m = math.sqrt(4.0 * area_mm2 / math.pi) / 1000.0 + 0.0012
    return WireHeat(
        area_mm2, 0.0185 / area_mm2, outside_m, air_c, class_c, 160.0, COPPER, **OVERLOAD
    )


def test_worked_by_hand_where_it_is_cleared_within_5_s():
    # 10 A fuse, 1.5 mm2 at 70 degC to 160 degC: k = 115, k2A2 = 29,756 A2s.
    # 20 A: 5 s against 74.4 s (0.067); 35 A: 0.5 s against 24.3 s (0.021).
    point = least_clearing_margin(20.0, 300.0, TEN_A, wire(1.5), 70.0)
    assert (point.current_a, point.clearing_s) == (20.0, 5.0)
    assert point.withstand_s == pytest.approx(74.4, rel=1e-3)


def test_a_listed_point_inside_the_range_can_be_the_worst():
    # A fuse slow at one listed point only: 20 A and 60 A are harmless there, 35 A is not.
    slow = SlowEdge(10.0, PERCENTS, (math.inf, 60.0, 50.0, 5.0, 4.9, 0.1))
    point = least_clearing_margin(20.0, 60.0, slow, wire(0.5), 70.0)
    assert point.current_a == pytest.approx(35.0)
    assert point.clearing_s == 4.9


def test_the_worst_may_lie_where_the_heating_curve_bends():
    # 0.35 mm2 stands 13.5 A for a minute; a 10 A fuse may take half an hour.
    point = least_clearing_margin(13.5, 300.0, TEN_A, wire(0.35), 60.0)
    assert 13.5 <= point.current_a < 20.0
    assert not point.is_short


@given(
    lowest=st.floats(13.5, 400.0),
    span=st.floats(1.0, 50.0),
    share=st.floats(0.0, 1.0),
    rated=st.sampled_from([2.0, 5.0, 7.5, 10.0]),
    area=st.floats(0.35, 6.0),
)
@settings(max_examples=150, deadline=None)
def test_no_current_in_the_range_is_worse(lowest, span, share, rated, area):
    edge, heat = SlowEdge(rated, PERCENTS, LONGEST_S), wire(area)
    worst = least_clearing_margin(lowest, lowest * span, edge, heat, 60.0)
    inside = min(lowest * span**share, lowest * span)
    clearing_s = edge.clearing_s(inside)
    k2a2 = 226.0**2 * math.log((234.5 + 160.0) / (234.5 + 60.0)) * area**2
    stands_s = k2a2 / inside**2 if clearing_s <= 5.0 else heat.stands_s(inside, 60.0)
    assert clearing_s / stands_s <= worst.share * 1.02 + 1e-12
