"""Groups of causes: what no reading left tells apart, and what one and the same repair ends."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from circuitcheck.diagnosis.causes import Cause
from circuitcheck.diagnosis.information import FloatArray
from circuitcheck.record import record

TOLD_APART = 0.5
"""Two causes are told apart by a reading whose outcomes differ in at least half of the cases."""
LEAST_PROBABILITY = 0.01
"""Causes less likely than this are not grouped and not asked after."""


def difference(outcome: FloatArray, one: int, other: int) -> FloatArray:
    """Return how far two causes differ at each reading: half the sum |P - Q|, (readings,).

    0 where the outcomes are alike, 1 where one outcome is enough to tell (total variation).
    """
    return np.asarray(0.5 * np.abs(outcome[:, one] - outcome[:, other]).sum(axis=1))


def group_numbers(
    probability: FloatArray, outcome: FloatArray, repairs: Sequence[str], least: float
) -> NDArray[np.intp]:
    """Return the group of each label, -1 for labels below `least`.

    A group is made round its likeliest label: what no reading tells from that, and what is put
    right by the same repair. `outcome` is P(outcome | label), (readings, labels, outcomes).
    Groups are numbered by their probability, the likeliest 0.
    """
    group = np.full(probability.size, -1, dtype=np.intp)
    count = 0
    for leader in np.argsort(-probability, kind="stable").tolist():
        if group[leader] >= 0 or probability[leader] < least:
            continue
        group[leader] = count
        for other in np.flatnonzero((group < 0) & (probability >= least)).tolist():
            same = bool(repairs[leader]) and repairs[other] == repairs[leader]
            if same or not (difference(outcome, leader, other) >= TOLD_APART).any():
                group[other] = count
        count += 1
    shares = [probability[group == number].sum() for number in range(count)]
    place = np.empty(count, dtype=np.intp)
    place[np.argsort(-np.array(shares), kind="stable")] = np.arange(count)
    return np.where(group >= 0, place[group], -1)


@record
class Group:
    """Causes that no reading left tells apart, or that one repair puts right.

    `labels` with their `shares` of probability, the likeliest first; `causes` is the likeliest
    severity of each.
    """

    labels: tuple[str, ...]
    shares: tuple[float, ...]
    causes: tuple[Cause, ...]

    @property
    def probability(self) -> float:
        """Probability of the group."""
        return sum(self.shares)

    @property
    def is_sound(self) -> bool:
        """Whether nothing wrong would show the same readings."""
        return not all(cause.faults for cause in self.causes)

    @property
    def name(self) -> str:
        """The likeliest label; that nothing is wrong comes before faults that do not show."""
        sound = [cause.label for cause in self.causes if not cause.faults]
        return sound[0] if sound else self.labels[0]

    @property
    def plain(self) -> tuple[Cause, ...]:
        """Causes that are not another one of the group with a second fault beside it."""
        faults = [frozenset(fault.cause for fault in cause.faults) for cause in self.causes]
        return tuple(
            cause
            for cause, own in zip(self.causes, faults, strict=True)
            if not any(other < own for other in faults if other)
        )


ELSE = "something else"


@record
class Grouping:
    """Groups under one set of weights of causes and draws; `of_cause` is -1 for the implausible.

    `label_of` is the number of each cause's label in `names`.
    """

    joint: FloatArray
    of_cause: NDArray[np.intp]
    groups: tuple[Group, ...]
    names: tuple[str, ...]
    label_of: NDArray[np.intp]

    @property
    def of_every_cause(self) -> NDArray[np.intp]:
        """Group of each cause, the implausible ones together as one group more."""
        return np.where(self.of_cause >= 0, self.of_cause, len(self.groups))

    @property
    def weight(self) -> FloatArray:
        """Weight of each group and, last, of all that is implausible, (groups + 1,)."""
        own, count = self.joint.sum(axis=1), len(self.groups) + 1
        return np.asarray(np.bincount(self.of_every_cause, weights=own, minlength=count))

    def name_given(self, number: int, weight: FloatArray) -> str:
        """Return the member of a group that is likeliest under weights of causes, (causes,).

        That nothing is wrong comes before faults that do not show, unless these weights make it
        implausible. `something else` for all that is implausible by itself.
        """
        if number == len(self.groups):
            return ELSE
        group, own = self.groups[number], self.of_cause == number
        found = np.bincount(self.label_of[own], weights=weight[own], minlength=len(self.names))
        share = found[[self.names.index(label) for label in group.labels]] / found.sum()
        if group.is_sound and share[group.labels.index(group.name)] >= LEAST_PROBABILITY:
            return group.name
        # members that are equally likely but for rounding keep the order of the group
        return group.labels[int(np.argmax(share >= share.max() - 1e-9))]


def label_probability(joint: FloatArray, label_of: NDArray[np.intp], labels: int) -> FloatArray:
    """Return the weight of each label, (labels,), for weights of causes and draws."""
    own = joint.sum(axis=1)
    return np.asarray(np.bincount(label_of, weights=own, minlength=labels), dtype=float)


def made_groups(
    joint: FloatArray,
    causes: Sequence[Cause],
    names: Sequence[str],
    label_of: NDArray[np.intp],
    group_of_label: NDArray[np.intp],
) -> Grouping:
    """Return the groups with their members in order of probability."""
    own = joint.sum(axis=1)
    chance = label_probability(joint, label_of, len(names))
    groups = []
    for number in range(int(group_of_label.max()) + 1):
        members = np.flatnonzero(group_of_label == number)
        members = members[np.argsort(-chance[members], kind="stable")]
        worst = [int(np.argmax(np.where(label_of == label, own, -1.0))) for label in members]
        groups.append(
            Group(
                tuple(names[label] for label in members.tolist()),
                tuple(float(chance[label]) for label in members),
                tuple(causes[number] for number in worst),
            )
        )
    return Grouping(joint, group_of_label[label_of], tuple(groups), tuple(names), label_of)
