"""Branch and bound over meshed networks: exact where it closes, outer where it is cut short."""

from __future__ import annotations

import numpy as np
import pytest

from circuitcheck.model.tolerance_band import Band
from circuitcheck.solve.bounds.bound_search import CORNER_LIMIT
from circuitcheck.solve.bounds.bounds import Network, solve_bounds, solve_corner

ONE_VOLT = Band.exact(1.0)


def grid(rows: int, columns: int) -> tuple[Network, np.ndarray]:
    """A grid of resistors, source and reference in opposite corners; every branch is a bridge."""
    at = np.arange(rows * columns).reshape(rows, columns)
    pairs = np.concatenate(
        [
            np.stack([at[:, :-1].ravel(), at[:, 1:].ravel()], axis=1),
            np.stack([at[:-1].ravel(), at[1:].ravel()], axis=1),
        ]
    )
    network = Network(at.size, pairs[:, 0], pairs[:, 1], int(at[0, 0]), int(at[-1, -1]))
    return network, pairs


def every_corner(count: int) -> np.ndarray:
    return (np.arange(2**count)[None, :] >> np.arange(count)[:, None]) & 1


@pytest.mark.parametrize("spread", [1.2, 3.0])
def test_more_than_twelve_unsure_signs_against_every_corner(spread: float) -> None:
    # 4 x 3 grid, 17 branches: all 131,072 corners
    network, pairs = grid(4, 3)
    nominal = np.exp(np.random.default_rng(2).uniform(-1, 1, len(pairs)))
    probe = (5, 6)
    groups = network.groups(*probe)
    assert groups is not None
    assert len(groups) > 12
    assert CORNER_LIMIT <= 12
    ohms = np.where(
        every_corner(len(pairs)) == 1, nominal[:, None] * spread, nominal[:, None] / spread
    )
    across = 7  # a branch in the middle
    solution = solve_corner(network, ohms, 1.0)
    volts = solution.node_v[probe[0]] - solution.node_v[probe[1]]
    result = solve_bounds(
        network,
        nominal / spread,
        nominal,
        nominal * spread,
        ONE_VOLT,
        [probe],
        current_branches=[across],
    )
    # a narrow box leaves few signs open once the enclosure has settled the others
    assert result.voltage.method[0] == ("corners" if spread < 2 else "branch and bound")
    assert result.voltage.upper[0] == pytest.approx(volts.max(), rel=1e-9)
    assert result.voltage.lower[0] == pytest.approx(volts.min(), rel=1e-9)
    assert result.current.upper[0] == pytest.approx(solution.branch_a[across].max(), rel=1e-9)
    assert result.current.lower[0] == pytest.approx(solution.branch_a[across].min(), rel=1e-9)
    assert result.voltage.gap[0] <= 1e-10


def test_a_search_cut_short_is_outer_and_says_its_gap() -> None:
    network, pairs = grid(4, 4)
    nominal = np.exp(np.random.default_rng(3).uniform(-1, 1, len(pairs)))
    rows = (nominal / 3, nominal, nominal * 3)
    probes = [(5, 6), (9, 10)]
    full = solve_bounds(network, *rows, ONE_VOLT, probes, current_branches=[])
    cut = solve_bounds(network, *rows, ONE_VOLT, probes, current_branches=[], node_limit=1)
    assert (full.voltage.gap <= 1e-10).all()
    assert (cut.voltage.gap > 1e-3).all()
    assert (cut.voltage.upper >= full.voltage.upper - 1e-12).all()
    assert (cut.voltage.lower <= full.voltage.lower + 1e-12).all()
    assert (cut.voltage.upper - cut.voltage.gap <= full.voltage.upper + 1e-12).all()


def test_one_look_is_already_rigorous() -> None:
    # the enclosure alone (no splitting) against 20,000 random draws, for narrow and wide boxes
    rng = np.random.default_rng(4)
    network, pairs = grid(4, 4)
    for spread in (1.05, 1.3, 2.0):
        nominal = np.exp(rng.uniform(-1, 1, len(pairs)))
        rows = (nominal / spread, nominal, nominal * spread)
        found = solve_bounds(
            network, *rows, ONE_VOLT, [(5, 10), (6, 9)], current_branches=[10], node_limit=1
        )
        share = np.round(rng.random((len(pairs), 20000)))
        solution = solve_corner(network, rows[0][:, None] * spread ** (2 * share), 1.0)
        for k, (p, q) in enumerate([(5, 10), (6, 9)]):
            volts = solution.node_v[p] - solution.node_v[q]
            assert volts.max() <= found.voltage.upper[k] + 1e-12
            assert volts.min() >= found.voltage.lower[k] - 1e-12
        amps = solution.branch_a[10]
        assert found.current.lower[0] - 1e-12 <= amps.min()
        assert amps.max() <= found.current.upper[0] + 1e-12


def test_interval_arithmetic_encloses_the_bounds() -> None:
    # unbalanced bridge by determinants in mpmath intervals, 12 V, 1 ohm feed
    from mpmath import iv

    low = np.array([1.0, 2.0, 3.0, 4.0, 1.5, 6.0])
    high = low * 1.1
    network = Network(5, [1, 2, 2, 3, 4, 3], [2, 3, 4, 0, 0, 4], 1, 0)
    result = solve_bounds(
        network, low, low * 1.05, high, Band.exact(12.0), [(2, 0), (3, 0), (4, 0)]
    )
    g = [1 / iv.mpf([float(a), float(b)]) for a, b in zip(low, high, strict=True)]
    m = [
        [g[0] + g[1] + g[2], -g[1], -g[2]],
        [-g[1], g[1] + g[3] + g[5], -g[5]],
        [-g[2], -g[5], g[2] + g[4] + g[5]],
    ]

    def determinant(a: list) -> object:
        return (
            a[0][0] * (a[1][1] * a[2][2] - a[1][2] * a[2][1])
            - a[0][1] * (a[1][0] * a[2][2] - a[1][2] * a[2][0])
            + a[0][2] * (a[1][0] * a[2][1] - a[1][1] * a[2][0])
        )

    right = [12 * g[0], iv.mpf(0), iv.mpf(0)]
    for k in range(3):
        column = [[right[i] if j == k else m[i][j] for j in range(3)] for i in range(3)]
        enclosed = determinant(column) / determinant(m)
        assert float(enclosed.a) <= result.voltage.lower[k]
        assert result.voltage.upper[k] <= float(enclosed.b)
