"""Where positions settle: the currents at their ports when nothing changes any more."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from circuitcheck.errors import SolveError
from circuitcheck.record import record
from circuitcheck.transient.switching_on.alike_circuits import AlikeCircuits
from circuitcheck.transient.switching_on.following import LEAST_INPUT_V
from circuitcheck.transient.switching_on.port_elements import Elements
from circuitcheck.transient.switching_on.port_network import PortValues
from circuitcheck.transient.waveform import FloatArray

TURNS, CLOSE = 400, 1e-9


@record
class Steady:
    """Currents (p,) and voltages (p,) of all ports, warmth of filaments (d,) over that lit."""

    current_a: FloatArray
    voltage_v: FloatArray
    warmth: FloatArray


def steady(values: PortValues, elements: Elements) -> Steady:
    """Return the steady state of one circuit; see `steady_together`."""
    return steady_together([values], [elements])[0]


def steady_together(values: Sequence[PortValues], elements: Sequence[Elements]) -> list[Steady]:
    """Return the steady states of circuits with the same ports, each by itself.

    Windings are plain resistances, lamps lit, capacitors charged. By turns: each lamp as the
    straight line that touches its curve where the last turn left it (Newton), converter inputs as
    it left them. Raises SolveError where that does not close.
    """
    alike, lamps = AlikeCircuits(values, elements), elements[0].lamps
    inputs = _Inputs(elements)
    alike.is_on[:, inputs.ports] = False
    input_a, warmth = inputs.idle_a, np.ones_like(alike.filaments.lit_ohm)
    for _ in range(TURNS):
        currents = alike.settle(inputs.ports, input_a)
        volts = alike.volts(currents)
        new = alike.filaments.settled_warmth(volts[:, lamps], warmth)
        wanted = inputs.taken_a(currents, volts)
        apart = [np.abs(new - warmth).max(initial=0.0), np.abs(wanted - input_a).max(initial=0.0)]
        warmth, input_a = new, wanted
        if max(apart) < CLOSE:
            return [Steady(*rows) for rows in zip(currents, volts, warmth, strict=True)]
        exponent = alike.filaments.settled_exponent(warmth)
        alike.series_ohm[:, lamps] = alike.filaments.resistance_ohm(warmth) / exponent
        alike.drop_v[:, lamps] = volts[:, lamps] * (1.0 - 1.0 / exponent)
    raise SolveError("lamps and converters of a position did not settle")


class _Inputs:
    """The inputs (c,) of the converters of circuits (b,)."""

    def __init__(self, elements: Sequence[Elements]) -> None:
        converters = elements[0].converters
        self.ports = np.array([one.input for one in converters], dtype=np.intp)
        self.outputs = np.array([one.output for one in converters], dtype=np.intp)
        self.efficiency = np.array([[c.efficiency for c in one.converters] for one in elements])
        self.idle_a = np.array([[c.idle_a for c in one.converters] for one in elements])

    def taken_a(self, currents: FloatArray, volts: FloatArray) -> FloatArray:
        """Return what each takes for what it gives, (b, c). [A]"""
        if not self.ports.size:
            return self.idle_a
        taken_v = np.maximum(volts[:, self.ports], LEAST_INPUT_V)
        output_w = np.maximum(-volts[:, self.outputs] * currents[:, self.outputs], 0.0)
        return np.asarray(output_w / (self.efficiency * taken_v) + self.idle_a)
