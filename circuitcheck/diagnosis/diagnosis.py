"""A diagnosis under way: causes ranked by the readings so far, and the reading to take next."""

from __future__ import annotations

from dataclasses import field, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from circuitcheck.diagnosis.causes import NONE_SHARE
from circuitcheck.diagnosis.groups import (
    LEAST_PROBABILITY,
    Group,
    Grouping,
    group_numbers,
    label_probability,
    made_groups,
)
from circuitcheck.diagnosis.information import FloatArray
from circuitcheck.diagnosis.likelihood import IN_WORDS, Scale, scale_of, witness
from circuitcheck.diagnosis.next_reading import (
    Choice,
    Meaning,
    choose,
    information_of,
    meanings,
)
from circuitcheck.diagnosis.posterior import Belief, Witness
from circuitcheck.diagnosis.suspects import Suspects
from circuitcheck.model.instrument import OBSERVATION
from circuitcheck.model.reading import Measurement, Reading
from circuitcheck.record import record

CERTAINTY = 0.95
WRONG_SHARE = 0.05
"""How often a reading is taken wrongly: common practice, no source."""
WITHOUT_ONE = 0.8
"""What the leading group must still have with any one reading set aside, to be called certain."""
COMPLAINT_TIMES = 0.1
"""How often a complaint is mistaken, against a single look: common practice, no source."""
CONTRADICTS = 0.5
FITS = 0.5
"""Below this probability of all listed causes together, nothing here fits."""


@record
class NextReading:
    """What to measure, and what each result would mean for the groups, by their number.

    `confirms` is True where the cause is likely enough but hangs on a single reading so far.
    """

    measurement: Measurement
    information_bit: float
    effort_s: float
    meanings: tuple[Meaning, ...]
    grouping: Grouping
    confirms: bool


@record
class Diagnosis:
    """Suspects of one harness and the readings taken; nothing in it changes.

    The first `complaints` readings are what was complained of: they are never set aside. `skipped`
    are measurements that the person cannot or will not take. `paired_for` are the readings that
    were doubted when pairs of faults joined the suspects, None before that, and `paired_at` how
    many there were then; `tried` are pairs that had their turn while others still wait for theirs.
    """

    suspects: Suspects
    readings: tuple[Reading, ...] = ()
    complaints: int = 0
    skipped: frozenset[Measurement] = frozenset()
    paired_for: frozenset[int] | None = None
    paired_at: int = 0
    tried: frozenset[str] = frozenset()
    certainty: float = CERTAINTY
    wrong_share: float = WRONG_SHARE
    known: tuple[Witness, ...] = field(default=(), repr=False, compare=False)
    """What the first readings say of these suspects, as far as it is worked out already."""

    def with_reading(self, reading: Reading) -> Diagnosis:
        """Return the diagnosis after one more reading."""
        return replace(self, readings=(*self.readings, reading), known=self._witnesses)

    def with_suspects(self, suspects: Suspects) -> Diagnosis:
        """Return the diagnosis with other suspects and the same readings."""
        return replace(self, suspects=suspects, known=())

    def with_skipped(self, measurement: Measurement) -> Diagnosis:
        """Return the diagnosis with a measurement that is not to be asked for."""
        return replace(self, skipped=self.skipped | {measurement})

    @cached_property
    def belief(self) -> Belief:
        """Probability of each cause by the readings so far."""
        draws = self.suspects.predictions.draws
        return Belief(self.suspects.prior, NONE_SHARE, self._witnesses, draws)

    @cached_property
    def _witnesses(self) -> tuple[Witness, ...]:
        new = range(len(self.known), len(self.readings))
        return (*self.known, *(self._witness(number) for number in new))

    def _witness(self, number: int) -> Witness:
        """What a reading says; what was complained of was seen more than once."""
        reading, suspects = self.readings[number], self.suspects
        times = COMPLAINT_TIMES if number < self.complaints else 1.0
        return witness(
            reading.measurement,
            reading.value,
            self._predicted(number),
            suspects.library,
            suspects.harness.system_v,
            self.wrong_share * times,
            times,
        )

    def _predicted(self, number: int) -> FloatArray:
        measurement, predictions = self.readings[number].measurement, self.suspects.predictions
        if number < self.complaints:
            return predictions.complained(measurement)
        return predictions.of(measurement)

    @cached_property
    def _allowed(self) -> NDArray[np.bool_]:
        taken = {reading.measurement for reading in self.readings} | self.skipped
        known = {_told_by(measurement) for measurement in taken}
        every = self.suspects.table.measurements
        return np.array([_told_by(measurement) not in known for measurement in every], dtype=bool)

    @cached_property
    def _easy(self) -> NDArray[np.bool_]:
        return self._allowed & ~self.suspects.last_resort

    def _grouping(self, joint: FloatArray) -> Grouping:
        names, of = self.suspects.labels
        chance = label_probability(joint, of, len(names))
        least = min(LEAST_PROBABILITY, 0.5 * float(chance.max()))
        plausible = np.where(chance[of] >= least, of, -1)
        outcome = self.suspects.table.share(joint, plausible, len(names))[self._easy]
        numbers = group_numbers(chance, outcome, self.suspects.repairs, least)
        return made_groups(joint, self.suspects.causes, names, of, numbers)

    @cached_property
    def grouping(self) -> Grouping:
        """Groups of plausible causes by all readings so far."""
        return self._grouping(self.belief.joint)

    @property
    def groups(self) -> tuple[Group, ...]:
        """Groups of plausible causes, the likeliest first."""
        return self.grouping.groups

    @property
    def leading_share(self) -> float:
        """Probability of the leading group, alone or with a second fault, among listed causes."""
        return self.leading_probability / max(1.0 - self.belief.none, 1e-12)

    @cached_property
    def before(self) -> dict[str, float]:
        """Probability of each label before any complaint or reading."""
        names, of = self.suspects.labels
        shares = np.bincount(of, weights=self.suspects.prior, minlength=len(names))
        return dict(zip(names, shares.tolist(), strict=True))

    @cached_property
    def leading_probability(self) -> float:
        """Probability of the leading group, alone or with a second fault beside it."""
        return float(self.belief.probability[self._leading].sum())

    @cached_property
    def _leading(self) -> NDArray[np.bool_]:
        """Causes that hold what the leading group is: its repair is right with all of them."""
        return self.suspects.with_any_of(self.groups[0].labels)

    @cached_property
    def asked(self) -> Grouping:
        """What the next reading is to tell apart: the groups, or what one wrong reading may hide.

        Once the leading group is likely enough, each reading in turn is set aside and the beliefs
        that are left are averaged: what then competes is what a confirming reading must rule out.
        """
        later = range(self.complaints, len(self.readings))
        if not later or self.leading_share < self.certainty:
            return self.grouping
        return self._grouping(np.mean([self.belief.joint_without(n) for n in later], axis=0))

    @cached_property
    def information_bit(self) -> FloatArray:
        """Information that each reading of the table is expected to give about the group. [bit]"""
        asked = self.asked
        every, count = asked.of_every_cause, len(asked.groups) + 1
        outcome = self.suspects.table.share(asked.joint, every, count)
        return information_of(asked.weight, outcome, self.wrong_share)

    @cached_property
    def _effort_s(self) -> FloatArray:
        before = self.readings[-1].measurement.situation if self.readings else None
        return self.suspects.effort_s(before)

    @cached_property
    def choice(self) -> Choice | None:
        """The reading worth its effort most; a wire is pierced only where nothing else tells."""
        for allowed in (self._easy, self._allowed):
            found = choose(self.information_bit, self._effort_s, allowed)
            if found is not None:
                return found
        return None

    @cached_property
    def next_reading(self) -> NextReading | None:
        """The reading to take next; None where the cause is certain or no reading tells more."""
        if self.is_certain or self.choice is None:
            return None
        table, number = self.suspects.table, self.choice.number
        measurement = table.measurements[number]
        means = meanings(
            table.codes[number],
            self.suspects.predictions.of(measurement),
            self.asked,
            self._between(measurement, table.edges[number]),
            is_observation=self._scale(measurement).kind == OBSERVATION,
        )
        return NextReading(
            measurement,
            self.choice.information_bit,
            self.choice.effort_s,
            means,
            self.asked,
            self.asked is not self.grouping,
        )

    def _scale(self, measurement: Measurement) -> Scale:
        return scale_of(measurement, self.suspects.library, self.suspects.harness.system_v)

    def _between(self, measurement: Measurement, edges: FloatArray) -> FloatArray | None:
        """Return the values that part the bands of a reading; None where it is told in words."""
        scale = self._scale(measurement)
        return None if scale.kind in IN_WORDS else scale.value(edges)

    @cached_property
    def least_without_one(self) -> float:
        """Probability of the leading group with the reading set aside that it rests on most."""
        later = range(self.complaints, len(self.readings))
        every = [float(self.belief.without(n)[self._leading].sum()) for n in later]
        return min(every, default=self.leading_probability)

    @cached_property
    def is_certain(self) -> bool:
        """Whether the leading group is certain enough, and does not hang on a single reading."""
        likely = self.leading_probability >= self.certainty
        # what was complained of is not put down to a mistake
        explained = all(number >= self.complaints for number in self.contradictions)
        return likely and explained and self.least_without_one >= WITHOUT_ONE

    def leading_evidence(self) -> FloatArray:
        """Return how much each reading speaks for the likeliest cause against all others. [bit]"""
        names, of = self.suspects.labels
        label = names.index(self.groups[0].name)
        return self.belief.speaks_for(of == label)

    def splitting_reading(self) -> Measurement | None:
        """Return the reading that would tell the leading group apart best, None where none does.

        Readings that need a wire pierced count here.
        """
        group = self.groups[0]
        names, of = self.suspects.labels
        number = {names.index(label): k for k, label in enumerate(group.labels)}
        own = np.array([number.get(int(label), -1) for label in of], dtype=np.intp)
        outcome = self.suspects.table.share(self.belief.joint, own, len(group.labels))
        told = information_of(np.array(group.shares), outcome, self.wrong_share)
        found = choose(told, self._effort_s, self._allowed)
        return None if found is None else self.suspects.table.measurements[found.number]

    @cached_property
    def contradictions(self) -> tuple[int, ...]:
        """Numbers of the readings that contradict the rest: rather taken wrongly than rightly."""
        return tuple(np.flatnonzero(self.belief.taken_wrongly > CONTRADICTS).tolist())

    @property
    def nothing_fits(self) -> bool:
        """Whether no listed cause, however mistaken a reading, makes the readings likely."""
        return self.belief.none > FITS


def _told_by(measurement: Measurement) -> tuple[object, ...]:
    """What makes a measurement another one; battery volts, warm coils and swapped probes do not."""
    at = measurement.situation
    points = frozenset((measurement.plus, measurement.minus))
    return (measurement.instrument, points, at.position, at.unplugged)
