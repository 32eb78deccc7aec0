"""What a person would see and what would move or get hot, fault by fault and position by position.

Everything is compared with the sound circuit in the same position.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from circuitcheck.circuit.positions import Position
from circuitcheck.faults.fault import AddedOhm, Fault, Joined, OhmTimes
from circuitcheck.faults.faulted_circuits import FaultedCircuits
from circuitcheck.faults.full_network import FullNetwork
from circuitcheck.faults.pull_in import LEAST_SHARE
from circuitcheck.model.indicator import IndicatorLamp, LedIndicator
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.reading import Situation
from circuitcheck.model.relay import Relay
from circuitcheck.model.solenoid_coil import STOP_HAZARDS, SolenoidCoil
from circuitcheck.record import record

BoolArray = NDArray[np.bool_]
UNASKED = "coil works unasked"
WRONG_COIL = "wrong coil works"
KEY_OFF_WORKS = "coil works with the key off"
LETS_GO = "coil lets go, which can hurt"
FUSE_OPENS = "fuse opens"
HOT = "part runs hot"
CHATTERS = "relay chatters"
DEAD = "coil dead"
WEAK = "coil weak"
INDICATOR_WRONG = "indicator wrong"
HARMFUL = ("machine part moves", "load can fall", *STOP_HAZARDS)
HOT_JOINT_W = 1.0
"""A joint or a contact that turns more than this to heat cannot be touched for long: common
practice, no source."""
MORE_HEAT = 1.2
"""A winding counts as hotter where it takes this many times the power of the sound one."""


@record
class Effect:
    """One effect of one fault in one position, and how it shows (empty where it does not)."""

    kind: str
    subject: str
    position: str
    shows: str = ""
    value: float | None = None
    unit: str = ""
    temperature_c: float | None = None


def survey(
    full: FullNetwork,
    faults: Sequence[Fault],
    positions: Sequence[Position],
    *,
    heat: bool = True,
) -> Iterator[tuple[Fault, Effect]]:
    """Yield every effect of every fault in the order of positions; heat only where asked for."""
    for position in positions:
        circuits = FaultedCircuits(
            full.harness, full.library, faults, Situation(position.name), 1, full=full
        )
        look = _Look(full, circuits, position)
        for number, effect in look.effects(heat):
            yield faults[number], effect


class _Look:
    """One position with all faults; row 0 of every array is the sound circuit."""

    def __init__(self, full: FullNetwork, circuits: FaultedCircuits, position: Position) -> None:
        self.full, self.circuits, self.position = full, circuits, position
        harness = full.harness
        parts = harness.parts.values()
        self.movers = [p for p in parts if isinstance(p, SolenoidCoil | PullHoldCoil)]
        self.asked = full.asked(position)
        shares = circuits.pull_shares([c.name for c in self.movers])
        self.share = {name: share[:, 0] for name, share in shares.items()}
        restless = circuits.restless[:, 0]
        self.sure = {name: (s >= 1.0) & ~restless for name, s in self.share.items()}
        self.maybe = {name: s >= LEAST_SHARE for name, s in self.share.items()}

    def effects(self, heat: bool) -> Iterator[tuple[int, Effect]]:
        """Yield the number of a fault in the list and its effect."""
        yield from self._movements()
        yield from self._fuses()
        if heat:
            yield from self._heat()
        yield from self._indicators()
        for k in np.flatnonzero(self.circuits.restless[1:, 0]).tolist():
            relays = ", ".join(r.name for r in self.full.harness.of_kind(Relay))
            yield k, self._effect(CHATTERS, relays or "cut-out", "it chatters")

    def _effect(self, kind: str, subject: str, shows: str) -> Effect:
        return Effect(kind, subject, self.position.name, shows)

    def _movements(self) -> Iterator[tuple[int, Effect]]:
        lost = np.zeros(self.circuits.shape[0], dtype=bool)
        for coil in self.movers:
            name = coil.name
            if name in self.asked and self.maybe[name][0]:
                lost |= ~self.maybe[name]
                yield from self._worse(name, LETS_GO if coil.moves.loss in HARMFUL else DEAD)
        keyed = self._with_key_on()
        for coil in self.movers:
            name = coil.name
            if name in self.asked or self.maybe[name][0]:
                continue
            for k in np.flatnonzero(self.maybe[name][1:]).tolist():
                kind = WRONG_COIL if lost[k + 1] else UNASKED
                if name in keyed:
                    kind = KEY_OFF_WORKS
                yield k, self._effect(kind, name, f"{name} works: {self.position.name}")

    def _with_key_on(self) -> frozenset[str]:
        """Coils that the same buttons ask for with the key on, where it is not."""
        if self.position.key == "key on":
            return frozenset()
        for other in self.full.positions.values():
            if other.key == "key on" and other.pressed == self.position.pressed:
                return self.full.asked(other)
        return frozenset()

    def _worse(self, name: str, lost: str) -> Iterator[tuple[int, Effect]]:
        """Yield what a coil that should work does less: dead (as `lost` says), or weak."""
        dead, weak = ~self.maybe[name], self.maybe[name] & ~self.sure[name]
        for k in np.flatnonzero(dead[1:]).tolist():
            yield k, self._effect(lost, name, f"no click at {name}: {self.position.name}")
        if self.sure[name][0]:
            for k in np.flatnonzero(weak[1:]).tolist():
                yield k, self._effect(WEAK, name, f"{name} may not click: {self.position.name}")

    def _fuses(self) -> Iterator[tuple[int, Effect]]:
        blown = self.circuits.blown[:, 0]
        for j, fuse in enumerate(self.circuits.fuses):
            if blown[0, j]:
                continue
            for k in np.flatnonzero(blown[1:, j]).tolist():
                yield k, self._effect(FUSE_OPENS, fuse, f"fuse {fuse} opens: {self.position.name}")

    def _indicators(self) -> Iterator[tuple[int, Effect]]:
        for part in self.full.harness.parts.values():
            if not isinstance(part, IndicatorLamp | LedIndicator):
                continue
            lit = self.circuits.lit(part.name)[:, 0]
            for k in np.flatnonzero(lit[1:] != lit[0]).tolist():
                how = "lit" if lit[k + 1] else "dark"
                words = f"{part.name} is {how}: {self.position.name}"
                yield k, self._effect(INDICATOR_WRONG, part.name, words)

    def _heat(self) -> Iterator[tuple[int, Effect]]:
        """Yield joints, shorts and windings that take much more power than they should."""
        wanted: dict[str, list[tuple[int, float | None]]] = {}
        for k, fault in enumerate(self.circuits.faults):
            for change in fault.changes if isinstance(fault, Fault) else ():
                if isinstance(change, AddedOhm) and np.isfinite(change.ohm):
                    wanted.setdefault(change.branch, []).append((k, change.ohm))
                elif isinstance(change, OhmTimes):
                    wanted.setdefault(change.branch, []).append((k, None))
                elif isinstance(change, Joined):
                    yield from self._short(k, change)
        for branch, some in wanted.items():
            amps = self.circuits.current_a(branch)[:, 0]
            number = self.full.branch_of[branch]
            ohm = float(self.circuits.draws.resistance_ohm[number, 0])
            for k, added in some:
                if added is not None:
                    power_w = float(amps[k + 1] ** 2 * added)
                    if power_w >= HOT_JOINT_W:
                        yield k, self._hot(k, power_w)
                else:
                    yield from self._winding(k, branch, amps, ohm)

    def _hot(self, k: int, power_w: float, warm_c: float | None = None) -> Effect:
        subject = self._fault(k).subject
        shows = f"{subject} gets hot: {self.position.name}"
        return Effect(HOT, subject, self.position.name, shows, power_w, "W", warm_c)

    def _fault(self, k: int) -> Fault:
        fault = self.circuits.faults[k]
        return fault if isinstance(fault, Fault) else fault[0]

    def _short(self, k: int, change: Joined) -> Iterator[tuple[int, Effect]]:
        across = float(self.circuits.between_v(change.first, change.second)[k + 1, 0])
        power_w = across * across / change.ohm
        if power_w >= HOT_JOINT_W:
            yield k, self._hot(k, power_w)

    def _winding(
        self, k: int, branch: str, amps: NDArray[np.float64], ohm: float
    ) -> Iterator[tuple[int, Effect]]:
        """Yield a winding with shorted turns that runs hotter than the sound one.

        T = T_air + R_th duty P, from the coil's own heat path, where it is known.
        """
        part = self.full.harness.parts[branch.partition("/")[0]]
        factors = [c.factor for c in self._fault(k).changes if isinstance(c, OhmTimes)]
        power_w = float(amps[k + 1] ** 2 * ohm * factors[0])
        if not power_w > MORE_HEAT * float(amps[0] ** 2 * ohm) or power_w < HOT_JOINT_W:
            return
        heat = getattr(part, "thermal_resistance_k_per_w", None)
        warm_c = None
        if heat is not None:
            air = self.full.harness.zone_of(part.zone).ambient_c.nominal
            warm_c = air + heat.nominal * power_w * self.full.harness.use.duty()
        yield k, self._hot(k, power_w, warm_c)
