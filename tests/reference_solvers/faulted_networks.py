"""A faulted circuit put together anew, branch by branch, and solved as a whole.

The changes of a fault are carried out on a list of resistors by the names of their ends; then the
whole network is solved by elimination (curves by Newton's method on top). Nothing of a sound
solution is used again.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from circuitcheck.circuit.build import build_network
from circuitcheck.circuit.positions import Position
from circuitcheck.faults import fault as f
from circuitcheck.model.harness import Harness
from circuitcheck.model.library import Library
from circuitcheck.model.switch import SwitchHandle
from circuitcheck.solve.curves.active_curves import active_curves
from circuitcheck.solve.curves.curve_arrays import CurveArrays
from circuitcheck.solve.curves.curve_network import CurveNetwork
from circuitcheck.solve.curves.curves import Lamp
from circuitcheck.solve.elimination.elimination import EliminationPlan

LEAK_OHM = 1e12


@dataclass
class LooseCircuit:
    """Resistors and curves by name with the names of their ends; curves with their record."""

    resistors: dict[str, tuple[str, str, float]]
    curves: dict[str, tuple[str, str, object]]
    source: str
    reference: str
    supply_v: float
    meter: tuple[str, str, float] | None = None

    def changed(
        self, changes: tuple[object, ...], closed: dict[str, tuple[str, str, float]]
    ) -> None:
        """Carry out the changes of a fault; `closed` are all contacts as if closed."""
        ends: dict[str, list[str]] = {name: list(r[:2]) for name, r in self.resistors.items()}
        landed = {name: list(r[:2]) for name, r in self.resistors.items()}
        for one in changes:
            if isinstance(one, f.AddedOhm):
                self._ohm(one.branch, lambda ohm, more=one.ohm: ohm + more)
            elif isinstance(one, f.OhmTimes):
                self._ohm(one.branch, lambda ohm, times=one.factor: ohm * times)
            elif isinstance(one, f.FuseRated):
                self._ohm(one.fuse, lambda _, ohm=one.element_ohm.nominal: ohm)
            elif isinstance(one, f.AlwaysClosed):
                self.resistors[one.branch] = closed[one.branch]
            elif isinstance(one, f.Joined):
                self.resistors[f"joined {one.first} {one.second}"] = (
                    one.first,
                    one.second,
                    one.ohm,
                )
            elif isinstance(one, f.EndMoved) and one.branch in ends:
                at = landed[one.branch].index(one.at)
                ends[one.branch][at] = one.to
            elif isinstance(one, f.CurveOpen):
                self.curves.pop(one.curve)
            elif isinstance(one, f.CurveReversed):
                start, end, curve = self.curves[one.curve]
                self.curves[one.curve] = (end, start, curve)
        for name, (start, end) in ends.items():
            if name in self.resistors:
                self.resistors[name] = (start, end, self.resistors[name][2])

    def _ohm(self, name: str, new) -> None:
        if name in self.resistors:
            start, end, ohm = self.resistors[name]
            after = new(ohm)
            if math.isinf(after):
                del self.resistors[name]
            else:
                self.resistors[name] = (start, end, after)

    def solved(self, names: list[str]) -> tuple[dict[str, float], dict[str, float]]:
        """Voltages of all nodes against the reference, and currents of all resistors."""
        number = {name: k for k, name in enumerate(names)}
        rows = [r for r in self.resistors.values() if r[0] != r[1]]
        if self.meter is not None:
            rows.append(self.meter)
        leaking = [n for n in names if n not in (self.source, self.reference)]
        rows += [(name, self.reference, LEAK_OHM) for name in leaking]
        a, b = [number[r[0]] for r in rows], [number[r[1]] for r in rows]
        g = np.array([1.0 / r[2] for r in rows])
        poles = (number[self.source], number[self.reference])
        if self.curves:
            pairs = [(number[u], number[v]) for u, v, _ in self.curves.values()]
            shape = CurveNetwork(len(names), a, b, *poles, pairs)
            points = CurveArrays(
                [_at(c, *p) for (_, _, c), p in zip(self.curves.values(), pairs, strict=True)]
            ).nominal()
            found = shape.solve(g[:, None], self.supply_v, points).node_v[:, 0]
        else:
            found = EliminationPlan(len(names), a, b, poles).solve(g, self.supply_v)
        volts = dict(zip(names, found.tolist(), strict=True))
        amps = {n: (volts[u] - volts[v]) / ohm for n, (u, v, ohm) in self.resistors.items()}
        return volts, amps

    def imbalance_a(self, volts: dict[str, float]) -> float:
        """Largest current that is missing at any node, by Kirchhoff's law, at given voltages."""
        left = dict.fromkeys(volts, 0.0)
        flows = [(u, v, (volts[u] - volts[v]) / ohm) for u, v, ohm in self.resistors.values()]
        flows += [
            (u, v, _current_a(curve, volts[u] - volts[v])) for u, v, curve in self.curves.values()
        ]
        for u, v, amps in flows:
            left[u] -= amps
            left[v] += amps
        return max(abs(x) for n, x in left.items() if n not in (self.source, self.reference))


def _current_a(curve: object, volts: float) -> float:
    if isinstance(curve, Lamp):
        share = abs(volts) / curve.rated_v
        law = min(curve.cold_ratio.nominal * share, share**curve.exponent)
        return math.copysign(curve.current_a.nominal * law, volts)
    return max(volts - curve.drop_v.nominal, 0.0) / curve.slope_ohm.nominal


def _at(curve: object, start: int, end: int) -> object:
    if isinstance(curve, Lamp):
        return replace(curve, start=start, end=end)
    return replace(curve, anode=start, cathode=end)


def loose_circuit(
    harness: Harness,
    library: Library,
    position: Position,
    ohms: dict[str, float],
    supply_v: float,
    *,
    opened: frozenset[str] = frozenset(),
    cut_out: frozenset[str] = frozenset(),
) -> LooseCircuit:
    """The sound circuit of a position with its relays as they stand, some fuses open."""
    network = build_network(harness, library, position)
    names = network.node_names
    off = {*opened, *(f"{name}/pull" for name in cut_out)}
    resistors = {
        b.name: (names[b.start], names[b.end], ohms[b.name])
        for b in network.branches
        if b.name not in off
    }
    curves = {
        one.name: (names[one.curve.start], names[one.curve.end], one.curve)
        for one in active_curves(network)
    }
    return LooseCircuit(
        resistors, curves, names[network.source], names[network.reference], supply_v
    )


def closed_contacts(
    harness: Harness, library: Library, ohms: dict[str, float]
) -> dict[str, tuple[str, str, float]]:
    """Every contact that any position closes, with its ends."""
    buttons = frozenset((h.name, b) for h in harness.of_kind(SwitchHandle) for b in h.buttons)
    out: dict[str, tuple[str, str, float]] = {}
    for pressed in (frozenset(), buttons):
        network = build_network(harness, library, Position("", "key on", pressed))
        names = network.node_names
        for b in network.branches:
            out[b.name] = (names[b.start], names[b.end], ohms[b.name])
    return out
