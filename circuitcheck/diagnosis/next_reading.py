"""The reading that is worth its effort most, and what each of its results would mean."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from circuitcheck.diagnosis.groups import Grouping
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
class Left:
    """A group that a result leaves, by its member that is likeliest then: the group's number and
    its probability then.
    """

    name: str
    group: int
    probability: float


@record
class Meaning:
    """One result of a reading: from `lower` to `upper` in its unit, how likely, and what follows.

    `groups` are the groups it would leave, the likeliest first.
    """

    lower: float
    upper: float
    probability: float
    groups: tuple[Left, ...]


@record
class _Result:
    """Neighbouring bands that mean the same: weights, ends that carry weight, bands."""

    per_cause: FloatArray
    per_group: FloatArray
    lower: float
    upper: float
    first: int
    last: int

    def joined_with(self, other: _Result) -> _Result:
        """Return this and the next result as one."""
        return _Result(
            self.per_cause + other.per_cause, self.per_group + other.per_group,
            min(self.lower, other.lower), max(self.upper, other.upper), self.first, other.last,
        )  # fmt: skip


def meanings(
    codes: NDArray[np.int8],
    shown: FloatArray,
    grouping: Grouping,
    between: FloatArray | None,
    *,
    is_observation: bool,
    most_groups: int = 3,
) -> tuple[Meaning, ...]:
    """Return what each result of one reading would mean, in order of its values.

    `codes` and `shown` are (causes, draws): the band and the value; `grouping` has their weights
    and the groups. Neighbouring bands that mean the same are joined. `between` are the values
    that part the bands, in the unit of the reading: no value lies in two results. None for
    answers in words, which stand for themselves; those of an observation are no and yes.
    """
    joined: list[_Result] = []
    for result in _results(codes, shown, grouping, is_observation):
        if joined and _same_sense(joined[-1].per_group, result.per_group):
            joined[-1] = joined[-1].joined_with(result)
        else:
            joined.append(result)
    likely = [result for result in joined if result.per_group.sum() >= LIKELY]
    ends = [(result.lower, result.upper) for result in likely]
    if between is not None:
        ends = _parted(likely, between)
    return tuple(
        Meaning(*pair, float(result.per_group.sum()), _leading(result, grouping, most_groups))
        for pair, result in zip(ends, likely, strict=True)
    )


def _results(
    codes: NDArray[np.int8],
    shown: FloatArray,
    grouping: Grouping,
    is_observation: bool,
) -> Iterator[_Result]:
    """Yield the bands that carry weight, from the lowest on."""
    group_of, count = grouping.of_every_cause, len(grouping.groups) + 1
    for band in range(BANDS):
        hit = codes == band
        weight = np.where(hit, grouping.joint, 0.0)
        if weight.sum() < 1e-9:
            continue
        per_cause = weight.sum(axis=1)
        per_group = np.bincount(group_of, weights=per_cause, minlength=count)
        # the ends that carry weight, not one stray draw
        values, weights = shown[hit], weight[hit]
        order = np.argsort(values)
        running = np.cumsum(weights[order]) / weights.sum()
        lower = float(values[order][np.searchsorted(running, 0.01)])
        upper = float(values[order][min(np.searchsorted(running, 0.99), order.size - 1)])
        ends = (float(band), float(band)) if is_observation else (lower, upper)
        yield _Result(per_cause, np.asarray(per_group, dtype=float), *ends, band, band)


def _parted(results: Sequence[_Result], between: FloatArray) -> list[tuple[float, float]]:
    """Return the ends of each result: neighbours meet at the value that parts their bands.

    Where results between them are too unlikely to be spelt out, they meet in their middle.
    """
    middle = [
        0.5 * float(between[one.last] + between[other.first - 1])
        for one, other in pairwise(results)
    ]
    if not results:
        return []
    lowest = min([results[0].lower, *middle[:1]])
    highest = max([results[-1].upper, *middle[-1:]])
    ends = [lowest, *middle, highest]
    return list(pairwise(ends))


def _same_sense(one: FloatArray, other: FloatArray) -> bool:
    """Whether two results leave the same likeliest groups."""
    first, second = one / one.sum(), other / other.sum()
    return float(0.5 * np.abs(first - second).sum()) < 0.3


def _leading(result: _Result, grouping: Grouping, most: int) -> tuple[Left, ...]:
    share = result.per_group / result.per_group.sum()
    order: Sequence[int] = np.argsort(-share, kind="stable")[:most].tolist()
    return tuple(
        Left(grouping.name_given(g, result.per_cause), g, float(share[g]))
        for g in order
        if share[g] >= 0.05
    )
