"""Faults in one state of relays and fuses: voltages with lamps, diodes and converters on."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from circuitcheck.faults.curve_points import CurveSearch, CurveStates
from circuitcheck.faults.linear_faults import LinearFaults
from circuitcheck.faults.port_response import Edits, FloatArray, IntArray, Port, Ports, Shape
from circuitcheck.faults.situation_network import SituationNetwork

UNTOUCHED_V = 1e-5
"""An instrument that shifts a curve's voltage by less leaves its current as it is."""


class StateSolution:
    """Some faults, each in one state; axes are faults, (ports,) draws.

    `places` are the numbers of the faults, `edits` what they change, `supply_v` (faults, draws) the
    battery's voltage; it is 0 where `shape` has none.
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
    ) -> None:
        self.network, self.places, self.edits = network, places, tuple(edits)
        self.conductance, self.supply_v = conductance, supply_v
        self.linear = LinearFaults(shape, conductance, edits)
        self.ports, self.states = network.curve_ports, states
        self.search = CurveSearch(network.parameters)
        self.draws = conductance.shape[1]
        if len(self.ports):
            e = self.linear.open_v(self.ports) * supply_v[:, None, :]
            self.e, self.z = e, self.linear.mutual(self.ports, self.ports)
            self.excess = self._curve_excess(e, self.z, np.arange(len(e)))

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
        return out

    def loaded_voltage(self, ports: Ports, load_ohm: float) -> FloatArray:
        """Voltages with a resistance across each port, one port at a time [V]."""
        open_v, own, g = self.voltage(ports), self.linear.own(ports), 1.0 / load_ohm
        out = open_v / (1.0 + g * own)
        if not len(self.ports):
            return out
        across = self.linear.mutual(ports, self.ports)
        shift = np.abs(across * (g * out)[:, :, None, :]).max(axis=(2, 3), initial=0.0)
        for k in np.flatnonzero((shift > UNTOUCHED_V).any(axis=0)).tolist():
            some = np.flatnonzero(shift[:, k] > UNTOUCHED_V)
            unloaded = self.linear.open_v(Ports([ports[k]]))[some, 0] * self.supply_v[some]
            out[some, k] = self._with_load(some, unloaded, across[some, k], own[some, k], g)
        return out

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
        own = self.linear.own(Ports([port]))[:, 0]
        if not len(self.ports):
            return own
        across = self.linear.mutual(Ports([port]), self.ports)[:, 0]
        total = inner_ohm + own
        e = across * (open_v / total)[:, None, :]
        z = self.z - across[:, :, None, :] * across[:, None, :, :] / total[:, None, None, :]
        excess = self._curve_excess(e, z, np.arange(len(e)))
        back = (across * excess).sum(axis=1)
        fed_a = (open_v + back) / total
        volts = own * fed_a - back
        return np.asarray(volts / fed_a)

    def current(self, name: str) -> FloatArray:
        """Current of a branch from its start to its end, (faults, draws) [A]."""
        number = self.network.full.branch_of[name]
        across = self.voltage(Ports([self.network.branch_port(name)]))[:, 0]
        g = np.broadcast_to(self.conductance[number], across.shape).copy()
        for k, edit in enumerate(self.edits):
            if number in edit.moved:
                pair = edit.moved[number]
                g[k] = edit.joins.get(pair, np.zeros(self.draws))
                across[k] = self.voltage(Ports([Port(*pair)]))[k, 0]
            elif number in edit.branches:
                g[k] = edit.branches[number]
        return np.asarray(across * g)

    def curve_current(self, row: int) -> FloatArray:
        """Current of a lamp, LED or diode, (faults, draws) [A]."""
        across = self.voltage(Ports([self.ports[row]]))[:, 0]
        return np.asarray(self.excess[:, row] + self.network.stand_in_s[row] * across)
