"""Where a position settles: the currents at its ports when nothing changes any more."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from circuitcheck.errors import SolveError
from circuitcheck.transient.following import LEAST_INPUT_V
from circuitcheck.transient.port_currents import Conducting, settled
from circuitcheck.transient.port_elements import ConverterPort, Elements
from circuitcheck.transient.port_network import PortValues
from circuitcheck.transient.waveform import FloatArray

TURNS, CLOSE = 400, 1e-10


@dataclass(frozen=True)
class Steady:
    """Currents (p,) and voltages (p,) of all ports, warmth of filaments (d,) over that lit."""

    current_a: FloatArray
    voltage_v: FloatArray
    warmth: FloatArray


def steady(values: PortValues, elements: Elements) -> Steady:
    """Return the steady state: windings as plain resistances, lamps lit, capacitors charged.

    By turns: lamps and converter inputs as the last turn left them. Raises SolveError where that
    does not close.
    """
    inputs = np.array([one.input for one in elements.converters], dtype=np.intp)
    series = elements.series_ohm.copy()
    series[elements.lamps] = elements.filaments.lit_ohm
    is_on = ~elements.is_one_way
    is_on[inputs] = False
    input_a = np.array([one.idle_a for one in elements.converters])
    warmth = np.ones(elements.lamps.size)
    for _ in range(TURNS):
        at = Conducting(values, series, elements.drop_v, inputs, is_on)
        at = settled(at, input_a, elements.is_one_way)
        currents = at.currents_a(input_a)
        volts = at.voltages_v(currents)
        is_on = at.is_on
        new = elements.filaments.settled_warmth(volts[elements.lamps], warmth)
        wanted = np.array([_input_a(one, volts, currents) for one in elements.converters])
        apart = np.concatenate([np.abs(new - warmth), np.abs(wanted - input_a), [0.0]]).max()
        warmth, input_a = new, wanted
        if apart < CLOSE:
            return Steady(currents, volts, warmth)
        series[elements.lamps] = elements.filaments.resistance_ohm(warmth)
    raise SolveError("lamps and converters of a position did not settle")


def _input_a(one: ConverterPort, volts: FloatArray, currents: FloatArray) -> float:
    taken_v = max(float(volts[one.input]), LEAST_INPUT_V)
    output_w = max(float(-volts[one.output] * currents[one.output]), 0.0)
    return output_w / (one.efficiency * taken_v) + one.idle_a
