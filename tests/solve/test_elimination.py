"""Star-mesh elimination against exact rationals, hand calculation and Kirchhoff's laws."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from reference_solvers import exact_rationals

from circuitcheck.solve.elimination.elimination import EliminationPlan

SOURCE, REFERENCE = 1, 0


@st.composite
def networks(draw: st.DrawFn) -> tuple[int, np.ndarray, np.ndarray]:
    """Any multigraph on 2..9 nodes, conductances over six decades."""
    n = draw(st.integers(2, 9))
    node = st.integers(0, n - 1)
    ends = draw(st.lists(st.tuples(node, node), min_size=1, max_size=20))
    exponents = draw(st.lists(st.floats(-3, 3), min_size=len(ends), max_size=len(ends)))
    return n, np.array(ends), 10.0 ** np.array(exponents)


@settings(max_examples=150, deadline=None)
@given(networks())
def test_currents_balance_at_every_node(network: tuple[int, np.ndarray, np.ndarray]) -> None:
    n, ends, g = network
    solution = EliminationPlan(n, ends[:, 0], ends[:, 1], (SOURCE, REFERENCE)).solve_all(g, 12.0)
    net = np.zeros(n)
    np.add.at(net, ends[:, 0], solution.branch_a)
    np.add.at(net, ends[:, 1], -solution.branch_a)
    inner = [k for k in range(n) if k not in (SOURCE, REFERENCE)]
    assert np.all(np.abs(net[inner]) <= 1e-12 * max(1e-9, np.abs(solution.branch_a).max()))
    assert net[SOURCE] == pytest.approx(-net[REFERENCE], rel=1e-11, abs=1e-12)
    known = solution.node_v[~np.isnan(solution.node_v)]
    assert known.min() >= 0.0
    assert known.max() <= 12.0 * (1 + 1e-15)  # rounding of a weighted mean


@settings(max_examples=60, deadline=None)
@given(networks())
def test_a_batch_is_its_points_one_by_one(network: tuple[int, np.ndarray, np.ndarray]) -> None:
    n, ends, g = network
    plan = EliminationPlan(n, ends[:, 0], ends[:, 1], (SOURCE, REFERENCE))
    batch = np.stack([g, 2.0 * g, g[::-1]], axis=1)
    together = plan.solve_all(batch, np.array([12.0, 24.0, 9.0]))
    for k, volts in enumerate((12.0, 24.0, 9.0)):
        alone = plan.solve_all(batch[:, k], volts)
        np.testing.assert_array_equal(together.node_v[:, k], alone.node_v)
        np.testing.assert_array_equal(together.branch_a[:, k], alone.branch_a)


@settings(max_examples=60, deadline=None)
@given(networks())
def test_floating_is_what_no_branch_joins(network: tuple[int, np.ndarray, np.ndarray]) -> None:
    n, ends, g = network
    plan = EliminationPlan(n, ends[:, 0], ends[:, 1], (SOURCE, REFERENCE))
    joined = {SOURCE, REFERENCE}
    for _ in range(n):
        joined |= {int(v) for pair in ends for v in pair if set(map(int, pair)) & joined}
    expected = [k not in joined for k in range(n)]
    assert plan.floating.tolist() == expected
    assert np.isnan(plan.solve(g)).tolist() == expected


def test_voltage_and_drop_keep_their_digits_over_twelve_decades() -> None:
    # a bridge with 1 microohm contacts beside 1 megohm leaks, against exact rationals
    ends = [(1, 2), (2, 3), (3, 4), (2, 5), (3, 5), (4, 0), (5, 0), (4, 5)]
    ohms = [
        Fraction(1, 10**6),
        Fraction(7),
        Fraction(1, 10**6),
        Fraction(10**6),
        Fraction(3 * 10**6),
    ]
    ohms += [Fraction(5), Fraction(2, 10**6), Fraction(10**6)]
    exact = exact_rationals.node_voltages(6, ends, ohms, 1, 0, Fraction(12))
    plan = EliminationPlan(6, [u for u, _ in ends], [v for _, v in ends], (1, 0))
    solution = plan.solve_all(np.array([1 / float(r) for r in ohms]), 12.0)
    for k in range(6):
        assert solution.node_v[k] == pytest.approx(float(exact[k]), rel=1e-13)
    for i, (u, v) in enumerate(ends):
        drop = exact[u] - exact[v]
        assert solution.branch_v[i] == pytest.approx(float(drop), rel=1e-10)
        assert solution.branch_a[i] == pytest.approx(float(drop / ohms[i]), rel=1e-10)


def test_ladder_solved_by_lcapy() -> None:
    # lcapy 1.26 on 12 V, 0.05 ohm, 24 ohm to return, 0.1 ohm, 10 ohm to return
    plan = EliminationPlan(4, [1, 2, 2, 3], [2, 0, 3, 0], (1, 0))
    volts = plan.solve(1.0 / np.array([0.05, 24.0, 0.1, 10.0]), 12.0)
    assert volts[2] == pytest.approx(11.916184, abs=5e-7)
    assert volts[3] == pytest.approx(11.798202, abs=5e-7)


def test_one_sided_nodes_take_the_voltage_they_hang_on() -> None:
    plan = EliminationPlan(6, [1, 2, 0, 4], [2, 3, 4, 4], (1, 0))
    volts = plan.solve(np.ones(4), 12.0)
    assert volts[[2, 3]].tolist() == [12.0, 12.0]
    assert volts[4] == 0.0
    assert np.isnan(volts[5])
    assert plan.floating.tolist() == [False] * 5 + [True]


def test_an_open_branch_leaves_its_far_side_floating() -> None:
    plan = EliminationPlan(4, [1, 2, 3], [2, 3, 2], (1, 0))
    solution = plan.solve_all(np.array([[1.0], [0.0], [0.0]]), 12.0)
    assert solution.node_v[2, 0] == 12.0
    assert np.isnan(solution.node_v[3, 0])
    assert np.isnan(solution.branch_v[1, 0])
    assert solution.branch_a[:, 0].tolist() == [0.0, 0.0, 0.0]


def test_injected_current_through_a_divider() -> None:
    # 2 A into the middle of 3 ohm and 6 ohm, source shorted: 2 A x 2 ohm
    plan = EliminationPlan(3, [1, 2], [2, 0], (1, 0))
    feed = np.array([0.0, 0.0, 2.0])
    solution = plan.solve_all(np.array([1 / 3, 1 / 6]), 0.0, feed)
    assert solution.node_v[2] == pytest.approx(4.0, rel=1e-15)
    assert solution.branch_a == pytest.approx([-4 / 3, 4 / 6], rel=1e-15)


def test_transfer_is_the_derivative_by_each_resistance() -> None:
    # d(Vp - Vq)/dR_i = I_i T_i, against a difference quotient in exact rationals
    ends = [(1, 2), (2, 3), (3, 0), (2, 4), (4, 0), (3, 4)]
    ohms = [Fraction(1), Fraction(2), Fraction(3), Fraction(5), Fraction(1), Fraction(4)]
    plan = EliminationPlan(5, [u for u, _ in ends], [v for _, v in ends], (1, 0))
    g = np.array([1 / float(r) for r in ohms])
    slope = plan.solve_all(g).branch_a * plan.transfer(g, [(3, 4)])[:, 0]
    step = Fraction(1, 10**9)
    for i in range(len(ends)):
        above, below = list(ohms), list(ohms)
        above[i], below[i] = ohms[i] + step, ohms[i] - step
        v1 = exact_rationals.node_voltages(5, ends, above, 1, 0)
        v0 = exact_rationals.node_voltages(5, ends, below, 1, 0)
        quotient = ((v1[3] - v1[4]) - (v0[3] - v0[4])) / (2 * step)
        assert slope[i] == pytest.approx(float(quotient), rel=1e-12)


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ((3, [0, 5], [1, 2], (1, 0)), "must lie in 0..2"),
        ((3, [0], [1, 2], (1, 0)), "differ in number"),
        ((3, [0], [1], (1, 1)), "not all different"),
    ],
)
def test_wrong_shapes_are_refused(arguments: tuple, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        EliminationPlan(*arguments)


@pytest.mark.parametrize("conductance", [[-1.0], [np.inf], [np.nan]])
def test_wrong_conductances_are_refused(conductance: list[float]) -> None:
    with pytest.raises(ValueError, match="finite and 0 or more"):
        EliminationPlan(2, [1], [0], (1, 0)).solve(conductance)
