"""All causes of one harness and what every reading would show under each."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from circuitcheck.diagnosis.candidates import CandidateReadings
from circuitcheck.diagnosis.causes import Cause, labels_of
from circuitcheck.diagnosis.efforts import Efforts
from circuitcheck.diagnosis.information import FloatArray
from circuitcheck.diagnosis.outcomes import OutcomeTable, joined_tables, outcome_table
from circuitcheck.diagnosis.predictions import Predictions
from circuitcheck.model.harness import Harness
from circuitcheck.model.library import Library
from circuitcheck.model.reading import Measurement, Situation


class Suspects:
    """Causes, priors and candidate readings for the coils of a complaint.

    `single` are the suspects without pairs of faults, these themselves where there are none;
    `more` are the predictions of the pairs, which come behind the single ones.
    """

    def __init__(
        self,
        predictions: Predictions,
        prior: FloatArray,
        candidates: CandidateReadings,
        measurements: Sequence[Measurement],
        single: Suspects | None = None,
        more: Predictions | None = None,
    ) -> None:
        self.predictions, self.prior, self.candidates = predictions, prior, candidates
        self.measurements = tuple(measurements)
        self.single = single if single is not None else self
        self.more = more

    @property
    def harness(self) -> Harness:
        """The harness under suspicion."""
        return self.predictions.harness

    @property
    def library(self) -> Library:
        """The library with the rows of the user's own."""
        return self.predictions.library

    @property
    def causes(self) -> tuple[Cause, ...]:
        """Causes in the order of the prior."""
        return self.predictions.causes

    @cached_property
    def labels(self) -> tuple[tuple[str, ...], NDArray[np.intp]]:
        """Labels, and the label number of each cause."""
        return labels_of(self.causes)

    def with_any_of(self, labels: Sequence[str]) -> NDArray[np.bool_]:
        """Return which causes hold all faults of one of some labels, by themselves or with more."""
        chosen = set(labels)
        wanted = {_parts(cause) for cause in self.causes if cause.label in chosen}
        return np.array(
            [any(one <= _parts(cause) and one for one in wanted) or cause.label in chosen
             for cause in self.causes], dtype=bool,
        )  # fmt: skip

    @cached_property
    def repairs(self) -> tuple[str, ...]:
        """What puts each label right, and where."""
        found = dict(zip(self.labels[1].tolist(), (c.repair for c in self.causes), strict=True))
        return tuple(found[number] for number in range(len(self.labels[0])))

    @property
    def efforts(self) -> Efforts:
        """Efforts of readings."""
        return self.candidates.efforts

    def place_of(self, point: str, measurement: Measurement) -> str:
        """Return the library row that says how a probe reaches a point; empty without one."""
        if not measurement.minus:
            return ""
        return self.efforts.place(point, measurement.situation.unplugged)

    @cached_property
    def table(self) -> OutcomeTable:
        """Outcome of each candidate reading for each cause and draw."""
        if self.more is None:
            return outcome_table(self.predictions, self.measurements)
        single = self.single.table
        return joined_tables(single, outcome_table(self.more, self.measurements, single))

    @cached_property
    def last_resort(self) -> NDArray[np.bool_]:
        """Which candidates need a wire to be pierced, (readings,)."""
        return np.array([self.candidates.is_last_resort(m) for m in self.measurements], dtype=bool)

    @cached_property
    def _reading_s(self) -> FloatArray:
        return np.array([self.efforts.reading_s(m) for m in self.measurements])

    def effort_s(self, before: Situation | None) -> FloatArray:
        """Return the effort of each candidate from the state of the machine now, (readings,)."""
        states = dict.fromkeys(m.situation for m in self.measurements)
        change = {state: self.efforts.change_s(before, state) for state in states}
        moved = np.array([change[m.situation] for m in self.measurements])
        return np.asarray(self._reading_s + moved)


def _parts(cause: Cause) -> frozenset[str]:
    return frozenset(fault.cause for fault in cause.faults)
