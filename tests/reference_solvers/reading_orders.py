"""Orders of yes/no or many-outcome readings, by exhaustive search: the second method.

Causes are numbers 0..n-1 with weights; a reading is a tuple with the outcome that each cause
would give. An order ends where no reading is left that tells the causes apart. Nothing here
comes from the package: sets are bit masks, and the best is found by trying all.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cache

Readings = Sequence[Sequence[int]]
Chooser = Callable[[list[float], list[list[int]], list[float]], int]


def parts_of(mask: int, reading: Sequence[int]) -> list[int]:
    """Split a set of causes by the outcome of one reading."""
    parts: dict[int, int] = {}
    for cause, outcome in enumerate(reading):
        if mask >> cause & 1:
            parts[outcome] = parts.get(outcome, 0) | 1 << cause
    return list(parts.values())


def weight_of(mask: int, weights: Sequence[float]) -> float:
    return sum(w for cause, w in enumerate(weights) if mask >> cause & 1)


def least_mean_effort(
    weights: Sequence[float], readings: Readings, efforts: Sequence[float] | None = None
) -> float:
    """Mean effort of the best order of all, by dynamic programming over all sets of causes."""
    cost = efforts if efforts is not None else [1.0] * len(readings)

    @cache
    def least(mask: int) -> float:
        """Expected effort from here on, times the weight of the set."""
        best = None
        for number, reading in enumerate(readings):
            parts = parts_of(mask, reading)
            if len(parts) > 1:
                tried = cost[number] * weight_of(mask, weights) + sum(map(least, parts))
                best = tried if best is None else min(best, tried)
        return 0.0 if best is None else best

    return least((1 << len(weights)) - 1) / sum(weights)


def mean_effort_of(
    choose: Chooser,
    weights: Sequence[float],
    readings: Readings,
    efforts: Sequence[float] | None = None,
    weighed: Sequence[float] | None = None,
) -> float:
    """Mean effort where `choose` picks one of the readings that still tell causes apart.

    It is given the weights of the causes left, the outcomes they give at each such reading, and the
    efforts of these readings, or what stands in `weighed` for them.
    """
    cost = efforts if efforts is not None else [1.0] * len(readings)

    def follow(mask: int) -> float:
        left = [cause for cause in range(len(weights)) if mask >> cause & 1]
        useful = [k for k, one in enumerate(readings) if len(parts_of(mask, one)) > 1]
        if not useful:
            return 0.0
        picked = useful[
            choose(
                [weights[c] for c in left],
                [[readings[k][c] for c in left] for k in useful],
                [(weighed or cost)[k] for k in useful],
            )
        ]
        here = cost[picked] * weight_of(mask, weights)
        return here + sum(map(follow, parts_of(mask, readings[picked])))

    return follow((1 << len(weights)) - 1) / sum(weights)
