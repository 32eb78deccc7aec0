"""What each instrument would show under each cause, worked out once for each reading asked for."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from circuitcheck.diagnosis.candidates import MOVES
from circuitcheck.diagnosis.causes import VALVE_STUCK, Cause, spread_severity
from circuitcheck.diagnosis.information import FloatArray
from circuitcheck.faults.faulted_circuits import FaultedCircuits
from circuitcheck.faults.full_network import FullNetwork
from circuitcheck.model.instrument import VOLTMETER
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
            self._known[measurement] = self._with_valves(measurement, shown[1 - self._first :])
        return self._known[measurement]

    def prepare(self, measurements: Sequence[Measurement]) -> None:
        """Work out many plain voltages together, which is quicker than one by one."""
        together: dict[tuple[Situation, str], list[Measurement]] = {}
        for one in measurements:
            is_plain = self.library.instrument(one.instrument).kind == VOLTMETER
            if is_plain and one not in self._known:
                together.setdefault((one.situation, one.instrument), []).append(one)
        for (situation, name), some in together.items():
            load_ohm = self.library.instrument(name).load_ohm(self.harness.system_v)
            pairs = [(one.plus, one.minus) for one in some]
            shown = self.circuits(situation).between_many_v(pairs, load_ohm)
            for number, one in enumerate(some):
                self._known[one] = shown[1 - self._first :, number]

    def _with_valves(self, measurement: Measurement, shown: FloatArray) -> FloatArray:
        """A valve that is stuck behind its coil does not move, whatever the circuit does."""
        if measurement.instrument != MOVES:
            return shown
        stuck = [
            any(
                fault.mode == VALVE_STUCK and fault.subject == measurement.plus
                for fault in c.faults
            )
            for c in self.causes
        ]
        return np.where(np.array(stuck)[:, None], 0.0, shown)


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

    def prepare(self, measurements: Sequence[Measurement]) -> None:
        """Work out many plain voltages together."""
        for part in self._parts:
            part.prepare(measurements)
