"""What is left for coils that are on, in the moment in which other loads are switched on.

    V = e - R_1 I_1 - R_2 I_2 - ...

e the voltage at a coil with nothing on, R_k what it loses per ampere of load k. Filaments that were
dark are taken as cold for as long as it lasts, coils as if they had risen, pull windings as on:
nothing can pull further. Where it would settle so, a coil's current never falls below.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from circuitcheck.record import record
from circuitcheck.solve.worst_case import Solution
from circuitcheck.transient.switching_on.actions import Action, actions
from circuitcheck.transient.switching_on.corners import WEAKEST, Corner
from circuitcheck.transient.switching_on.port_currents import Conducting, settled
from circuitcheck.transient.switching_on.port_elements import IntArray
from circuitcheck.transient.switching_on.stage_circuit import StageCircuit
from circuitcheck.transient.switching_on.switching_on import SwitchingCircuits
from circuitcheck.transient.waveform import FloatArray

NOTHING_A = 1e-3
LIT_FROM = 0.3
"""Temperature over that lit, in kelvin, below which a filament counts as dark and cold."""


@record
class Loss:
    """What one load takes off: its name, ohm in common with the coil, current [ohm, A]."""

    load: str
    ohm: float
    current_a: float


@record
class Dip:
    """One winding that is on before and after an action, at the worst moment of it.

    `open_v` is the voltage at it with nothing on, `losses` what each load takes off it, itself
    included, `across_v` what is left. `cold` names the filaments that are cold, `uncharged` the
    converters whose input capacitor charges meanwhile: that is not in it.
    """

    branch: str
    owner: str
    action: Action
    supply_v: float
    open_v: float
    losses: tuple[Loss, ...]
    across_v: float
    winding_ohm: float
    cold: tuple[str, ...]
    uncharged: tuple[str, ...]


def dips(solution: Solution) -> Iterator[Dip]:
    """Yield, for each action that presses, every winding that is on before and after it."""
    circuits = SwitchingCircuits(solution)
    corner = Corner(WEAKEST, solution.heat)
    chosen = [circuits.settled(one) for one in actions(solution.harness) if one.adds]
    for done, cut in zip(chosen, circuits.prepare(chosen, [corner]), strict=True):
        yield from _of_action(circuits, corner, done, cut)


def _of_action(
    circuits: SwitchingCircuits, corner: Corner, done: Action, cut: frozenset[str]
) -> Iterator[Dip]:
    before = circuits.circuits.at(done.before, cut, corner)
    after = circuits.circuits.at(done.after, cut, corner)
    was_a = _by_name(before, np.abs(before.steady.current_a))
    held = [
        k for k, port in enumerate(after.elements.ports)
        if port.kind == "winding" and was_a.get(port.name, 0.0) > NOTHING_A
        and abs(after.steady.current_a[k]) > NOTHING_A
    ]  # fmt: skip
    if not held:
        return
    warmth = _by_name_of(before, before.elements.lamps, before.steady.warmth)
    cold = tuple(
        after.elements.ports[k].name
        for k in after.elements.lamps
        if warmth.get(after.elements.ports[k].name, 0.0) < LIT_FROM
    )
    currents = _settled_with(after, frozenset(cold))
    names = [port.name for port in after.elements.ports]
    fed = {before.elements.ports[c.input].name for c in before.elements.converters}
    uncharged = tuple(n for c in after.elements.converters if (n := names[c.input]) not in fed)
    for k in held:
        sign = 1.0 if currents[k] >= 0.0 else -1.0
        losses = tuple(
            Loss(names[j], sign * float(after.values.source_ohm[k, j]), float(currents[j]))
            for j in range(len(names))
        )
        open_v = sign * float(after.values.open_v[k])
        across_v = open_v - sum(loss.ohm * loss.current_a for loss in losses)
        yield Dip(
            names[k],
            after.elements.ports[k].owner,
            done,
            corner.supply_v(circuits.supply_v(done.after)),
            open_v,
            losses,
            across_v,
            float(after.elements.series_ohm[k]),
            cold,
            uncharged,
        )


def _settled_with(circuit: StageCircuit, cold: frozenset[str]) -> FloatArray:
    """Return the currents of all ports with some filaments held cold, the others as lit. [A]"""
    elements = circuit.elements
    names = [elements.ports[k].name for k in elements.lamps]
    is_cold = np.array([name in cold for name in names], dtype=bool)
    warmth = np.where(is_cold, elements.filaments.cold, circuit.steady.warmth)
    series = elements.series_ohm.copy()
    series[elements.lamps] = elements.filaments.resistance_ohm(warmth)
    inputs = np.array([one.input for one in elements.converters], dtype=np.intp)
    is_on = ~elements.is_one_way
    is_on[inputs] = False
    given_a = circuit.steady.current_a[inputs]
    at = Conducting(circuit.values, series, elements.drop_v, inputs, is_on)
    return settled(at, given_a, elements.is_one_way).currents_a(given_a)


def _by_name(circuit: StageCircuit, values: FloatArray) -> dict[str, float]:
    names = [port.name for port in circuit.elements.ports]
    return dict(zip(names, values.tolist(), strict=True))


def _by_name_of(circuit: StageCircuit, ports: IntArray, values: FloatArray) -> dict[str, float]:
    names = [circuit.elements.ports[k].name for k in ports]
    return dict(zip(names, values.tolist(), strict=True))
