"""Opens a diagnosis: single faults first, pairs of plausible ones where no single one will do."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from circuitcheck.diagnosis.candidates import CandidateReadings
from circuitcheck.diagnosis.causes import Cause, pair_causes, single_causes, valve_faults
from circuitcheck.diagnosis.diagnosis import CERTAINTY, WRONG_SHARE, Diagnosis
from circuitcheck.diagnosis.efforts import Efforts
from circuitcheck.diagnosis.information import FloatArray
from circuitcheck.diagnosis.posterior import Belief
from circuitcheck.diagnosis.predictions import JoinedPredictions, Predictions
from circuitcheck.diagnosis.suspects import Suspects
from circuitcheck.errors import CircuitError
from circuitcheck.faults.fault_list import single_faults
from circuitcheck.faults.full_network import FullNetwork
from circuitcheck.model.harness import Harness
from circuitcheck.model.instrument import OBSERVATION
from circuitcheck.model.library import Library
from circuitcheck.model.reading import Measurement, Reading, Situation

PAIRED, KEPT = 24, 24
"""Single causes of which pairs are made, and pairs that are kept."""
DOUBTED_SHARE = 0.3
"""Share of wrong readings under which a cause that explains part of them is still thought of."""
DOUBT = 0.3
"""A reading as likely as this to be wrong, or no listed cause, and pairs are looked at."""


class Workshop:
    """One harness with its faults; diagnoses of different complaints share what it works out."""

    def __init__(self, harness: Harness, library: Library) -> None:
        if harness.user_rows is not None:
            library = library.with_rows(harness.user_rows)
        self.full = FullNetwork(harness, library)
        self.candidates = CandidateReadings(self.full, Efforts(harness, library))
        faults = (*single_faults(harness, library), *valve_faults(harness))
        self.causes, self.prior = single_causes(faults, harness, library)
        self._suspects: dict[tuple[Measurement, ...], Suspects] = {}

    def open(
        self,
        complaints: Sequence[Reading],
        *,
        certainty: float = CERTAINTY,
        wrong_share: float = WRONG_SHARE,
    ) -> Diagnosis:
        """Return a diagnosis with the complaint as its first readings.

        Raises CircuitError without a complaint.
        """
        if not complaints:
            raise CircuitError("a diagnosis starts from a complaint: say what does not work")
        key = tuple(reading.measurement for reading in complaints)
        if key not in self._suspects:
            self._suspects[key] = self._made(complaints)
        return Diagnosis(
            self._suspects[key],
            tuple(complaints),
            len(complaints),
            certainty=certainty,
            wrong_share=wrong_share,
        )

    def _made(self, complaints: Sequence[Reading]) -> Suspects:
        coils = self._coils(complaints)
        worked = dict.fromkeys(
            Situation(reading.measurement.situation.position) for reading in complaints
        )
        predictions = Predictions(self.full, self.causes, tuple(worked))
        complained = [reading.measurement.situation.position for reading in complaints]
        measurements = self.candidates.all(coils, complained)
        return Suspects(predictions, self.prior, self.candidates, measurements)

    def _coils(self, complaints: Sequence[Reading]) -> tuple[str, ...]:
        """The coils complained of; where only a light or a fuse was, those of its position."""
        places = self.candidates.places
        named = [r.measurement.plus for r in complaints if r.measurement.plus in places]
        position = complaints[0].measurement.situation.position
        there = [name for name, place in places.items() if position in place.positions]
        return tuple(dict.fromkeys(named or there or places))


def split_complaint(
    readings: Sequence[Reading], library: Library
) -> tuple[list[Reading], list[Reading]]:
    """Return the observations that readings begin with, and the rest.

    They are what was complained of. Raises CircuitError where the first is no observation.
    """
    count = 0
    for reading in readings:
        if library.instrument(reading.measurement.instrument).kind != OBSERVATION:
            break
        count += 1
    if count == 0:
        raise CircuitError(
            'a diagnosis starts from a complaint: --complaint "PART does not click", or a first '
            "reading that is an observation"
        )
    return list(readings[:count]), list(readings[count:])


def after_readings(diagnosis: Diagnosis, readings: Sequence[Reading]) -> Diagnosis:
    """Return the diagnosis after more readings; pairs join the suspects where they are needed."""
    for reading in readings:
        diagnosis = diagnosis.with_reading(reading)
    return with_pairs(diagnosis) if needs_pairs(diagnosis) else diagnosis


def doubted(diagnosis: Diagnosis) -> frozenset[int]:
    """Return the readings that none of the suspects explains well, or all where no cause does."""
    belief = diagnosis.belief
    if belief.none >= DOUBT:
        return frozenset(range(len(diagnosis.readings)))
    return frozenset(np.flatnonzero(belief.taken_wrongly >= DOUBT).tolist())


def needs_pairs(diagnosis: Diagnosis) -> bool:
    """Return whether a reading is in doubt that was not when pairs were made last."""
    return not doubted(diagnosis) <= (diagnosis.paired_for or frozenset())


def with_pairs(diagnosis: Diagnosis) -> Diagnosis:
    """Return the diagnosis with pairs of plausible single causes among its suspects.

    Plausible is what explains the readings with DOUBTED_SHARE of them taken wrongly. Of all pairs
    of these only those go further that the readings so far leave likely.
    """
    old = diagnosis.suspects.single
    belief = replace(diagnosis, suspects=old).belief
    loose = Belief(old.prior, 0.0, DOUBTED_SHARE, belief.witnesses, belief.draws).probability
    # the likeliest severities of each cause
    order = np.argsort(-loose, kind="stable")[:PAIRED].tolist()
    pairs = [(a, b) for n, a in enumerate(order) for b in order[n + 1 :]]
    made, share = pair_causes(old.causes, old.prior, pairs)
    if not made:
        return diagnosis
    every = replace(diagnosis, suspects=_joined(old, made, share))
    likely = np.argsort(-every.belief.probability[len(old.causes) :], kind="stable")[:KEPT]
    kept = np.sort(likely).tolist()
    suspects = _joined(old, tuple(made[number] for number in kept), share[kept])
    return replace(diagnosis, suspects=suspects, paired_for=doubted(diagnosis))


def _joined(old: Suspects, made: tuple[Cause, ...], share: FloatArray) -> Suspects:
    """Return suspects with pairs behind the single causes; all priors still sum to the same."""
    more = old.predictions.of_others(made)
    prior = np.concatenate([old.prior, share])
    kept = float(old.prior.sum()) / float(prior.sum())
    joined = JoinedPredictions(old.predictions, more)
    return Suspects(joined, prior * kept, old.candidates, old.measurements, old, more)
