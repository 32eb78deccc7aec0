"""What each instrument would show under each cause, worked out once for each reading asked for."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from circuitcheck.diagnosis.candidates import CLICK, MOVES
from circuitcheck.diagnosis.causes import VALVE_STUCK, Cause, spread_severity
from circuitcheck.diagnosis.information import FloatArray
from circuitcheck.faults.faulted_circuits import FaultedCircuits
from circuitcheck.faults.full_network import FullNetwork
from circuitcheck.model.instrument import VOLTMETER
from circuitcheck.model.reading import Measurement, Situation
from circuitcheck.readings.instruments import predicted

DRAWS = 32
TWITCH_FROM, TWITCH_SHARE = 0.3, 0.1
"""Share of the pull-in current from which a click may be heard without a movement, and how often:
common practice, no source."""
NO_LOAD_OHM = 1e7
"""A meter of so much shows what stands there without it: joints of this list are below 1 kohm."""
SEED = 20


class Predictions:
    """Readings predicted for some causes, (causes, draws); kept as they are asked for.

    The draws are the same machines in every situation and for every cause. `worked` are the
    situations of the complaint: a fuse that opened in one of them stays open from then on. Which
    button was worked first nobody says: what was complained of holds half with every fuse whole,
    half with those blown that another button blows.
    """

    def __init__(
        self,
        full: FullNetwork,
        causes: Sequence[Cause],
        worked: tuple[Situation, ...],
        draws: int = DRAWS,
    ) -> None:
        self.full, self.draws, self.worked = full, draws, worked
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
        self._at_first: dict[Situation, FaultedCircuits] = {}
        self._known: dict[Measurement, FloatArray] = {}

    def of_others(self, causes: Sequence[Cause]) -> Predictions:
        """Return predictions of other causes after the same complaint."""
        return Predictions(self.full, causes, self.worked, self.draws)

    @cached_property
    def _blown(self) -> NDArray[np.bool_]:
        """Fuses open after the complaint, (causes, draws, fuses)."""
        return np.asarray(np.any([self._whole(one).blown for one in self.worked], axis=0))

    def _whole(self, situation: Situation) -> FaultedCircuits:
        """The circuits of a situation that starts with every fuse whole."""
        if situation not in self._at_first:
            self._at_first[situation] = self._circuits_of(situation, None)
        return self._at_first[situation]

    def circuits(self, situation: Situation) -> FaultedCircuits:
        """Return the faulted circuits of one situation after the complaint."""
        if situation not in self._circuits:
            if situation in self.worked and (self._blown == self._whole(situation).blown).all():
                self._circuits[situation] = self._whole(situation)
            else:
                self._circuits[situation] = self._circuits_of(situation, self._blown)
        return self._circuits[situation]

    def _circuits_of(
        self, situation: Situation, blown: NDArray[np.bool_] | None
    ) -> FaultedCircuits:
        return FaultedCircuits(
            self.harness, self.library, self._faults, situation,
            draws=self.draws, seed=SEED, full=self.full, blown=blown,
        )  # fmt: skip

    def complained(self, measurement: Measurement) -> FloatArray:
        """Return what was observed when the buttons were worked at first, (causes, draws)."""
        after = self.of(measurement)
        if measurement.situation not in self.worked:
            return after
        whole = self._whole(measurement.situation)
        if whole is self.circuits(measurement.situation):
            return after
        return 0.5 * (after + self._shown(measurement, whole))

    def of(self, measurement: Measurement) -> FloatArray:
        """Return what the instrument shows, (causes, draws), in its unit."""
        if measurement not in self._known:
            circuits = self.circuits(measurement.situation)
            self._known[measurement] = self._shown(measurement, circuits)
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
            if load_ohm >= NO_LOAD_OHM:
                load_ohm = math.inf
            pairs = [(one.plus, one.minus) for one in some]
            shown = self.circuits(situation).between_many_v(pairs, load_ohm)
            for number, one in enumerate(some):
                self._known[one] = shown[1 - self._first :, number]

    def _shown(self, measurement: Measurement, circuits: FaultedCircuits) -> FloatArray:
        """What the circuit shows, and what of a coil and its valve no circuit tells."""
        shown = predicted(measurement, circuits)
        if measurement.instrument == CLICK:
            # on too little current a plunger may twitch: heard, but nothing moves
            twitches = circuits.pull_share(measurement.plus) >= TWITCH_FROM
            shown = np.maximum(shown, np.where(twitches, TWITCH_SHARE, 0.0))
        shown = shown[1 - self._first :]
        if measurement.instrument != MOVES:
            return np.asarray(shown)
        stuck = [
            any(f.mode == VALVE_STUCK and f.subject == measurement.plus for f in cause.faults)
            for cause in self.causes
        ]
        return np.where(np.array(stuck)[:, None], 0.0, shown)


class JoinedPredictions(Predictions):
    """Predictions of two lots of causes, one below the other."""

    def __init__(self, one: Predictions, other: Predictions) -> None:
        self.full, self.draws, self.worked = one.full, one.draws, one.worked
        self.harness, self.library = one.harness, one.library
        self.causes = (*one.causes, *other.causes)
        self._parts = (one, other)

    def of(self, measurement: Measurement) -> FloatArray:
        """Return what the instrument shows, (causes, draws), in its unit."""
        return np.concatenate([part.of(measurement) for part in self._parts])

    def complained(self, measurement: Measurement) -> FloatArray:
        """Return what was observed when the buttons were worked at first, (causes, draws)."""
        return np.concatenate([part.complained(measurement) for part in self._parts])

    def prepare(self, measurements: Sequence[Measurement]) -> None:
        """Work out many plain voltages together."""
        for part in self._parts:
            part.prepare(measurements)
