"""Uncertainty of a result from that of what it is worked out from."""

from __future__ import annotations

import math
from collections.abc import Sequence

from circuitcheck.formulas.batch import require_not_negative


def rectangular_standard(limit: float) -> float:
    """Standard uncertainty of a quantity that lies anywhere within plus or minus a limit.

        u = a / sqrt(3)

    Source: jcgm-100, 4.3.7.

    Parameters
    ----------
    limit : float
        Half width of the interval, 0 or more. [unit of the quantity]

    Returns
    -------
    float
        Standard uncertainty. [unit of the quantity]

    Raises
    ------
    ValueError
        The limit is negative.

    Examples
    --------
    >>> round(rectangular_standard(0.05), 3)
    0.029
    """
    require_not_negative("limit", limit)
    return limit / math.sqrt(3.0)


def combined_standard(
    sensitivities: Sequence[float],
    standards: Sequence[float],
    correlations: Sequence[Sequence[float]] | None = None,
) -> float:
    """Combined standard uncertainty of y = f(x1, x2, ...): the law of propagation.

        u^2(y) = sum over i, j of c_i c_j u_i u_j r_ij,   c_i = df/dx_i;   r_ij = 0 if independent

    Source: jcgm-100, 5.1.2 for independent quantities, 5.2.2 for correlated ones.

    Parameters
    ----------
    sensitivities : sequence
        Partial derivatives c_i. [unit of y per unit of x_i]
    standards : sequence, same length
        Standard uncertainties u_i, 0 or more. [unit of x_i]
    correlations : sequence of sequences, square, or None
        Coefficients r_ij, 1 on the diagonal; None for independent quantities. [1]

    Returns
    -------
    float
        Combined standard uncertainty. [unit of y]

    Raises
    ------
    ValueError
        Lengths differ, or an uncertainty is negative.

    Examples
    --------
    >>> combined_standard([1.0, -1.0], [0.3, 0.4])
    0.5
    >>> round(combined_standard([1.0, -1.0], [0.3, 0.3], [[1.0, 1.0], [1.0, 1.0]]), 9)
    0.0
    """
    for standard in standards:
        require_not_negative("standards", standard)
    parts = [c * u for c, u in zip(sensitivities, standards, strict=True)]
    if correlations is None:
        return math.hypot(*parts)
    square = sum(
        first * second * r
        for first, row in zip(parts, correlations, strict=True)
        for second, r in zip(parts, row, strict=True)
    )
    return math.sqrt(max(0.0, square))
