"""What each instrument would show under each cause, worked out once for each reading asked for."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from circuitcheck.diagnosis.causes import Cause, spread_severity
from circuitcheck.diagnosis.information import FloatArray
from circuitcheck.faults.faulted_circuits import FaultedCircuits
from circuitcheck.faults.full_network import FullNetwork
from circuitcheck.model.reading import Measurement, Situation
from circuitcheck.readings.instruments import predicted

DRAWS = 32
SEED = 20


class Predictions:
    """Readings predicted for some causes, (causes, draws); kept as they are asked for.

    The draws are the same machines in every situation and for every cause. `first` is the
    situation of the complaint: a fuse that opens in it stays open in all others.
    """

    def __init__(
        self,
        full: FullNetwork,
        causes: Sequence[Cause],
        first: Situation,
        draws: int = DRAWS,
    ) -> None:
        self.full, self.draws, self._complained = full, draws, first
        self.harness, self.library = full.harness, full.library
        self.causes = tuple(causes)
        self._faulty = [cause for cause in self.causes if cause.faults]
        # one place between two steps of severity for each machine, the same for every fault
        rng = np.random.default_rng(SEED)
        share = (rng.permutation(draws) + 0.5) / draws
        spread = [tuple(spread_severity(f, share) for f in cause.faults) for cause in self._faulty]
        self._faults = [faults[0] if len(faults) == 1 else faults for faults in spread]
        self._first = len(self.causes) - len(self._faulty)
        self._circuits: dict[Situation, FaultedCircuits] = {}
        self._known: dict[Measurement, FloatArray] = {}

    def with_more(self, causes: Sequence[Cause]) -> Predictions:
        """Return the predictions for further causes too; what is known is not worked out again."""
        return JoinedPredictions(self, Predictions(self.full, causes, self._complained, self.draws))

    def circuits(self, situation: Situation) -> FaultedCircuits:
        """Return the faulted circuits of one situation."""
        if situation not in self._circuits:
            blown = None
            if situation != self._complained:
                blown = self.circuits(self._complained).blown
            self._circuits[situation] = FaultedCircuits(
                self.harness, self.library, self._faults, situation,
                draws=self.draws, seed=SEED, full=self.full, blown=blown,
            )  # fmt: skip
        return self._circuits[situation]

    def of(self, measurement: Measurement) -> FloatArray:
        """Return what the instrument shows, (causes, draws), in its unit."""
        if measurement not in self._known:
            shown = predicted(measurement, self.circuits(measurement.situation))
            self._known[measurement] = shown[1 - self._first :]
        return self._known[measurement]


class JoinedPredictions(Predictions):
    """Predictions of two lots of causes, one below the other."""

    def __init__(self, one: Predictions, other: Predictions) -> None:
        self.full, self.draws, self._complained = one.full, one.draws, one._complained
        self.harness, self.library = one.harness, one.library
        self.causes = (*one.causes, *other.causes)
        self._parts = (one, other)

    def of(self, measurement: Measurement) -> FloatArray:
        """Return what the instrument shows, (causes, draws), in its unit."""
        return np.concatenate([part.of(measurement) for part in self._parts])
