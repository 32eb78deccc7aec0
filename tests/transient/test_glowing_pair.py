"""The rates written out for two filaments against those of any number: a second way to the same."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from circuitcheck.transient.switching_on.filament import Filaments
from circuitcheck.transient.switching_on.glowing_pair import lone_pair_rates, pair_rates
from circuitcheck.transient.switching_on.glowing_rates import any_rates, solved_rows

OHM = st.floats(0.01, 5.0)


@given(st.tuples(OHM, OHM, OHM), OHM, st.floats(-1.0, 4.0), st.floats(0.05, 1.2), OHM)
def test_same_as_solved_with_a_matrix(
    own: tuple[float, float, float], shared: float, amps: float, warmth: float, coil_ohm: float
) -> None:
    matrix = np.full((3, 3), shared) + np.diag(own)
    driven = np.array([13.0, 12.5, 12.8])
    pair = Filaments(
        np.array([7.0, 29.0]), np.array([21.0, 5.0]), np.array([10.0, 12.0]),
        np.array([0.55, 0.54]), 0.05,
    )  # fmt: skip
    glow = np.array([warmth, 0.9])
    found = pair_rates(driven, matrix, coil_ohm, 0.06, pair)(0.0, np.array([amps, *glow]))
    looped = any_rates(driven, matrix, np.array([coil_ohm]), np.array([0.06]), pair)
    ohms = pair.resistance_ohm(glow)
    lit_a = np.linalg.solve(matrix[1:, 1:] + np.diag(ohms), driven[1:] - matrix[1:, 0] * amps)
    rise = (driven[0] - matrix[0] @ [amps, *lit_a] - coil_ohm * amps) / 0.06
    np.testing.assert_allclose(found[0], rise, rtol=1e-9, atol=1e-9)
    np.testing.assert_allclose(
        found[1:], pair.rate_per_s(glow, lit_a**2 * ohms), rtol=1e-9, atol=1e-9
    )
    np.testing.assert_allclose(looped(0.0, np.array([amps, *glow])), found, rtol=1e-9, atol=1e-9)


@given(st.tuples(OHM, OHM), OHM, st.floats(0.05, 1.2))
def test_lamps_alone_as_solved_with_a_matrix(
    own: tuple[float, float], shared: float, warmth: float
) -> None:
    matrix = np.full((2, 2), shared) + np.diag(own)
    driven = np.array([12.5, 12.8])
    pair = Filaments(
        np.array([7.0, 29.0]), np.array([21.0, 5.0]), np.array([10.0, 12.0]),
        np.array([0.55, 0.54]), 0.05,
    )  # fmt: skip
    glow = np.array([warmth, 0.9])
    ohms = pair.resistance_ohm(glow)
    lit_a = np.linalg.solve(matrix + np.diag(ohms), driven)
    found = lone_pair_rates(driven, matrix, pair)(0.0, glow)
    np.testing.assert_allclose(found, pair.rate_per_s(glow, lit_a**2 * ohms), rtol=1e-9, atol=1e-9)


@given(st.lists(st.floats(1.0, 9.0), min_size=3, max_size=3), st.floats(-1.0, 1.0))
def test_small_systems_as_solved_by_numpy(own: list[float], shared: float) -> None:
    matrix = np.full((3, 3), shared / 4.0) + np.diag(own)
    right = np.array([1.0, -2.0, 3.0])
    expected = np.linalg.solve(matrix, right)
    np.testing.assert_allclose(solved_rows(matrix.tolist(), right.tolist()), expected, rtol=1e-9)
    rows = [[np.array([value, value]) for value in row] for row in matrix.tolist()]
    found = solved_rows(rows, [np.array([value, 2.0 * value]) for value in right.tolist()])
    np.testing.assert_allclose(found, np.stack([expected, 2.0 * expected], axis=1), rtol=1e-9)
