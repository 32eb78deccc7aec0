"""Stages of many actions followed side by side, those of filaments with the same ports at once."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from circuitcheck.record import record
from circuitcheck.transient.switching_on.glowing import Glowing
from circuitcheck.transient.switching_on.port_currents import LEFT_OVER
from circuitcheck.transient.switching_on.port_network import Port
from circuitcheck.transient.switching_on.rise import SETTLED_TIMES
from circuitcheck.transient.switching_on.stage_circuit import (
    LAMP_TIMES,
    LEAST_S,
    MOST_S,
    Carried,
    Followed,
    StageCircuit,
)
from circuitcheck.transient.waveform import FloatArray


@record
class Ahead:
    """A stage's circuit, what it is entered with, and how long it lasts: None until it settles."""

    circuit: StageCircuit
    carried: Carried
    lasts_s: float | None


@record
class Past:
    """A stage that has been followed, and the windings that were cut off at its start."""

    followed: Followed
    interrupted: tuple[str, ...]


def follow_all(stages: Sequence[Ahead]) -> list[Past]:
    """Follow stages, each by itself; raises SolveError where one cannot be followed."""
    found: dict[int, Past] = {}
    alike: dict[tuple[Port, ...], list[int]] = {}
    for number, one in enumerate(stages):
        if one.circuit.is_glowing:
            alike.setdefault(one.circuit.elements.ports, []).append(number)
    for some in alike.values():
        pasts = _glowing([stages[number] for number in some])
        found |= {k: past for k, past in zip(some, pasts, strict=True) if past is not None}
    return [found[k] if k in found else _alone(one) for k, one in enumerate(stages)]


def _alone(one: Ahead) -> Past:
    entering, interrupted = one.circuit.entering(one.carried)
    lasts_s = one.circuit.settles_s(entering) if one.lasts_s is None else one.lasts_s
    return Past(one.circuit.follow(entering, lasts_s), interrupted)


def _glowing(stages: Sequence[Ahead]) -> list[Past | None]:
    """Follow stages with filaments and the same ports; None where diodes change on the way."""
    circuits = [one.circuit for one in stages]
    elements = circuits[0].elements
    windings = [elements.ports[k].name for k in elements.windings]
    lamps = [elements.ports[k].name for k in elements.lamps]
    start_a = _rows([[s.carried.winding_a.get(n, 0.0) for n in windings] for s in stages])
    glowing = Glowing([c.values for c in circuits], [c.elements for c in circuits], start_a)
    cold = glowing.alike.filaments.cold.tolist()
    warmth = [
        [one.carried.warmth.get(name, least) for name, least in zip(lamps, row, strict=True)]
        for one, row in zip(stages, cold, strict=True)
    ]
    settled_s = np.maximum(glowing.slowest_s() * SETTLED_TIMES, LEAST_S)
    settled_s = np.maximum(settled_s, LAMP_TIMES * elements.filaments.time_constant_s)
    own_s = np.minimum(settled_s, MOST_S).tolist()
    lasts_s = [
        settles_s if one.lasts_s is None else one.lasts_s
        for one, settles_s in zip(stages, own_s, strict=True)
    ]
    courses = glowing.follow(_rows(warmth), lasts_s)
    past: list[Past | None] = []
    for one, course, is_cut in zip(stages, courses, glowing.is_cut.tolist(), strict=True):
        if course is None:
            past.append(None)
            continue
        times, port_a, glow = course
        last = Carried(
            dict(zip(windings, port_a[elements.windings, -1].tolist(), strict=True)),
            dict(zip(lamps, glow[:, -1].tolist(), strict=True)),
        )
        lost = [n for n, is_lost in zip(windings, is_cut, strict=True) if is_lost]
        interrupted = (*_hanging(one), *lost)
        past.append(Past(Followed(times, port_a, {}, last), interrupted))
    return past


def _hanging(one: Ahead) -> list[str]:
    """Return the windings that hang on nothing and carried a current."""
    carried = one.carried.winding_a
    return [name for name in one.circuit.floating if abs(carried.get(name, 0.0)) > LEFT_OVER]


def _rows(rows: list[list[float]]) -> FloatArray:
    return np.array(rows, dtype=np.float64)
