"""Diodes: hand calculation, draws and corners for the bounds. The exact curve is held against
ngspice in test_against_simulators.py."""

from __future__ import annotations

import math
from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from circuitcheck.model.tolerance_band import Band
from circuitcheck.solve.curves.curve_arrays import CurveArrays, straight_points
from circuitcheck.solve.curves.curve_bounds import BandedCurveNetwork
from circuitcheck.solve.curves.curve_network import CurveNetwork
from circuitcheck.solve.curves.curves import Junction, StraightDiode, straight_band

EXACT = Band.exact


def test_a_junction_on_its_curve() -> None:
    # choose 1 A: drop by hand from the diode law, then the source that makes it through 10 ohm
    scale = 1.8 * 1.380649e-23 * 300.15 / 1.602176634e-19
    drop = scale * math.log(1.0 / 1e-9 + 1.0) + 0.05
    diode = Junction(2, 0, 1e-9, 1.8, 0.05, 27.0)
    network = CurveNetwork(3, [1], [2], 1, 0, [(2, 0)])
    solution = network.solve([0.1], 10.0 + drop, CurveArrays([diode]).nominal())
    assert diode.drop_v(1.0) == pytest.approx(drop, rel=1e-12)
    # the 1e-12 S leak across the junction is the difference left
    assert solution.branch_a[1, 0] == pytest.approx(1.0, rel=1e-10)


def test_a_reversed_junction_carries_its_saturation_current() -> None:
    diode = Junction(0, 2, 1e-6)
    network = CurveNetwork(3, [1], [2], 1, 0, [(0, 2)])
    solution = network.solve([0.1], 12.0, CurveArrays([diode]).nominal())
    assert solution.branch_a[1, 0] == pytest.approx(-1e-6, rel=1e-4)


def test_a_batch_of_junctions_is_its_points_one_by_one() -> None:
    rng = np.random.default_rng(6)
    diodes = [Junction(2, 3, 1e-10, 1.5, 0.02), Junction(0, 3, 1e-12)]
    network = CurveNetwork(4, [1, 3], [2, 0], 1, 0, [(2, 3), (0, 3)])
    g = 1.0 / rng.uniform(0.1, 20, (2, 50))
    volts = rng.uniform(0.1, 30, 50)
    together = network.solve(g, volts, CurveArrays(diodes).nominal())
    for k in range(0, 50, 7):
        alone = network.solve(g[:, k], volts[k], CurveArrays(diodes).nominal())
        np.testing.assert_allclose(together.branch_a[:, k], alone.branch_a[:, 0], rtol=1e-9)


@given(st.floats(-12, -6), st.floats(1.0, 2.0), st.floats(0.0, 0.3), st.floats(-3, 0))
def test_straight_lines_enclose_the_curve(
    exponent: float, emission: float, series: float, least: float
) -> None:
    junction = Junction(1, 0, 10.0**exponent, emission, series)
    low, high = 10.0**least, 10.0 ** (least + 2)
    band = straight_band(junction, low, high)
    for amps in np.geomspace(low, high, 50):
        above_line = junction.drop_v(amps) - band.slope_ohm.nominal * amps
        assert band.drop_v.lower - 1e-12 <= above_line <= band.drop_v.upper + 1e-12
    assert band.drop_v.lower == pytest.approx(
        junction.drop_v(high) - band.slope_ohm.nominal * high, abs=1e-12
    )


def test_a_steering_diode_by_hand() -> None:
    # 12..14 V, 0.5..1 ohm, diode 0.6..0.8 V with 0.1 ohm, coil 5..7 ohm
    diode = StraightDiode(2, 3, Band(0.6, 0.7, 0.8), EXACT(0.1))
    network = BandedCurveNetwork(4, [1, 3], [2, 0], 1, 0, [(diode.start, diode.end)])
    found = network.solve_bounds([diode], [0.5, 5], [0.7, 6], [1, 7], Band(12, 13, 14), [(3, 0)])
    assert found.state == ("conducting",)
    assert found.current.upper[1] == pytest.approx((14 - 0.6) / (0.5 + 0.1 + 5), rel=1e-10)
    assert found.current.lower[1] == pytest.approx((12 - 0.8) / (1 + 0.1 + 7), rel=1e-10)
    assert found.voltage.upper[0] == pytest.approx((14 - 0.6) * 7 / (0.5 + 0.1 + 7), rel=1e-10)
    assert found.voltage.nominal[0] == pytest.approx((13 - 0.7) * 6 / 6.8, rel=1e-10)
    assert found.current.gap.max() == 0.0


def test_a_suppression_diode_is_certainly_open() -> None:
    coil = StraightDiode(0, 2, Band(0.5, 0.7, 0.9), EXACT(0.05))
    network = BandedCurveNetwork(3, [1, 2], [2, 0], 1, 0, [(coil.start, coil.end)])
    found = network.solve_bounds([coil], [0.1, 5], [0.2, 6], [0.3, 7], Band(9, 12, 14), [(2, 0)])
    assert found.state == ("open",)
    assert found.voltage.lower[0] == pytest.approx(9 * 5 / 5.3, rel=1e-9)
    assert found.voltage.upper[0] == pytest.approx(14 * 7 / 7.1, rel=1e-9)


def test_an_undecided_diode_is_bounded_in_both_states() -> None:
    # divider 0.5..1.5 V at the diode's anode, threshold 0.8 V: open at the bottom of the band
    diode = StraightDiode(2, 3, EXACT(0.8), EXACT(1.0))
    network = BandedCurveNetwork(4, [1, 2, 3], [2, 0, 0], 1, 0, [(diode.start, diode.end)])
    found = network.solve_bounds([diode], [1, 1, 9], [1, 1, 9], [1, 1, 9], Band(1, 2, 3), [(3, 0)])
    assert found.state == ("either",)
    # leak of 1e-12 S
    assert found.voltage.lower[0] == pytest.approx(0.0, abs=1e-10)
    assert found.voltage.upper[0] == pytest.approx((1.5 - 0.8) * 9 / (0.5 + 1 + 9), rel=1e-9)


SERIES_PARALLEL = (5, [(1, 2), (2, 3), (2, 4), (4, 0), (3, 0)])
BRIDGED = (5, [(1, 2), (1, 3), (2, 3), (2, 4), (4, 0), (3, 0)])


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 2**32 - 1), st.sampled_from([SERIES_PARALLEL, BRIDGED]))
def test_draws_never_leave_diode_bounds(
    seed: int, shape: tuple[int, list[tuple[int, int]]]
) -> None:
    rng = np.random.default_rng(seed)
    n, ends = shape
    pairs = [tuple(map(int, rng.permutation([4, 0]))), tuple(map(int, rng.permutation([2, 3])))]
    drop, slope = Band(0.5, 0.7, 0.9), Band(0.02, 0.05, 0.2)
    diodes = [StraightDiode(u, v, drop, slope) for u, v in pairs]
    network = BandedCurveNetwork(n, [u for u, _ in ends], [v for _, v in ends], 1, 0, pairs)
    nominal = np.exp(rng.uniform(-1, 3, len(ends)))
    lower, upper = nominal / 1.5, nominal * 1.5
    source = Band(1.0, 2.0, 6.0)
    probes = [(p, q) for p in range(n) for q in range(p)]
    found = network.solve_bounds(diodes, lower, nominal, upper, source, probes)
    sides = rng.random((len(ends) + 5, 2000))
    sides[:, ::2] = np.round(sides[:, ::2])
    ohms = lower[:, None] + sides[: len(ends)] * (upper - lower)[:, None]
    volts = source.lower + sides[-1] * (source.upper - source.lower)
    drawn = network.exact.solve(
        1.0 / ohms,
        volts,
        straight_points(
            drop.lower + sides[-5:-3] * (drop.upper - drop.lower),
            slope.lower + sides[-3:-1] * (slope.upper - slope.lower),
        ),
    )
    # an open diode counts as 1e12 ohm
    slack = 1e-9
    for k, (p, q) in enumerate(probes):
        across = drawn.node_v[p] - drawn.node_v[q]
        assert found.voltage.lower[k] - slack <= across.min()
        assert across.max() <= found.voltage.upper[k] + slack
    assert (drawn.branch_a.min(axis=1) >= found.current.lower - slack).all()
    assert (drawn.branch_a.max(axis=1) <= found.current.upper + slack).all()


def test_series_parallel_diode_bounds_are_corners() -> None:
    # all 2**(5 + 1 + 1 + 1) corners of resistances, drop, slope and source
    n, ends = SERIES_PARALLEL
    drop, slope, source = Band(0.5, 0.7, 0.9), Band(0.02, 0.05, 0.2), Band(1.0, 2.0, 6.0)
    diode = StraightDiode(2, 3, drop, slope)
    network = BandedCurveNetwork(
        n, [u for u, _ in ends], [v for _, v in ends], 1, 0, [(diode.start, diode.end)]
    )
    nominal = np.array([0.5, 30.0, 2.0, 6.0, 4.0])
    lower, upper = nominal / 1.4, nominal * 1.4
    probes = [(2, 0), (3, 0), (4, 0), (2, 3)]
    found = network.solve_bounds([diode], lower, nominal, upper, source, probes)
    bands = [*zip(lower, upper, strict=True), (0.5, 0.9), (0.02, 0.2), (1.0, 6.0)]
    corner = np.array(list(product(*bands))).T
    lines = straight_points(corner[5:6], corner[6:7])
    solved = network.exact.solve(1.0 / corner[:5], corner[7], lines)
    for k, (p, q) in enumerate(probes):
        across = solved.node_v[p] - solved.node_v[q]
        assert found.voltage.method[k] == "series-parallel"
        assert found.voltage.lower[k] == pytest.approx(across.min(), rel=1e-9)
        assert found.voltage.upper[k] == pytest.approx(across.max(), rel=1e-9)
    np.testing.assert_allclose(found.current.lower, solved.branch_a.min(axis=1), rtol=1e-9)
    np.testing.assert_allclose(found.current.upper, solved.branch_a.max(axis=1), rtol=1e-9)


@pytest.mark.parametrize(
    "make",
    [
        lambda: Junction(1, 0, 0.0),
        lambda: Junction(1, 0, 1e-9, 1.0, -1.0),
        lambda: StraightDiode(1, 0, Band(-0.1, 0, 0), EXACT(1.0)),
        lambda: StraightDiode(1, 0, EXACT(0.7), EXACT(0.0)),
        lambda: straight_band(Junction(1, 0, 1e-9), 2.0, 1.0),
    ],
)
def test_impossible_diodes_are_refused(make) -> None:
    with pytest.raises(ValueError, match=r"diode parameters|below 0 V|must rise"):
        make()
