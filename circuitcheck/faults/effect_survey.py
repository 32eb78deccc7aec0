"""What a person would see and what would move or get hot, fault by fault and position by position.

Everything is compared with the sound circuit in the same position.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from circuitcheck.circuit.positions import Position
from circuitcheck.faults.fault import Fault
from circuitcheck.faults.faulted_circuits import FaultedCircuits
from circuitcheck.faults.full_network import FullNetwork
from circuitcheck.faults.part_heat import PartHeat
from circuitcheck.faults.pull_in import LEAST_SHARE
from circuitcheck.faults.soaked_coils import soaked_c
from circuitcheck.model.indicator import IndicatorLamp, LedIndicator
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.reading import Situation
from circuitcheck.model.relay import Relay
from circuitcheck.model.solenoid_coil import STOP_HAZARDS, SolenoidCoil
from circuitcheck.record import record
from circuitcheck.solve.solution import HEAT_SOAKED

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

LESS_SHARE = 0.98
"""A coil counts as weaker for a fault below this share of the current it has without one: common
practice, no source."""


@record
class Effect:
    """One effect of one fault in one position, and how it shows (empty where it does not).

    `coil_state` is HEAT_SOAKED where it shows only with the coils as hot as their use makes them.
    `limit_c` is what `temperature_c` passes, `note` what else is known of the heat.
    """

    kind: str
    subject: str
    position: str
    shows: str = ""
    value: float | None = None
    unit: str = ""
    temperature_c: float | None = None
    limit_c: float | None = None
    note: str = ""
    coil_state: str = ""


def survey(
    full: FullNetwork,
    faults: Sequence[Fault],
    positions: Sequence[Position],
    *,
    heat: bool = True,
) -> Iterator[tuple[Fault, Effect]]:
    """Yield every effect of every fault in the order of positions.

    What gets hot, and what coils no longer do when hot themselves, only where `heat` is asked for.
    """
    warm_c = soaked_c(full) if heat else {}
    for position in positions:
        circuits = FaultedCircuits(
            full.harness, full.library, faults, Situation(position.name), 1, full=full
        )
        look = _Look(full, circuits, position)
        for number, effect in look.effects():
            yield faults[number], effect
        if heat and position.key != "cranking":
            for number, effect in _hot(full, faults, position):
                yield faults[number], effect
        if warm_c and any(coil.name in look.asked for coil in look.movers):
            situation = Situation(position.name)
            hot = FaultedCircuits(
                full.harness, full.library, faults, situation, 1, full=full, windings_c=warm_c
            )
            for number, effect in look.worse_than_here(_Look(full, hot, position)):
                yield faults[number], effect


def _hot(
    full: FullNetwork, faults: Sequence[Fault], position: Position
) -> Iterator[tuple[int, Effect]]:
    """Yield what gets hot on the highest supply."""
    situation = Situation(
        position.name, engine="running", supply_v=full.harness.conditions.running_v().upper
    )
    circuits = FaultedCircuits(full.harness, full.library, faults, situation, 1, full=full)
    for one in PartHeat(full, circuits, position).found():
        shows = f"{one.subject} gets hot: {position.name}"
        yield (
            one.fault,
            Effect(
                HOT, one.subject, position.name, shows, one.power_w, "W", one.temperature_c,
                one.limit_c, one.note,
            ),
        )  # fmt: skip


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

    def effects(self) -> Iterator[tuple[int, Effect]]:
        """Yield the number of a fault in the list and its effect."""
        yield from self._movements()
        yield from self._fuses()
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
        dead = ~self.maybe[name]
        weak = self.maybe[name] & ~self.sure[name] & (self.sure[name][0] | self.lesser(name))
        for k in np.flatnonzero(dead[1:]).tolist():
            yield k, self._effect(lost, name, f"no click at {name}: {self.position.name}")
        for k in np.flatnonzero(weak[1:]).tolist():
            yield k, self._effect(WEAK, name, f"{name} may not click: {self.position.name}")

    def lesser(self, name: str) -> BoolArray:
        """Return where a coil has less than in a sound circuit, which may be weak by itself."""
        return np.asarray(self.share[name] < LESS_SHARE * self.share[name][0])

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

    def worse_than_here(self, hot: _Look) -> Iterator[tuple[int, Effect]]:
        """Yield what coils do less only when hot: by current, or by voltage as `check` asks too."""
        for coil in self.movers:
            name = coil.name
            if name not in self.asked or not (self.maybe[name][0] and hot.maybe[name][0]):
                continue
            lost = LETS_GO if coil.moves.loss in HARMFUL else DEAD
            sure = hot.sure[name] & hot.has_volts(coil)
            dead = self.maybe[name] & ~hot.maybe[name]
            weak = self.sure[name] & hot.maybe[name] & ~sure & (sure[0] | hot.lesser(name))
            for kind, rows, how in (
                (lost, dead, "no click at {}"),
                (WEAK, weak, "{} may not click"),
            ):
                words = f"{how.format(name)}, {HEAT_SOAKED}: {self.position.name}"
                for k in np.flatnonzero(rows[1:]).tolist():
                    yield k, replace(self._effect(kind, name, words), coil_state=HEAT_SOAKED)

    def has_volts(self, coil: SolenoidCoil | PullHoldCoil) -> BoolArray:
        """Return whether a coil has its stated pull-in voltage; True where none is stated."""
        if not isinstance(coil, SolenoidCoil) or coil.pull_in_fraction is None:
            return np.ones(self.circuits.shape[0], dtype=bool)
        branch = self.full.branches[self.full.branch_of[coil.name]]
        ends = [self.full.node_names[end] for end in (branch.start, branch.end)]
        across = np.abs(self.circuits.between_v(ends[0], ends[1])[:, 0])
        return np.asarray(across >= coil.pull_in_fraction * coil.rated_v)
