"""Faults in one state of relays and fuses: voltages with lamps, diodes and converters on."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from circuitcheck.faults.curve_points import CurveSearch, CurveStates
from circuitcheck.faults.linear_faults import LinearFaults
from circuitcheck.faults.port_response import Shape
from circuitcheck.faults.ports import Edits, FloatArray, IntArray, Port, Ports
from circuitcheck.faults.situation_network import SituationNetwork

BoolArray = NDArray[np.bool_]

DRIVEN_V = 0.3
"""From here on a diode is solved for: less than the least drop of any (0.4 V)."""
TOGETHER = 32
"""Faults that are solved together with what each drives."""
METER_OHM = 1e5
"""A load of more takes less than a diode needs to be noticed."""
UNTOUCHED_V = 1e-5
"""An instrument that shifts a curve's voltage by less leaves its current as it is."""


class StateSolution:
    """Some faults, each in one state; axes are faults, (ports,) draws.

    `places` are the numbers of the faults, `edits` what they change, `supply_v` (faults, draws) the
    battery's voltage; it is 0 where `shape` has none. `rows` are the curves that are solved for;
    faults that drive another one forwards are solved once more with it, as parts.
    """

    def __init__(
        self,
        network: SituationNetwork,
        shape: Shape,
        conductance: FloatArray,
        places: IntArray,
        edits: Sequence[Edits],
        supply_v: FloatArray,
        states: CurveStates,
        rows: IntArray | None = None,
    ) -> None:
        self.network, self.places, self.edits = network, places, tuple(edits)
        self.shape, self.conductance, self.supply_v = shape, conductance, supply_v
        self.linear = LinearFaults(shape, conductance, edits)
        self.every_state = states
        self.rows = network.parameters.always if rows is None else rows
        self.states = CurveStates(states.alive[:, self.rows], states.turned[:, self.rows])
        self.ports = Ports([network.curve_ports[k] for k in self.rows.tolist()])
        self.search = CurveSearch(network.parameters.taken(self.rows))
        self.draws = conductance.shape[1]
        self.parts: list[tuple[IntArray, StateSolution]] = []
        if len(self.ports):
            e = self.linear.open_v(self.ports) * supply_v[:, None, :]
            self.e, self.z = e, self.linear.mutual(self.ports, self.ports)
            self.excess = self._curve_excess(e, self.z, np.arange(len(e)))
        count = len(network.curve_ports)
        self.left_out = np.setdiff1d(np.arange(count), self.rows)
        if self.left_out.size:
            ports = Ports([network.curve_ports[k] for k in self.left_out.tolist()])
            self.parts = self._with_driven(self._driven(self.voltage(ports)))

    def _driven(self, across: FloatArray) -> BoolArray:
        """Which of the curves left out voltages (faults, curves, draws) drive forwards."""
        alive = self.every_state.alive[:, self.left_out]
        sign = np.where(self.every_state.turned[:, self.left_out], -1.0, 1.0)
        return np.asarray((sign[..., None] * across > DRIVEN_V).any(axis=2) & alive)

    def _with_driven(self, driven: BoolArray) -> list[tuple[IntArray, StateSolution]]:
        """Solve the faults that drive something once more, alike ones together."""
        alike: dict[bytes, list[int]] = {}
        for k in np.flatnonzero(driven.any(axis=1)).tolist():
            alike.setdefault(driven[k].tobytes(), []).append(k)
        sets: list[list[int]] = []
        for group in sorted(alike.values()):
            if sets and len(sets[-1]) + len(group) <= TOGETHER:
                sets[-1] += group
            else:
                sets.append(list(group))
        out = []
        for some in sets:
            more = self.left_out[driven[some].any(axis=0)]
            rows = np.union1d(self.rows, more)
            out.append((np.array(some, dtype=np.intp), self._part(some, rows)))
        return out

    def _part(self, some: Sequence[int], rows: IntArray) -> StateSolution:
        at = np.asarray(some, dtype=np.intp)
        states = CurveStates(self.every_state.alive[at], self.every_state.turned[at])
        return StateSolution(
            self.network, self.shape, self.conductance, self.places[at],
            [self.edits[k] for k in at.tolist()], self.supply_v[at], states, rows,
        )  # fmt: skip

    def _curve_excess(
        self, e: FloatArray, z: FloatArray, some: IntArray, near: FloatArray | None = None
    ) -> FloatArray:
        """What curves carry beyond their stand-ins, (faults, curves, draws), for open e."""
        faults, rows, draws = e.shape
        draw = np.tile(np.arange(draws), faults)
        states = CurveStates(
            np.repeat(self.states.alive[some], draws, axis=0),
            np.repeat(self.states.turned[some], draws, axis=0),
        )
        flat_e = np.moveaxis(e, 1, 2).reshape(-1, rows)
        flat_z = np.moveaxis(z, 3, 1).reshape(-1, rows, rows)
        start = None if near is None else np.moveaxis(near, 1, 2).reshape(-1, rows)
        excess = self.search.solve(flat_e, flat_z, states, draw, start)
        return np.moveaxis(excess.reshape(faults, draws, rows), 2, 1)

    def voltage(self, ports: Ports) -> FloatArray:
        """Voltages at ports, nothing connected to them, (faults, ports, draws) [V]."""
        out = self.linear.open_v(ports) * self.supply_v[:, None, :]
        if len(self.ports):
            across = self.linear.mutual(ports, self.ports)
            out = out - np.einsum("fpcd,fcd->fpd", across, self.excess)
        for some, part in self.parts:
            out[some] = part.voltage(ports)
        return out

    def loaded_voltage(self, ports: Ports, load_ohm: float) -> FloatArray:
        """Voltages with a resistance across each port, one port at a time [V]."""
        open_v, own, g = self.voltage(ports), self.linear.own(ports), 1.0 / load_ohm
        out = open_v / (1.0 + g * own)
        if len(self.ports):
            across = self.linear.mutual(ports, self.ports)
            shift = np.abs(across * (g * out)[:, :, None, :]).max(axis=(2, 3), initial=0.0)
            for k in np.flatnonzero((shift > UNTOUCHED_V).any(axis=0)).tolist():
                some = np.flatnonzero(shift[:, k] > UNTOUCHED_V)
                unloaded = self.linear.open_v(Ports([ports[k]]))[some, 0] * self.supply_v[some]
                out[some, k] = self._with_load(some, unloaded, across[some, k], own[some, k], g)
        for some, part in self.parts:
            out[some] = part.loaded_voltage(ports, load_ohm)
        if self.left_out.size and load_ohm < METER_OHM:
            self._drive(out, ports, load_ohm)
        return out

    def _drive(self, out: FloatArray, ports: Ports, load_ohm: float) -> None:
        """Solve again, in place, where the current of an instrument drives a curve left out."""
        others = Ports([self.network.curve_ports[k] for k in self.left_out.tolist()])
        across = self.voltage(others)
        for k, port in enumerate(ports.all):
            one = Ports([port])
            pull = self.linear.mutual(others, one)[:, :, 0] * (out[:, k] / load_ohm)[:, None, :]
            driven = self._driven(across - pull)
            driven[[j for some, _ in self.parts for j in some.tolist()]] = False
            for some, part in self._with_driven(driven):
                out[some, k] = part.loaded_voltage(one, load_ohm)[:, 0]

    def _with_load(
        self, some: IntArray, unloaded: FloatArray, across: FloatArray, own: FloatArray, g: float
    ) -> FloatArray:
        """Voltage of some faults at one port under a load that curves notice, (faults, draws)."""
        share = g / (1.0 + g * own)
        e = self.e[some] - across * (share * unloaded)[:, None, :]
        z = self.z[some] - share[:, None, None, :] * across[:, :, None, :] * across[:, None, :, :]
        excess = self._curve_excess(e, z, some, self.excess[some])
        pulled = unloaded - (across * excess).sum(axis=1)
        return np.asarray(pulled / (1.0 + g * own))

    def ohms(self, port: Port, open_v: float, inner_ohm: float) -> FloatArray:
        """What a meter of an open voltage behind a resistance reads as resistance [ohm]."""
        one = Ports([port])
        own = self.linear.own(one)[:, 0]
        out = own.copy()
        fed_a = open_v / (inner_ohm + own)
        if len(self.ports):
            across = self.linear.mutual(one, self.ports)[:, 0]
            total = inner_ohm + own
            e = across * fed_a[:, None, :]
            z = self.z - across[:, :, None, :] * across[:, None, :, :] / total[:, None, None, :]
            back = (across * self._curve_excess(e, z, np.arange(len(e)))).sum(axis=1)
            fed_a = (open_v + back) / total
            out = (own * fed_a - back) / fed_a
        if self.left_out.size:
            others = Ports([self.network.curve_ports[k] for k in self.left_out.tolist()])
            seen = self.linear.mutual(others, one)[:, :, 0] * fed_a[:, None, :]
            for some, part in self._with_driven(self._driven(seen)):
                out[some] = part.ohms(port, open_v, inner_ohm)
        return np.asarray(out)

    def currents(self, names: Sequence[str]) -> FloatArray:
        """Currents of branches from their starts to their ends, (faults, branches, draws) [A]."""
        ports = Ports([self.network.branch_port(name) for name in names])
        across = self.voltage(ports)
        numbers = [self.network.full.branch_of[name] for name in names]
        g = np.broadcast_to(self.conductance[numbers], across.shape).copy()
        moved: dict[tuple[int, int], list[tuple[int, int]]] = {}
        for j, number in enumerate(numbers):
            for k in self._editing.get(number, ()):
                edit = self.edits[k]
                if number in edit.moved:
                    moved.setdefault(edit.moved[number], []).append((k, j))
                    g[k, j] = edit.joins.get(edit.moved[number], np.zeros(self.draws))
                else:
                    g[k, j] = edit.branches[number]
        if moved:
            volts = self.voltage(Ports([Port(*pair) for pair in moved]))
            for place, some in enumerate(moved.values()):
                for k, j in some:
                    across[k, j] = volts[k, place]
        return np.asarray(across * g)

    @cached_property
    def _editing(self) -> dict[int, list[int]]:
        """Faults that change or move each branch."""
        out: dict[int, list[int]] = {}
        for k, edit in enumerate(self.edits):
            for number in edit.branches:
                out.setdefault(number, []).append(k)
        return out

    def curve_current(self, row: int) -> FloatArray:
        """Current of a lamp, LED or diode, (faults, draws) [A]."""
        port = Ports([self.network.curve_ports[row]])
        out = self.network.stand_in_s[row] * self.voltage(port)[:, 0]
        if row in self.rows:
            out += self.excess[:, int(np.searchsorted(self.rows, row))]
        for some, part in self.parts:
            out[some] = part.curve_current(row)
        return np.asarray(out)
