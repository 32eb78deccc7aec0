"""Largest weighted sum of amounts that are not negative and fit under given limits."""

from __future__ import annotations

import numpy as np

from circuitcheck.transient.waveform import FloatArray

TINY = 1e-11
MOST_STEPS = 5_000
GREEDY_STEPS = 500
"""Steps up to which the steepest column enters; then the first, which cannot go in circles."""


def largest_sum(
    weights: FloatArray, shares: FloatArray, limits: FloatArray
) -> tuple[float, FloatArray, FloatArray]:
    """Return the largest weighted sum, the amounts that reach it and the price of each limit.

        max w x  where  S x <= b, x >= 0

    Solved by the simplex method from x = 0, which fits because no limit is below 0. The prices y
    solve the same the other way round: min b y where y S >= w, y >= 0.

    Parameters
    ----------
    weights : array, shape (n,)
    shares : array, shape (m, n)
    limits : array, shape (m,), 0 or more

    Returns
    -------
    tuple
        The sum, amounts (n,), prices (m,).

    Raises
    ------
    ValueError
        A limit below 0, or a sum without end.
    """
    rows, columns = shares.shape
    if np.any(limits < 0.0):
        raise ValueError(f"limits: got {limits.min():g}, must be 0 or more")
    table = np.zeros((rows + 1, columns + rows + 1))
    table[:rows, :columns], table[:rows, -1] = shares, limits
    table[:rows, columns:-1] = np.eye(rows)
    table[rows, :columns] = -weights
    basis = np.arange(columns, columns + rows)
    for step in range(MOST_STEPS):
        column = _entering(table[rows, :-1], greedy=step < GREEDY_STEPS)
        if column is None:
            amounts = np.zeros(columns + rows)
            amounts[basis] = table[:rows, -1]
            return float(table[rows, -1]), amounts[:columns], table[rows, columns:-1]
        row = _leaving(table[:rows, column], table[:rows, -1], basis)
        table[row] /= table[row, column]
        others = table[:, column].copy()
        others[row] = 0.0
        table -= np.outer(others, table[row])
        basis[row] = column
    raise ValueError(f"no largest sum found in {MOST_STEPS} steps")


def _entering(costs: FloatArray, *, greedy: bool) -> int | None:
    """Return the column that raises the sum, None where none does."""
    if greedy:
        steepest = int(np.argmin(costs))
        return steepest if costs[steepest] < -TINY else None
    rising = np.flatnonzero(costs < -TINY)
    return int(rising[0]) if rising.size else None


def _leaving(column: FloatArray, left: FloatArray, basis: FloatArray) -> int:
    """Return the row whose limit is reached first, of equals the one of the first column."""
    taking = column > TINY
    if not np.any(taking):
        raise ValueError("the sum has no end: a column is held by no limit")
    steps = np.full(column.size, np.inf)
    steps[taking] = np.maximum(left[taking], 0.0) / column[taking]
    equal = np.flatnonzero(steps <= steps.min() * (1.0 + 1e-12))
    return int(equal[np.argmin(basis[equal])])
