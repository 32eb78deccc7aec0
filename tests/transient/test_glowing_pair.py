"""The rates written out for two filaments against those of any number: a second way to the same."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from circuitcheck.transient.filament import Filaments
from circuitcheck.transient.glowing_pair import pair_rates

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
    ohms = pair.resistance_ohm(glow)
    lit_a = np.linalg.solve(matrix[1:, 1:] + np.diag(ohms), driven[1:] - matrix[1:, 0] * amps)
    rise = (driven[0] - matrix[0] @ [amps, *lit_a] - coil_ohm * amps) / 0.06
    np.testing.assert_allclose(found[0], rise, rtol=1e-9, atol=1e-9)
    np.testing.assert_allclose(
        found[1:], pair.rate_per_s(glow, lit_a**2 * ohms), rtol=1e-9, atol=1e-9
    )
