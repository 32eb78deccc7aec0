"""When a fuse opens: both edges of its opening-time band, re-rated for the air around it."""

from __future__ import annotations

import math
from collections.abc import Sequence

from circuitcheck.formulas.batch import require_above_zero, require_between
from circuitcheck.record import record


@record
class OpeningTime:
    """Fastest and slowest opening; `slowest_s` is infinite where opening is not demanded.

    `remark` says in words where an edge is not read between two listed points.
    """

    fastest_s: float
    slowest_s: float
    remark: str = ""


def rerated_a(
    rated_a: float, temperature_c: float, points_c: Sequence[float], factors: Sequence[float]
) -> float:
    """Current a fuse is worth in air of a temperature.

        I = I_rated * factor(T), straight lines between the listed points

    Source: blade-fuse-data-sheet. A cold fuse opens later, a hot one earlier: use both ends of
    the ambient range.

    Parameters
    ----------
    rated_a : float
        Rated current at 25 degC. Above 0. [A]
    temperature_c : float
        Air around the fuse, inside the listed points. [degC]
    points_c, factors : sequence, same length
        Listed temperatures, rising, and factors. [degC], [1]

    Returns
    -------
    float
        Re-rated current. [A]

    Raises
    ------
    ValueError
        Temperature outside the listed points, or an argument outside the range above.

    Examples
    --------
    >>> rerated_a(10.0, 60.0, (25.0, 60.0, 85.0), (1.0, 0.95, 0.9))
    9.5
    """
    require_above_zero("rated_a", rated_a)
    require_between("temperature_c", temperature_c, points_c[0], points_c[-1])
    for left in range(len(points_c) - 1):
        t0, t1 = points_c[left], points_c[left + 1]
        if temperature_c <= t1:
            share = (temperature_c - t0) / (t1 - t0)
            return rated_a * (factors[left] + share * (factors[left + 1] - factors[left]))
    return rated_a * factors[-1]


def opening_time_s(
    current_a: float,
    rated_lower_a: float,
    rated_upper_a: float,
    percents: Sequence[float],
    min_s: Sequence[float],
    max_s: Sequence[float],
) -> OpeningTime:
    """Fastest and slowest opening of a fuse at a steady current.

        log t is a straight line in log(100 I / I_rated) between listed points

    The fastest edge uses the lowest rating (hot fuse), the slowest the highest (cold fuse).
    Below the first point with a longest time a fuse is not guaranteed to open. Above the last
    point the slowest edge stays at its last value, which is an upper bound, and the fastest
    falls with constant I2t. Source: iso-8820-3 lists points only; the straight lines are the
    custom of data sheets. `longest_opening_s` gives what the points alone guarantee.

    Parameters
    ----------
    current_a : float
        Steady current. Above 0. [A]
    rated_lower_a, rated_upper_a : float
        Re-rated current at the hottest and at the coldest. Above 0. [A]
    percents, min_s, max_s : sequence, same length
        Listed points, percent rising; `max_s` infinite where opening is not demanded. [%], [s]

    Returns
    -------
    OpeningTime
        Both edges and a remark.

    Raises
    ------
    ValueError
        An argument outside the range above.

    Examples
    --------
    >>> band = ((135.0, 200.0, 350.0), (0.75, 0.15, 0.04), (1800.0, 5.0, 0.5))
    >>> opening_time_s(20.0, 10.0, 10.0, *band)
    OpeningTime(fastest_s=0.15, slowest_s=5.0, remark='')
    """
    _require_ratings(current_a, rated_lower_a, rated_upper_a)
    remarks = []
    fast_percent, slow_percent = (
        100.0 * current_a / rated_lower_a,
        100.0 * current_a / rated_upper_a,
    )
    if fast_percent > percents[-1]:
        fastest = min_s[-1] * (percents[-1] / fast_percent) ** 2
        remarks.append(f"above {percents[-1]:g} %: fastest edge by constant I2t")
    elif fast_percent <= percents[0]:
        fastest = min_s[0]
    else:
        fastest = _log_log(fast_percent, percents, min_s)
    first = next(i for i, longest in enumerate(max_s) if math.isfinite(longest))
    if slow_percent < percents[first]:
        slowest = math.inf
        remarks.append(f"not guaranteed to open below {percents[first]:g} % of its rating")
    elif slow_percent > percents[-1]:
        slowest = max_s[-1]
        remarks.append(f"above {percents[-1]:g} %: slowest edge held at its value there")
    else:
        slowest = _log_log(slow_percent, percents[first:], max_s[first:])
    return OpeningTime(fastest, slowest, "; ".join(remarks))


def longest_opening_s(
    current_a: float, rated_upper_a: float, percents: Sequence[float], max_s: Sequence[float]
) -> float:
    """Longest opening time the listed points alone guarantee.

        t = max_s at the highest listed percent not above 100 I / I_rated

    A fuse never opens later at a higher current, so no line between points is needed. Source:
    iso-8820-3. Arguments and errors as `opening_time_s`; infinite below the first point.

    Examples
    --------
    >>> longest_opening_s(30.0, 10.0, (135.0, 200.0, 350.0), (1800.0, 5.0, 0.5))
    5.0
    """
    _require_ratings(current_a, rated_upper_a, rated_upper_a)
    percent = 100.0 * current_a / rated_upper_a
    reached = [t for p, t in zip(percents, max_s, strict=True) if p <= percent]
    return reached[-1] if reached else math.inf


def _require_ratings(current_a: float, rated_lower_a: float, rated_upper_a: float) -> None:
    require_above_zero("current_a", current_a)
    require_above_zero("rated_lower_a", rated_lower_a)
    if rated_upper_a < rated_lower_a:
        raise ValueError(f"rated_upper_a: got {rated_upper_a:g}, below {rated_lower_a:g}")


def _log_log(percent: float, percents: Sequence[float], times_s: Sequence[float]) -> float:
    for i in range(len(percents) - 1):
        if percent == percents[i]:
            return times_s[i]
        if percent < percents[i + 1]:
            share = math.log(percent / percents[i]) / math.log(percents[i + 1] / percents[i])
            return times_s[i] * math.pow(times_s[i + 1] / times_s[i], share)
    return times_s[-1]
