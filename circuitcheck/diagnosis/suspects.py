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
from circuitcheck.diagnosis.lots import GatheredPredictions, Picked, Pool, gathered_table
from circuitcheck.diagnosis.outcomes import OutcomeTable
from circuitcheck.model.harness import Harness
from circuitcheck.model.library import Library
from circuitcheck.model.reading import Measurement, Situation


class Suspects:
    """Causes, priors and candidate readings for the coils of a complaint.

    `parts` are the lots that the causes are picked from: single faults first, then pairs. `single`
    are the suspects without pairs, these themselves where there are none; `pool` holds
    all pairs that were tried so far, None before there are any.
    """

    def __init__(
        self,
        parts: Sequence[Picked],
        prior: FloatArray,
        candidates: CandidateReadings,
        single: Suspects | None = None,
        pool: Pool | None = None,
    ) -> None:
        self.parts, self.prior, self.candidates = tuple(parts), prior, candidates
        lot = self.parts[0].lot
        self.measurements = lot.measurements
        self.single = self if single is None else single
        self.pool = pool
        is_one = len(self.parts) == 1
        self.predictions = lot.predictions if is_one else GatheredPredictions(self.parts)

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
        parts = list(zip(self.causes, self._parts, strict=True))
        wanted = {own for cause, own in parts if own and cause.label in chosen}
        return np.array(
            [cause.label in chosen or any(one <= own for one in wanted) for cause, own in parts],
            dtype=bool,
        )

    @cached_property
    def _parts(self) -> tuple[frozenset[str], ...]:
        """Names of the faults of each cause."""
        return tuple(frozenset(fault.cause for fault in cause.faults) for cause in self.causes)

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
        return self.parts[0].lot.table if len(self.parts) == 1 else gathered_table(self.parts)

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
