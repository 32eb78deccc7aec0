"""What each single fault does in each switch position: single-fault effects, in words of IEC 60812.

Local effect is what happens at the part, end effect what the coils do, detection how it shows.
Worked out at nominal values with the engine off; a coil counts as working unasked where its current
would move the easiest of its type, as weak where it would not move every one, with the coils as
warm as usual or, which is told, as hot as `check` has them. What gets hot: `part_heat.py`.
Source: IEC 60812:2018, failure modes and effects analysis, for the terms.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import field

from circuitcheck.circuit.positions import Position
from circuitcheck.faults.effect_survey import (
    CHATTERS,
    DEAD,
    FUSE_OPENS,
    HOT,
    INDICATOR_WRONG,
    KEY_OFF_WORKS,
    LETS_GO,
    UNASKED,
    WEAK,
    WRONG_COIL,
    Effect,
    survey,
)
from circuitcheck.faults.fault import Fault
from circuitcheck.faults.fault_list import single_faults
from circuitcheck.faults.full_network import FullNetwork
from circuitcheck.model.harness import Harness
from circuitcheck.model.library import Library
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.solenoid_coil import SolenoidCoil
from circuitcheck.record import record

NOTHING = "nothing seen"
KINDS = (
    UNASKED,
    WRONG_COIL,
    KEY_OFF_WORKS,
    LETS_GO,
    FUSE_OPENS,
    HOT,
    CHATTERS,
    DEAD,
    WEAK,
    INDICATOR_WRONG,
    NOTHING,
)
"""Effects, worst first: what moves unasked, what can burn, what does not work, what misleads."""
HAZARDS_BY_HARM = ("none", "noise", "spray", "unknown", "machine part moves", "load can fall")
ALL_POSITIONS = 64
"""Up to so many switch positions all are looked at; beyond it those with one button at most."""


@record
class CauseEffect:
    """One effect of one cause on one coil, fuse or part, over all positions it shows in.

    `severity` is the mildest severity from which it occurs, empty where there is only one.
    `value` is the largest, in `unit` (W); `temperature_c` where heat data give one, with the
    `limit_c` that it passes. `coil_state` is HEAT_SOAKED where from that severity on it occurs only
    with hot coils.
    """

    kind: str
    subject: str
    positions: tuple[str, ...]
    severity: str = ""
    value: float | None = None
    unit: str = ""
    temperature_c: float | None = None
    limit_c: float | None = None
    note: str = ""
    coil_state: str = ""


@record
class CauseEffects:
    """All effects of one cause. `shows` is in words how a person notices it.

    `is_hidden` where no coil, indicator or fuse behaves otherwise in any position.
    """

    cause: str
    fault: Fault
    effects: tuple[CauseEffect, ...]
    shows: tuple[str, ...] = ()
    severities: tuple[str, ...] = field(default=())

    @property
    def is_hidden(self) -> bool:
        """Whether nothing is seen of it in any position."""
        return not self.shows

    @property
    def worst(self) -> str:
        """Return the kind of its worst effect."""
        return min((e.kind for e in self.effects), key=KINDS.index, default=NOTHING)


def single_fault_effects(
    harness: Harness, library: Library, faults: Sequence[Fault] | None = None
) -> tuple[CauseEffects, ...]:
    """Return the effects of each single fault, by cause, worst first.

    Without `faults` of all that `single_faults` knows. Severities of a cause are told together.
    """
    full = FullNetwork(harness, library)
    every = single_faults(harness, library) if faults is None else tuple(faults)
    found: dict[str, list[tuple[Fault, Effect]]] = {fault.cause: [] for fault in every}
    for fault, effect in survey(full, every, looked_at(full)):
        found[fault.cause].append((fault, effect))
    first = {fault.cause: fault for fault in reversed(every)}
    steps: dict[str, list[str]] = {}
    for fault in every:
        steps.setdefault(fault.cause, []).append(fault.severity)
    out = [_cause(cause, first[cause], tuple(steps[cause]), some) for cause, some in found.items()]
    return tuple(sorted(out, key=lambda one: _badness(one, harness)))


def looked_at(full: FullNetwork) -> tuple[Position, ...]:
    """Return the positions that are looked at: all, or with many of them the simple ones."""
    every = tuple(full.positions.values())
    if len(every) <= ALL_POSITIONS:
        return every
    return tuple(position for position in every if len(position.pressed) <= 1)


def _cause(
    cause: str, fault: Fault, severities: tuple[str, ...], some: list[tuple[Fault, Effect]]
) -> CauseEffects:
    grouped: dict[tuple[str, str], list[tuple[Fault, Effect]]] = {}
    for one, effect in some:
        grouped.setdefault((effect.kind, effect.subject), []).append((one, effect))
    effects = [
        _merged(kind, subject, group, severities) for (kind, subject), group in grouped.items()
    ]
    effects.sort(key=lambda e: (KINDS.index(e.kind), e.subject))
    shows = dict.fromkeys(effect.shows for _, effect in some if effect.shows)
    given = tuple(s for s in severities if s)
    return CauseEffects(cause, fault, tuple(effects), tuple(shows), given)


def _merged(
    kind: str, subject: str, group: list[tuple[Fault, Effect]], severities: tuple[str, ...]
) -> CauseEffect:
    """Severities are listed from mild to severe, so the first that occurs is the mildest."""
    positions = tuple(dict.fromkeys(effect.position for _, effect in group))
    worst = max((e for _, e in group), key=lambda e: (e.temperature_c or 0.0, e.value or 0.0))
    mildest = min((fault.severity for fault, _ in group), key=severities.index)
    states = {effect.coil_state for fault, effect in group if fault.severity == mildest}
    return CauseEffect(
        kind, subject, positions, mildest, worst.value, worst.unit, worst.temperature_c,
        worst.limit_c, worst.note, min(states),
    )  # fmt: skip


def hazard_of(harness: Harness, coil: str, kind: str = UNASKED) -> str:
    """Return the hazard of an effect on a coil: when it moves or, for LETS_GO, when it is lost.

    Empty for what moves nothing.
    """
    part = harness.parts.get(coil)
    if not isinstance(part, SolenoidCoil | PullHoldCoil):
        return ""
    return part.moves.loss if kind == LETS_GO else part.moves.hazard


def harm(hazard: str) -> int:
    """Return how much a hazard counts: larger is worse; those that stop the work are worst."""
    if hazard in HAZARDS_BY_HARM:
        return HAZARDS_BY_HARM.index(hazard)
    return len(HAZARDS_BY_HARM) if hazard else -1


def _badness(one: CauseEffects, harness: Harness) -> tuple[int, int, int]:
    worst = KINDS.index(one.worst)
    worst_of = [e for e in one.effects if e.kind == one.worst]
    most = max((harm(hazard_of(harness, e.subject, e.kind)) for e in worst_of), default=-1)
    # of movements, those that come without any button first
    at_rest = any("," not in p for e in worst_of for p in e.positions)
    return worst, -most, 0 if at_rest else 1
