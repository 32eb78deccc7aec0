"""Several coils switched off together: their currents through suppressors and shared wires.

    L di/dt = v - R i                      each winding
    v = E + a ln(1 + i / I_s) + r i        each suppressor, a junction that blocks the other way
    v = e - R_T i                          the wires between them, as ports

A junction follows W. Shockley, Bell System Technical Journal 28 (1949) 435. The voltages are
solved at each instant by Newton's method in w = ln(1 + i / I_s), in which a junction is a straight
line while it blocks; the currents are integrated. Where every coil has a suppressor of its own,
the closed form of `switching_off.py` says the same.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from circuitcheck.circuit.netlist import Network
from circuitcheck.errors import SolveError
from circuitcheck.record import record
from circuitcheck.transient.integration import integrated
from circuitcheck.transient.switching_off.suppressor import Law
from circuitcheck.transient.switching_on.port_network import Port, PortNetwork, PortValues
from circuitcheck.transient.waveform import FloatArray, Waveform

MOST_STEPS = 400
CLOSE = 1e-9
LEAST_POINTS = 150
"""So that straight lines between the points give event times to a thousandth."""
BARE_V = 1e4
"""No suppressor lets a tenth of this stand: a winding with more has no path for its current."""
STRAIGHT_SLOPE_V, STRAIGHT_SATURATION_A = 1e-3, 1e-6
"""A junction so sharp that it is a constant voltage to 15 mV."""


@record
class Junction:
    """A suppressor from node `anode` to node `cathode`: v = E + a ln(1 + i / I_s) + r i.

    For one silicon junction E is 0 and a about 26 mV; for a diode and Zener in series a is twice
    that and E close to the breakdown voltage.
    """

    name: str
    anode: int
    cathode: int
    clamp_v: float
    slope_v: float
    saturation_a: float
    series_ohm: float

    @classmethod
    def of(cls, name: str, anode: int, cathode: int, law: Law) -> Junction:
        """Return a straight law as a junction that hardly bends."""
        bend_v = STRAIGHT_SLOPE_V * math.log1p(1.0 / STRAIGHT_SATURATION_A)
        return cls(
            name, anode, cathode, law.clamp_v - bend_v, STRAIGHT_SLOPE_V, STRAIGHT_SATURATION_A,
            law.series_ohm,
        )  # fmt: skip


@record
class FreeWinding:
    """A winding from node `start` to node `end` with its current when the contact opens."""

    name: str
    start: int
    end: int
    inductance_h: float
    ohm: float
    current_a: float


@record
class Freewheeling:
    """Currents [A] and voltages [V] of all windings over time, by name."""

    currents: dict[str, Waveform]
    voltages: dict[str, Waveform]


def freewheel(
    network: Network,
    resistance_ohm: FloatArray,
    supply_v: float,
    windings: Sequence[FreeWinding],
    junctions: Sequence[Junction],
    end_s: float,
) -> Freewheeling:
    """Return how the currents of `windings` fall from when `network` has taken its new shape.

    `resistance_ohm` (branches,) of the network after the contacts have opened. Raises SolveError
    for a winding whose current finds no path: its peak is beyond this model.
    """
    ports = [Port(w.name, w.name, "winding", w.start, w.end) for w in windings]
    ports += [Port(j.name, j.name, "diode", j.anode, j.cathode) for j in junctions]
    compiled = PortNetwork(network, ports)
    if compiled.floating:
        raise SolveError(f"{', '.join(compiled.floating)}: hangs on nothing when switched off")
    state = _State(compiled.at(resistance_ohm, supply_v), windings, junctions)
    start_a = np.array([winding.current_a for winding in windings])
    first_v = state.winding_v(start_a)
    for winding, volts in zip(windings, first_v, strict=True):
        if abs(volts) > BARE_V:
            raise SolveError(
                f"{winding.name}: no suppressor takes its current; its peak is beyond this model"
            )
    found = integrated(
        lambda _, amps: state.rates(amps), start_a, 0.0, end_s, longest_step_s=end_s / LEAST_POINTS
    )
    volts = np.array([state.winding_v(column) for column in found.states.T]).T
    times = found.times_s
    return Freewheeling(
        {w.name: Waveform(w.name, "A", times, found.states[k]) for k, w in enumerate(windings)},
        {w.name: Waveform(w.name, "V", times, volts[k]) for k, w in enumerate(windings)},
    )


class _State:
    """The ports' voltages for given winding currents; begins from where it was last."""

    def __init__(
        self, values: PortValues, windings: Sequence[FreeWinding], junctions: Sequence[Junction]
    ) -> None:
        self.count = len(windings)
        self.values = values
        self.henry = np.array([winding.inductance_h for winding in windings])
        self.ohm = np.array([winding.ohm for winding in windings])
        self.clamp = np.array([one.clamp_v for one in junctions])
        self.slope = np.array([one.slope_v for one in junctions])
        self.saturation = np.array([one.saturation_a for one in junctions])
        self.series = np.array([one.series_ohm for one in junctions])
        self.bend = np.zeros(len(junctions))

    def rates(self, current_a: FloatArray) -> FloatArray:
        """Return di/dt of the windings [A/s]."""
        found: FloatArray = (self.winding_v(current_a) - self.ohm * current_a) / self.henry
        return found

    def winding_v(self, current_a: FloatArray) -> FloatArray:
        """Return the voltage across each winding [V]."""
        n, values = self.count, self.values
        taken = self._junction_a(current_a)
        volts: FloatArray = (
            values.open_v[:n]
            - values.source_ohm[:n, :n] @ current_a
            - values.source_ohm[:n, n:] @ taken
        )
        return volts

    def _junction_a(self, current_a: FloatArray) -> FloatArray:
        """Return the current of each junction, by Newton's method in w = ln(1 + i / I_s)."""
        n, values = self.count, self.values
        if not self.bend.size:
            return self.bend
        driving_v = values.open_v[n:] - values.source_ohm[n:, :n] @ current_a
        own = values.source_ohm[n:, n:]
        # no junction takes more than all windings and the supply together can drive
        most_a = 2.0 * np.abs(current_a).sum() + 1e3
        cap = np.log1p(most_a / self.saturation)
        bend = np.minimum(self.bend, cap)
        for _ in range(MOST_STEPS):
            grown = self.saturation * np.exp(bend)
            amps = grown - self.saturation
            off = self.clamp + self.slope * bend + self.series * amps + own @ amps - driving_v
            slope = np.diag(self.slope + self.series * grown) + own * grown
            step = np.linalg.solve(slope, off)
            bend = np.minimum(bend - step, cap)
            if np.all(np.abs(step) < CLOSE * (1.0 + np.abs(bend))):
                self.bend = bend
                found: FloatArray = self.saturation * np.expm1(bend)
                return found
        raise SolveError("the suppressors of coupled coils could not be solved")
