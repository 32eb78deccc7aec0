"""How long a fuse may take to clear a short, and how long it is sure to hold a current."""

from __future__ import annotations

import math
from collections.abc import Sequence

from circuitcheck.formulas.batch import require_above_zero
from circuitcheck.formulas.fuse_opening import opening_time_s


def clearing_time_s(
    current_a: float, rated_upper_a: float, percents: Sequence[float], max_s: Sequence[float]
) -> float:
    """Longest time a fuse may take to clear a fault current.

        log t is a straight line in log(100 I / I_rated) between listed points
        t = t_last * (percent_last / percent) ** 2 above the last point

    The curve of a fuse is hollow on these scales, so the straight line lies above it. Above the
    last point the melting I2t of a fuse can only fall as less heat leaves it, so constant I2t is
    an upper bound. Source: iso-8820-3 for the points; iec-60364-4-43 compares I2t below 0.1 s.

    Parameters
    ----------
    current_a : float
        Steady current. Above 0. [A]
    rated_upper_a : float
        Re-rated current at the coldest. Above 0. [A]
    percents, max_s : sequence, same length
        Listed points, percent rising; infinite where opening is not demanded. [%], [s]

    Returns
    -------
    float
        Time, infinite below the first point with a longest time. [s]

    Raises
    ------
    ValueError
        An argument outside the range above.

    Examples
    --------
    >>> round(clearing_time_s(120.0, 10.0, (135.0, 600.0), (1800.0, 0.1)), 3)
    0.025
    """
    require_above_zero("current_a", current_a)
    require_above_zero("rated_upper_a", rated_upper_a)
    percent = 100.0 * current_a / rated_upper_a
    if percent > percents[-1]:
        return max_s[-1] * (percents[-1] / percent) ** 2
    band = opening_time_s(current_a, rated_upper_a, rated_upper_a, percents, max_s, max_s)
    return band.slowest_s


def shortest_opening_s(
    current_a: float, rated_lower_a: float, percents: Sequence[float], min_s: Sequence[float]
) -> float:
    """Least time that a fuse is sure to hold a current, by the listed points alone.

        t = min_s at the lowest listed percent not below 100 I / I_rated, 0 above the last

    A fuse never opens earlier at a lower current, so no line between points is needed. Source:
    iso-8820-3.

    Parameters
    ----------
    current_a : float
        Steady current. 0 or more. [A]
    rated_lower_a : float
        Re-rated current at the hottest. Above 0. [A]
    percents, min_s : sequence, same length
        Listed points, percent rising. [%], [s]

    Returns
    -------
    float
        Time; 0 where nothing is listed any more. [s]

    Raises
    ------
    ValueError
        The rating is not above 0.

    Examples
    --------
    >>> shortest_opening_s(12.0, 10.0, (110.0, 135.0, 200.0), (360000.0, 0.75, 0.15))
    0.75
    """
    require_above_zero("rated_lower_a", rated_lower_a)
    percent = 100.0 * current_a / rated_lower_a
    held = [t for p, t in zip(percents, min_s, strict=True) if p >= percent]
    return held[0] if held else 0.0


def guaranteed_opening_a(
    rated_upper_a: float, percents: Sequence[float], max_s: Sequence[float]
) -> float:
    """Lowest current at which a fuse must open at all.

        I = I_rated * percent / 100 at the first listed point with a longest time

    Source: iso-8820-3. Arguments and errors as `clearing_time_s`.

    Examples
    --------
    >>> guaranteed_opening_a(10.0, (110.0, 135.0, 200.0), (float("inf"), 1800.0, 5.0))
    13.5
    """
    require_above_zero("rated_upper_a", rated_upper_a)
    first = next(p for p, t in zip(percents, max_s, strict=True) if math.isfinite(t))
    return rated_upper_a * first / 100.0
