"""Opens a diagnosis: single faults first, pairs of plausible ones where no single one will do."""

from __future__ import annotations

from collections.abc import Sequence

from circuitcheck.diagnosis.candidates import CandidateReadings
from circuitcheck.diagnosis.causes import single_causes, valve_faults
from circuitcheck.diagnosis.diagnosis import CERTAINTY, WRONG_SHARE, Diagnosis
from circuitcheck.diagnosis.efforts import Efforts
from circuitcheck.diagnosis.lots import Lot, whole
from circuitcheck.diagnosis.pairs import needs_pairs, with_pairs
from circuitcheck.diagnosis.predictions import Predictions
from circuitcheck.diagnosis.suspects import Suspects
from circuitcheck.errors import CircuitError
from circuitcheck.faults.fault_list import single_faults
from circuitcheck.faults.full_network import FullNetwork
from circuitcheck.model.harness import Harness
from circuitcheck.model.instrument import OBSERVATION
from circuitcheck.model.library import Library
from circuitcheck.model.reading import Reading, Situation


class Workshop:
    """One harness with its faults; diagnoses of different complaints share what it works out."""

    def __init__(self, harness: Harness, library: Library) -> None:
        if harness.user_rows is not None:
            library = library.with_rows(harness.user_rows)
        self.full = FullNetwork(harness, library)
        self.candidates = CandidateReadings(self.full, Efforts(harness, library))
        faults = (*single_faults(harness, library), *valve_faults(harness))
        self.causes, self.prior = single_causes(faults, harness, library)
        self._predictions: dict[frozenset[Situation], Predictions] = {}
        self._suspects: dict[tuple[tuple[str, ...], ...], Suspects] = {}

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
        return Diagnosis(
            self._suspects_of(complaints),
            tuple(complaints),
            len(complaints),
            certainty=certainty,
            wrong_share=wrong_share,
        )

    def _suspects_of(self, complaints: Sequence[Reading]) -> Suspects:
        """Suspects hang on the coils complained of and their positions, in that order, alone."""
        coils = self._coils(complaints)
        positions = tuple(dict.fromkeys(r.measurement.situation.position for r in complaints))
        if (coils, positions) not in self._suspects:
            worked = frozenset(Situation(position) for position in positions)
            if worked not in self._predictions:
                self._predictions[worked] = Predictions(self.full, self.causes, tuple(worked))
            lot = Lot(self._predictions[worked], self.candidates.all(coils, positions))
            self._suspects[coils, positions] = Suspects([whole(lot)], self.prior, self.candidates)
        return self._suspects[coils, positions]

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
    """Return the diagnosis after more readings; pairs join the suspects where they are needed.

    After a single reading only so many as a person waits for, while there is more to be asked; all
    of them before a diagnosis is at its end.
    """
    for reading in readings:
        diagnosis = diagnosis.with_reading(reading)
    is_hurried = len(readings) == 1
    while needs_pairs(diagnosis):
        diagnosis = with_pairs(diagnosis, is_hurried=is_hurried)
        if is_hurried and diagnosis.next_reading is not None:
            break
        is_hurried = False
    return diagnosis
