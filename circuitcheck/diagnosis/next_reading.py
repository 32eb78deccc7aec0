"""The reading that is worth its effort most, and what each of its results would mean."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from circuitcheck.diagnosis.information import (
    FloatArray,
    best_value,
    expected_information_bit,
)
from circuitcheck.diagnosis.outcomes import BANDS
from circuitcheck.record import record

LEAST_BIT = 0.02
"""A reading that is expected to tell less is not asked for."""
LIKELY = 0.02
"""Results less likely than this are not spelt out."""


@record
class Choice:
    """A reading by its number, the information expected of it and its effort."""

    number: int
    information_bit: float
    effort_s: float


def information_of(weight: FloatArray, outcome: FloatArray, wrong_share: float) -> FloatArray:
    """Return the information of each reading about which group is the right one. [bit]

    `weight` (groups,), `outcome` P(outcome | group) (readings, groups, outcomes). A reading is
    taken wrongly in `wrong_share` of the cases and then shows any of its outcomes.
    """
    used = outcome.max(axis=1) > 0.0
    anything = used / np.maximum(used.sum(axis=1, keepdims=True), 1)
    rows = (1.0 - wrong_share) * outcome + wrong_share * anything[:, None, :]
    return expected_information_bit(weight, rows)


def choose(
    information_bit: FloatArray, effort_s: FloatArray, allowed: NDArray[np.bool_]
) -> Choice | None:
    """Return the allowed reading with the most information per effort.

    None where none is expected to tell LEAST_BIT.
    """
    useful = allowed & (information_bit >= LEAST_BIT)
    if not useful.any():
        return None
    number = best_value(np.where(useful, information_bit, -1.0), effort_s)
    return Choice(number, float(information_bit[number]), float(effort_s[number]))


@record
class Meaning:
    """One result of a reading: from `lower` to `upper` in its unit, how likely, and what follows.

    `groups` are the groups it would leave and their probabilities then, the likeliest first.
    """

    lower: float
    upper: float
    probability: float
    groups: tuple[tuple[int, float], ...]


def meanings(
    codes: NDArray[np.int8],
    shown: FloatArray,
    joint: FloatArray,
    group_of: NDArray[np.intp],
    *,
    is_observation: bool,
    most_groups: int = 3,
) -> tuple[Meaning, ...]:
    """Return what each result of one reading would mean, in order of its values.

    `codes` and `shown` are (causes, draws): the band and the value; `joint` their weights,
    `group_of` the group of each cause, -1 for those left out. Neighbouring bands that mean the
    same are joined.
    """
    groups = int(group_of.max()) + 1
    found: list[tuple[FloatArray, float, float]] = []
    kept = group_of >= 0
    for band in range(BANDS):
        hit = (codes == band) & kept[:, None]
        weight = np.where(hit, joint, 0.0)
        if weight.sum() < 1e-9:
            continue
        per_group = np.asarray(
            np.bincount(group_of[kept], weights=weight[kept].sum(axis=1), minlength=groups),
            dtype=float,
        )
        # the ends that carry weight, not one stray draw
        values, weights = shown[hit], weight[hit]
        order = np.argsort(values)
        running = np.cumsum(weights[order]) / weights.sum()
        lower = float(values[order][np.searchsorted(running, 0.01)])
        upper = float(values[order][min(np.searchsorted(running, 0.99), order.size - 1)])
        # the two answers of an observation stand for themselves
        ends = (float(band), float(band)) if is_observation else (lower, upper)
        found.append((per_group, *ends))
    found.sort(key=lambda one: one[1])
    joined: list[tuple[FloatArray, float, float]] = []
    for per_group, lower, upper in found:
        if joined and _same_sense(joined[-1][0], per_group):
            before = joined[-1]
            joined[-1] = (before[0] + per_group, min(before[1], lower), max(before[2], upper))
        else:
            joined.append((per_group, lower, upper))
    return tuple(
        Meaning(lower, upper, float(per_group.sum()), _leading(per_group, most_groups))
        for per_group, lower, upper in joined
        if per_group.sum() >= LIKELY
    )


def _same_sense(one: FloatArray, other: FloatArray) -> bool:
    """Whether two results leave the same likeliest groups."""
    first, second = one / one.sum(), other / other.sum()
    return float(0.5 * np.abs(first - second).sum()) < 0.3


def _leading(per_group: FloatArray, most: int) -> tuple[tuple[int, float], ...]:
    share = per_group / per_group.sum()
    order: Sequence[int] = np.argsort(-share, kind="stable")[:most].tolist()
    return tuple((g, float(share[g])) for g in order if share[g] >= 0.05)
