"""Currents step by step: filaments, input capacitors, converters and plungers beside windings.

State: currents of windings, warmth of filaments, voltages of capacitors, places and speeds of
plungers. At each instant the rest of the circuit is one linear step (`port_currents.py`).
"""

from __future__ import annotations

import numpy as np

from circuitcheck.errors import SolveError
from circuitcheck.record import record
from circuitcheck.transient.integration import Crossing, integrated
from circuitcheck.transient.switching_on.plunger import Plungers
from circuitcheck.transient.switching_on.port_currents import Conducting, settled
from circuitcheck.transient.switching_on.port_elements import (
    BoolArray,
    ConverterPort,
    Elements,
    IntArray,
)
from circuitcheck.transient.switching_on.port_network import PortValues
from circuitcheck.transient.waveform import FloatArray

LEAST_INPUT_V = 1.0
"""A converter below this takes its idle current alone, whatever it is made for."""
TURNS, CLOSE_A = 80, 1e-9
MOST_STOPS = 200


@record
class Moment:
    """The states at one instant, each by what it belongs to.

    winding_a (w,) [A], warmth (d,) of filaments over that lit, capacitor_v (c,) by converter [V],
    place_m and speed (k,) of plungers [m, m/s].
    """

    winding_a: FloatArray
    warmth: FloatArray
    capacitor_v: FloatArray
    place_m: FloatArray
    speed: FloatArray

    def packed(self) -> FloatArray:
        """Return all states in one row."""
        parts = (self.winding_a, self.warmth, self.capacitor_v, self.place_m, self.speed)
        return np.concatenate(parts)


class Following:
    """One network with what hangs at its ports, followed in time.

    `movers` (k,) number, among the windings, those with a plunger.
    """

    def __init__(
        self, values: PortValues, elements: Elements, plungers: Plungers, movers: IntArray
    ) -> None:
        self.values, self.elements = values, elements
        self.plungers, self.movers = plungers, movers
        self.windings = elements.windings
        self.with_capacitor = [c for c in elements.converters if c.capacitance_f is not None]
        bare = [c for c in elements.converters if c.capacitance_f is None]
        self.bare = bare
        self.given = np.array([*self.windings, *(c.input for c in bare)], dtype=np.intp)
        self._is_on = np.ones(len(elements.ports), dtype=bool)
        self._is_on[self.given] = False
        self._is_on[elements.is_one_way] = False
        counts = (
            self.windings.size, elements.lamps.size, len(self.with_capacitor), movers.size,
        )  # fmt: skip
        self._cuts = np.cumsum(counts)
        self._input_a = np.zeros(len(bare))
        self._last_on: BoolArray = self._is_on

    def moment(self, state: FloatArray) -> Moment:
        """Return the states by what they belong to."""
        return Moment(*np.split(state, self._cuts))

    def currents_a(self, moment: Moment) -> FloatArray:
        """Return the currents of all ports at one instant, (p,). [A]"""
        elements = self.elements
        series, drop = elements.series_ohm.copy(), elements.drop_v.copy()
        series[elements.lamps] = elements.filaments.resistance_ohm(moment.warmth)
        is_diode = elements.is_one_way.copy()
        is_on = self._last_on.copy()
        for number, one in enumerate(self.with_capacitor):
            drop[one.input] = moment.capacitor_v[number]
            if moment.capacitor_v[number] < one.least_v:
                is_diode[one.output], is_on[one.output] = False, False
        at = Conducting(self.values, series, drop, self.given, is_on)
        for _ in range(TURNS):
            given_a = np.concatenate([moment.winding_a, self._input_a])
            if is_diode.any():
                at = settled(at, given_a, is_diode)
            currents = at.currents_a(given_a)
            if not self.bare:
                break
            wanted = self._wanted_a(at.voltages_v(currents), currents)
            is_close = np.abs(wanted - self._input_a).max() < CLOSE_A
            self._input_a = wanted
            if is_close:
                break
        else:
            raise SolveError("the input current of a converter did not settle")
        self._last_on = at.is_on
        return currents

    def _wanted_a(self, volts: FloatArray, currents: FloatArray) -> FloatArray:
        return np.array(
            [_taken_a(one, float(volts[one.input]), volts, currents) for one in self.bare]
        )

    def rates(self, state: FloatArray) -> FloatArray:
        """Return how fast each state changes, (states,)."""
        moment, elements = self.moment(state), self.elements
        currents = self.currents_a(moment)
        volts = self.values.open_v - self.values.source_ohm @ currents
        inductance = elements.inductance_h[self.windings].copy()
        left = volts[self.windings] - elements.series_ohm[self.windings] * moment.winding_a
        speed = acceleration = moment.speed
        if self.movers.size:
            plungers = self.plungers
            amps = moment.winding_a[self.movers]
            speed = plungers.speed(moment.place_m, moment.speed)
            inductance[self.movers] = plungers.inductance_h(moment.place_m)
            left[self.movers] -= amps * speed * plungers.slope_h_per_m
            acceleration = plungers.acceleration(moment.place_m, speed, amps)
        lamps = elements.lamps
        warming = elements.filaments.rate_per_s(moment.warmth, volts[lamps] * currents[lamps])
        charging = [
            (currents[c.input] - _taken_a(c, float(moment.capacitor_v[n]), volts, currents))
            / (c.capacitance_f or np.inf)
            for n, c in enumerate(self.with_capacitor)
        ]
        return np.concatenate([left / inductance, warming, charging, speed, acceleration])

    def run(self, start: Moment, end_s: float) -> tuple[FloatArray, FloatArray]:
        """Return times (n,) and states (states, n) from `start` at time 0 to `end_s`.

        A plunger that reaches a stop stays there: its speed is gone.
        """
        times, states = [np.zeros(1)], [start.packed()[:, None]]
        now, state = 0.0, start.packed()
        for _ in range(MOST_STOPS):
            found = integrated(
                lambda _t, y: self.rates(y), state, now, end_s,
                crossings=[self._stop(k) for k in range(self.movers.size)],
                longest_step_s=end_s / 40.0,
            )  # fmt: skip
            times.append(found.times_s[1:])
            states.append(found.states[:, 1:])
            if found.stopped_by is None:
                return np.concatenate(times), np.concatenate(states, axis=1)
            now, state = float(found.times_s[-1]), found.states[:, -1].copy()
            self._hold(state, found.stopped_by)
        raise SolveError("a plunger bounces between its stops without end")

    def _places(self, number: int) -> tuple[int, int]:
        place = int(self._cuts[2]) + number
        return place, place + self.movers.size

    def _stop(self, number: int) -> Crossing:
        at, speed = self._places(number)
        stroke = float(self.plungers.stroke_m[number])

        def beyond(_t: float, state: FloatArray) -> float:
            """Above 0 where it is past a stop that it moves towards."""
            if state[speed] > 0.0:
                return float(state[at] - stroke)
            return float(-state[at]) if state[speed] < 0.0 else -1.0

        return beyond

    def _hold(self, state: FloatArray, number: int) -> None:
        at, speed = self._places(number)
        stroke = float(self.plungers.stroke_m[number])
        state[at] = stroke if state[speed] > 0.0 else 0.0
        state[speed] = 0.0


def _taken_a(one: ConverterPort, input_v: float, volts: FloatArray, currents: FloatArray) -> float:
    """Return what a converter draws from its input for what its output gives. [A]"""
    if input_v < max(one.least_v if one.capacitance_f is not None else 0.0, LEAST_INPUT_V):
        return one.idle_a if input_v > 0.0 else 0.0
    output_w = float(-volts[one.output] * currents[one.output])
    return max(output_w, 0.0) / (one.efficiency * input_v) + one.idle_a
