"""Certified bounds against every corner in exact rationals, random draws and hand calculation."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from reference_solvers import exact_rationals
from reference_solvers.plain_circuit import random_harness

from circuitcheck.model.tolerance_band import Band
from circuitcheck.solve.bounds.bounds import (
    BoundSet,
    BoundsResult,
    Network,
    solve_bounds,
    solve_corner,
)

ONE_VOLT = Band.exact(1.0)
# small circuits, source node 1, reference node 0: name, nodes, branches
SMALL = {
    "one loop": (5, [(1, 2), (2, 3), (3, 4), (4, 0)]),
    "two coils on one return": (6, [(1, 2), (2, 3), (3, 4), (2, 5), (5, 4), (4, 0), (2, 4)]),
    "ladder": (6, [(1, 2), (2, 0), (2, 3), (3, 0), (3, 4), (4, 0), (4, 5), (5, 0)]),
    "bridge": (5, [(1, 2), (2, 3), (2, 4), (3, 0), (4, 0), (3, 4)]),
    "two earth paths and a link": (
        6,
        [(1, 2), (2, 3), (2, 4), (3, 5), (4, 5), (5, 0), (3, 0), (3, 4)],
    ),
    "bridge beyond a bridge": (
        6,
        [(1, 2), (1, 3), (2, 3), (2, 4), (3, 5), (4, 5), (4, 0), (5, 0), (3, 4)],
    ),
}


def small_network(name: str) -> tuple[Network, int, list[tuple[int, int]]]:
    n, ends = SMALL[name]
    return Network(n, [u for u, _ in ends], [v for _, v in ends], 1, 0), n, ends


def assert_touched(
    found: BoundSet, exact: list[tuple[Fraction, Fraction]], rounding: float
) -> None:
    """Each bound is an exact corner value to 1e-9, and reported as attained."""
    for k, (least, most) in enumerate(exact):
        assert found.lower[k] == pytest.approx(float(least), rel=1e-9, abs=rounding)
        assert found.upper[k] == pytest.approx(float(most), rel=1e-9, abs=rounding)
    assert (found.gap == 0.0).all()


@pytest.mark.parametrize(("spread", "decades"), [(0.1, 1), (4.0, 1), (4.0, 6)])
@pytest.mark.parametrize("name", SMALL)
def test_every_bound_is_touched_by_a_corner_in_exact_rationals(
    name: str, spread: float, decades: int
) -> None:
    # decades 6: from a microohm contact to a megohm leak in one circuit
    network, n, ends = small_network(name)
    rng = np.random.default_rng(len(name))
    nominal = [Fraction(float(x)) for x in 10 ** rng.uniform(-decades, decades, len(ends))]
    spread = Fraction(spread)
    lower = [r / (1 + spread) for r in nominal]
    upper = [r * (1 + spread) for r in nominal]
    probes = [(p, q) for p in range(n) for q in range(p)]
    volts, amps = exact_rationals.corner_extremes(n, ends, lower, upper, probes)
    rows = ([float(r) for r in side] for side in (lower, nominal, upper))
    result = solve_bounds(network, *rows, ONE_VOLT, probes)
    # the voltage between two nodes is a difference of two of up to 1 V
    assert_touched(result.voltage, volts, 1e-15)
    assert_touched(result.current, amps, 1e-22)


def test_a_bridge_balanced_at_nominal_has_both_signs() -> None:
    # 1, 1, 1, 1 ohm arms, 1 ohm across: nothing flows across at nominal; by symmetry the
    # extremes are equal and opposite: arms at 0.9 and 1.1, across at 0.9 for the current
    network = Network(4, [1, 1, 2, 3, 2], [2, 3, 0, 0, 3], 1, 0)
    nominal = np.ones(5)
    result = solve_bounds(
        network, 0.9 * nominal, nominal, 1.1 * nominal, Band.exact(12.0), [(2, 3)]
    )
    assert result.current.nominal[4] == pytest.approx(0.0, abs=1e-15)
    assert result.current.upper[4] == pytest.approx(-result.current.lower[4], rel=1e-12)
    # open-circuit 12 (1.1 - 0.9) / 2 = 1.2 V behind 2 x 0.9 x 1.1 / 2 = 0.99 ohm
    assert result.current.upper[4] == pytest.approx(1.2 / (0.99 + 0.9), rel=1e-12)
    assert result.voltage.upper[0] == pytest.approx(1.2 * 1.1 / (0.99 + 1.1), rel=1e-12)


def test_source_voltage_stands_at_the_end_that_the_sign_asks_for() -> None:
    network = Network(3, [1, 2], [2, 0], 1, 0)
    result = solve_bounds(network, [1, 1], [1, 1], [1, 1], Band(10, 12, 14), [(2, 0), (0, 2)])
    assert result.voltage.lower.tolist() == [5.0, -7.0]
    assert result.voltage.upper.tolist() == [7.0, -5.0]
    assert result.voltage.source_lower_v.tolist() == [10.0, 14.0]
    assert result.voltage.nominal.tolist() == [6.0, -6.0]


def drawn_stay_inside(network: Network, result: BoundsResult, draws: int, seed: int) -> None:
    """Draw resistances: half uniform in the box, half at random corners of it."""
    rng = np.random.default_rng(seed)
    box = result.box
    share = rng.random((len(box.lower), draws))
    share[:, ::2] = np.round(share[:, ::2])
    ohms = box.lower[:, None] + share * (box.upper - box.lower)[:, None]
    solution = solve_corner(network, ohms, 12.0)
    probes = np.array([(k, 0) for k in range(network.plan.n_nodes)])
    volts = solution.node_v[probes[:, 0]] - solution.node_v[probes[:, 1]]
    rounding = 1e-12 * 12.0
    assert (volts >= result.voltage.lower[:, None] - rounding).all()
    assert (volts <= result.voltage.upper[:, None] + rounding).all()
    limit = 1e-10 * np.abs(solution.branch_a).max(axis=1, keepdims=True)
    assert (solution.branch_a >= result.current.lower[:, None] - limit).all()
    assert (solution.branch_a <= result.current.upper[:, None] + limit).all()


@pytest.mark.parametrize("kind", ["series", "parallel", "bridge"])
def test_a_hundred_thousand_draws_never_leave_the_bounds(kind: str) -> None:
    # 3 kinds x 5 harnesses x 7,000 draws = 105,000
    rng = np.random.default_rng(5)
    for number in range(5):
        circuit = random_harness(kind, rng)
        ends, nominal = circuit.ends, circuit.ohms
        network = Network(circuit.n_nodes, ends[:, 0], ends[:, 1], 1, 0)
        wide = rng.uniform(1.05, 3.0, nominal.size)
        probes = [(k, 0) for k in range(circuit.n_nodes)]
        result = solve_bounds(
            network, nominal / wide, nominal, nominal * wide, Band.exact(12.0), probes
        )
        drawn_stay_inside(network, result, 7000, number)


@pytest.mark.parametrize("seed", range(12))
def test_signs_hold_over_twelve_decades(seed: int) -> None:
    # random series-parallel networks with a bridge in every second one
    rng = np.random.default_rng(seed)
    ends, n = [(1, 0)], 2
    for _ in range(30):
        place = int(rng.integers(len(ends)))
        u, v = ends[place]
        if rng.random() < 0.6:
            ends[place] = (u, n)
            ends.append((n, v))
            n += 1
        else:
            ends.append((u, v))
    if seed % 2:
        ends.append((int(rng.integers(2, n)), int(rng.integers(2, n))))
    pairs = np.array(ends)
    network = Network(n, pairs[:, 0], pairs[:, 1], 1, 0)
    nominal = 10 ** rng.uniform(-6, 6, len(ends))
    probes = [(k, 0) for k in range(n)]
    result = solve_bounds(network, nominal / 9, nominal, nominal * 9, Band.exact(12.0), probes)
    drawn_stay_inside(network, result, 1000, seed)


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 2**32 - 1), st.floats(1.0, 1.5), st.floats(1.0, 3.0))
def test_a_wider_box_never_narrows_a_bound(seed: int, narrow: float, more: float) -> None:
    rng = np.random.default_rng(seed)
    circuit = random_harness("bridge", rng)
    network = Network(circuit.n_nodes, circuit.ends[:, 0], circuit.ends[:, 1], 1, 0)
    r = circuit.ohms
    probes = [(k, 0) for k in range(circuit.n_nodes)]
    one = solve_bounds(network, r / narrow, r, r * narrow, ONE_VOLT, probes)
    wide = narrow * more
    two = solve_bounds(network, r / wide, r, r * wide, ONE_VOLT, probes)
    for a, b in ((one.voltage, two.voltage), (one.current, two.current)):
        rounding = 1e-11 * np.maximum(np.abs(b.lower), np.abs(b.upper))
        assert (b.lower <= a.lower + rounding).all()
        assert (b.upper >= a.upper - rounding).all()
        assert (a.lower <= a.nominal + rounding).all()
        assert (a.nominal <= a.upper + rounding).all()


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 2**32 - 1))
def test_the_corner_reported_gives_the_bound(seed: int) -> None:
    rng = np.random.default_rng(seed)
    circuit = random_harness("bridge", rng)
    network = Network(circuit.n_nodes, circuit.ends[:, 0], circuit.ends[:, 1], 1, 0)
    r = circuit.ohms
    probes = [(2, 0), (circuit.n_nodes - 1, 1)]
    found = solve_bounds(network, r / 2, r, r * 2, Band(10, 12, 14), probes)
    at = found.resistance_at(found.voltage.corner_upper)
    again = solve_corner(network, at, found.voltage.source_upper_v)
    for k, (p, q) in enumerate(probes):
        volts = again.node_v[p, k] - again.node_v[q, k]
        assert volts == pytest.approx(found.voltage.upper[k], rel=1e-11, abs=1e-13)


def test_current_and_voltage_of_a_coil_peak_at_different_corners() -> None:
    # 12 V, 1 ohm feed, coil 5..7: most current at 5, most voltage at 7 ohm
    network = Network(3, [1, 2], [2, 0], 1, 0)
    result = solve_bounds(network, [1, 5], [1, 6], [1, 7], Band.exact(12.0), [(2, 0)])
    assert result.current.upper[1] == pytest.approx(12 / 6, rel=1e-15)
    assert result.voltage.upper[0] == pytest.approx(12 * 7 / 8, rel=1e-15)
    assert result.current.corner_upper[1, 1] == -1
    assert result.voltage.corner_upper[1, 0] == 1


def test_nothing_flows_where_nothing_is_joined() -> None:
    network = Network(5, [1, 2, 3], [2, 0, 4], 1, 0)
    result = solve_bounds(network, [1] * 3, [1] * 3, [2] * 3, ONE_VOLT, [(3, 0), (2, 0)])
    assert result.voltage.method == ("floating", "series-parallel")
    assert np.isnan(result.voltage.lower[0])
    assert (result.current.lower[2], result.current.upper[2]) == (0.0, 0.0)


@pytest.mark.parametrize(
    ("lower", "upper", "words"),
    [
        ([0.0, 1.0], [1.0, 1.0], "branch 0"),
        ([1.0, 2.0], [1.0, 1.5], "branch 1"),
        ([1.0, 1.0], [np.inf, 1.0], "branch 0"),
    ],
)
def test_wrong_resistances_are_refused(lower: list[float], upper: list[float], words: str) -> None:
    network = Network(3, [1, 2], [2, 0], 1, 0)
    with pytest.raises(ValueError, match=words):
        solve_bounds(network, lower, lower, upper, ONE_VOLT, [])
    with pytest.raises(ValueError, match="below 0"):
        solve_bounds(network, [1, 1], [1, 1], [1, 1], Band(-1, 1, 1), [])
