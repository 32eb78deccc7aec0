"""What each instrument would show under each cause, worked out once for each reading asked for."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from circuitcheck.diagnosis.candidates import CLICK, MOVES
from circuitcheck.diagnosis.causes import VALVE_STUCK, Cause, spread_severity
from circuitcheck.diagnosis.information import FloatArray
from circuitcheck.faults.faulted_circuits import FaultedCircuits
from circuitcheck.faults.full_network import FullNetwork
from circuitcheck.model.harness import Harness
from circuitcheck.model.instrument import VOLTMETER
from circuitcheck.model.library import Library
from circuitcheck.model.reading import Measurement, Situation
from circuitcheck.readings.instruments import predicted

BoolArray = NDArray[np.bool_]
DRAWS = 32
TWITCH_FROM, TWITCH_SHARE = 0.3, 0.1
"""Share of the pull-in current from which a click may be heard without a movement, and how often:
common practice, no source."""
SEED = 20


class Foretold(Protocol):
    """What instruments show under some causes in draws, however it was worked out."""

    full: FullNetwork
    draws: int
    worked: tuple[Situation, ...]
    causes: tuple[Cause, ...]

    @property
    def harness(self) -> Harness:
        """The harness under suspicion."""

    @property
    def library(self) -> Library:
        """The library with the rows of the user's own."""

    @property
    def blown(self) -> BoolArray:
        """Fuses open after the complaint, (1 + faults, draws, fuses), of a sound circuit first."""

    def of(self, measurement: Measurement) -> FloatArray:
        """Return what the instrument shows, (causes, draws), in its unit."""

    def complained(self, measurement: Measurement) -> FloatArray:
        """Return what was observed when the buttons were worked at first, (causes, draws)."""

    def known(self, measurement: Measurement) -> FloatArray | None:
        """Return what the instrument shows where that is worked out already, else None."""


class Predictions:
    """Readings predicted for some causes, (causes, draws); kept as they are asked for.

    The draws are the same machines in every situation and for every cause. `worked` are the
    situations of the complaint: a fuse that opened in one of them stays open from then on. Which
    button was worked first nobody says: what was complained of holds half with every fuse whole,
    half with those blown that another button blows. `among` are predictions of the same causes, all
    of them faults: what these know already is taken from there.
    """

    def __init__(
        self,
        full: FullNetwork,
        causes: Sequence[Cause],
        worked: tuple[Situation, ...],
        draws: int = DRAWS,
        among: Foretold | None = None,
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
        self._known_at_first: dict[Measurement, FloatArray] = {}
        self._among = among

    def of_others(self, causes: Sequence[Cause], among: Foretold | None = None) -> Predictions:
        """Return predictions of other causes after the same complaint."""
        return Predictions(self.full, causes, self.worked, self.draws, among)

    @cached_property
    def blown(self) -> BoolArray:
        """Fuses open after the complaint, (1 + faults, draws, fuses), of a sound circuit first."""
        if self._among is not None:
            return self._among.blown
        return np.asarray(np.any([self._whole(one).blown for one in self.worked], axis=0))

    def _whole(self, situation: Situation) -> FaultedCircuits:
        """The circuits of a situation that starts with every fuse whole."""
        if situation not in self._at_first:
            self._at_first[situation] = self._circuits_of(situation, None)
        return self._at_first[situation]

    def circuits(self, situation: Situation) -> FaultedCircuits:
        """Return the faulted circuits of one situation after the complaint."""
        if situation not in self._circuits:
            is_worked = self._among is None and situation in self.worked
            if is_worked and (self.blown == self._whole(situation).blown).all():
                self._circuits[situation] = self._whole(situation)
            else:
                self._circuits[situation] = self._circuits_of(situation, self.blown)
        return self._circuits[situation]

    def _circuits_of(self, situation: Situation, blown: BoolArray | None) -> FaultedCircuits:
        return FaultedCircuits(
            self.harness, self.library, self._faults, situation,
            draws=self.draws, seed=SEED, full=self.full, blown=blown,
        )  # fmt: skip

    def complained(self, measurement: Measurement) -> FloatArray:
        """Return what was observed when the buttons were worked at first, (causes, draws)."""
        if measurement not in self._known_at_first:
            self._known_at_first[measurement] = self._seen_at_first(measurement)
        return self._known_at_first[measurement]

    def _seen_at_first(self, measurement: Measurement) -> FloatArray:
        if self._among is not None:
            return self._among.complained(measurement)
        after = self.of(measurement)
        if measurement.situation not in self.worked:
            return after
        whole = self._whole(measurement.situation)
        if whole is self.circuits(measurement.situation):
            return after
        return 0.5 * (after + self._shown(measurement, whole))

    def of(self, measurement: Measurement) -> FloatArray:
        """Return what the instrument shows, (causes, draws), in its unit."""
        found = self.known(measurement)
        if found is None:
            found = self._shown(measurement, self.circuits(measurement.situation))
            self._known[measurement] = found
        return found

    def known(self, measurement: Measurement) -> FloatArray | None:
        """Return what the instrument shows where that is worked out already, else None."""
        if measurement in self._known or self._among is None:
            return self._known.get(measurement)
        return self._among.known(measurement)

    def prepare(self, measurements: Sequence[Measurement]) -> None:
        """Work out many plain voltages together, which is quicker than one by one."""
        together: dict[tuple[Situation, str], list[Measurement]] = {}
        for one in measurements:
            is_plain = self.library.instrument(one.instrument).kind == VOLTMETER
            if is_plain and self.known(one) is None:
                together.setdefault((one.situation, one.instrument), []).append(one)
        for (situation, name), some in together.items():
            load_ohm = self.library.instrument(name).load_ohm(self.harness.system_v)
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
