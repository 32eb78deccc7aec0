"""One stage's circuit at one corner: reduced to its ports, with all that hangs at them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import astuple, field
from functools import cached_property

import numpy as np

from circuitcheck.circuit.netlist import Network
from circuitcheck.model.solenoid_coil import Plunger
from circuitcheck.record import record
from circuitcheck.transient.switching_on.following import Following, Moment
from circuitcheck.transient.switching_on.glowing import MOST_LAMPS
from circuitcheck.transient.switching_on.plunger import Plungers
from circuitcheck.transient.switching_on.port_currents import (
    LEFT_OVER,
    OPEN_OHM,
    Conducting,
    settled,
)
from circuitcheck.transient.switching_on.port_elements import Elements, IntArray
from circuitcheck.transient.switching_on.port_network import PortValues
from circuitcheck.transient.switching_on.rise import SETTLED_TIMES, Modes, modes, rise
from circuitcheck.transient.switching_on.steady import Steady, steady
from circuitcheck.transient.waveform import FloatArray

LEAST_S, MOST_S = 1e-3, 60.0
LAMP_TIMES, CAPACITOR_TIMES, PLUNGER_TIMES = 14.0, 14.0, 2.0


@record
class Carried:
    """States that outlast a stage, each by name of winding, lamp, converter or coil."""

    winding_a: Mapping[str, float] = field(default_factory=dict)
    warmth: Mapping[str, float] = field(default_factory=dict)
    capacitor_v: Mapping[str, float] = field(default_factory=dict)
    place_m: Mapping[str, float] = field(default_factory=dict)
    speed: Mapping[str, float] = field(default_factory=dict)


@record
class Followed:
    """Times of a stage from its own start (t,), currents of all ports (p, t), plungers' places."""

    times_s: FloatArray
    port_a: FloatArray
    places_m: Mapping[str, FloatArray]
    last: Carried


@record
class StageCircuit:
    """One stage's circuit at one corner. `plungers` by the coil that moves them."""

    network: Network
    values: PortValues
    elements: Elements
    floating: tuple[str, ...]
    plungers: Mapping[str, Plunger]
    _linear_at: dict[bytes, Conducting] = field(default_factory=dict, repr=False, compare=False)

    @property
    def is_linear(self) -> bool:
        """Whether the closed form holds: windings, resistances and diodes alone."""
        return self.elements.is_linear and not self.movers.size

    @property
    def is_glowing(self) -> bool:
        """Whether windings, resistances and a few filaments are all there is, and diodes."""
        return (
            0 < self.elements.lamps.size <= MOST_LAMPS
            and not self.elements.converters
            and not self.movers.size
        )

    @cached_property
    def movers(self) -> IntArray:
        """Numbers, among the windings, of those whose plunger's data are given."""
        names = [self.elements.ports[k].name for k in self.elements.windings]
        return np.flatnonzero([name in self.plungers for name in names])

    @cached_property
    def steady(self) -> Steady:
        """Where the circuit settles. Raises SolveError where it does not."""
        return steady(self.values, self.elements)

    def settles_at(self, found: Steady) -> None:
        """Take over where it settles, worked out beside others."""
        vars(self)["steady"] = found

    def branch_a(self, port_a: FloatArray) -> FloatArray:
        """Return the current of every branch (m, ...) from those of the ports (p, ...). [A]"""
        shape = (-1,) + (1,) * (port_a.ndim - 1)
        return np.asarray(self.values.branch_a.reshape(shape) + self.values.branch_per_a @ port_a)

    def port_v(self, port_a: FloatArray) -> FloatArray:
        """Return the voltage at every port (p, ...) from the currents (p, ...). [V]"""
        shape = (-1,) + (1,) * (port_a.ndim - 1)
        return np.asarray(self.values.open_v.reshape(shape) - self.values.source_ohm @ port_a)

    @cached_property
    def settled(self) -> Carried:
        """The states of the settled circuit."""
        found, names = self.steady, [port.name for port in self.elements.ports]
        windings = {names[k]: float(found.current_a[k]) for k in self.elements.windings}
        lamps = dict(
            zip([names[k] for k in self.elements.lamps], found.warmth.tolist(), strict=True)
        )
        inputs = {names[c.input]: float(found.voltage_v[c.input]) for c in self.elements.converters}
        if not self.movers.size:
            return Carried(windings, lamps, inputs)
        moves_from = dict(zip(self._mover_names, self._plungers.moves_from_a(), strict=True))
        places = {
            name: self.plungers[name].stroke_m if abs(windings[name]) >= needed_a else 0.0
            for name, needed_a in moves_from.items()
        }
        return Carried(windings, lamps, inputs, places, dict.fromkeys(places, 0.0))

    def entering(self, carried: Carried) -> tuple[Moment, tuple[str, ...]]:
        """Return the states at the start of this stage, and the windings that were cut off.

        A winding that no loop is left for loses its current at once.
        """
        names = [port.name for port in self.elements.ports]
        windings = [names[k] for k in self.elements.windings]
        start_a = np.array([carried.winding_a.get(name, 0.0) for name in windings])
        lost = [n for n in self.floating if abs(carried.winding_a.get(n, 0.0)) > LEFT_OVER]
        for _ in range(len(windings)):
            driven, matrix = self._linear(start_a).reduced()
            own = self.elements.series_ohm[self.elements.windings]
            final_a = np.linalg.solve(matrix + np.diag(own), driven)
            is_open = np.diag(matrix) > OPEN_OHM
            is_cut = is_open & (np.abs(final_a) < LEFT_OVER * np.abs(start_a))
            if not is_cut.any():
                break
            lost += [windings[k] for k in np.flatnonzero(is_cut)]
            start_a = np.where(is_cut, 0.0, start_a)
        lamps = [names[k] for k in self.elements.lamps]
        cold = self.elements.filaments.cold
        warmth = [carried.warmth.get(n, c) for n, c in zip(lamps, cold, strict=True)]
        with_c = [c for c in self.elements.converters if c.capacitance_f is not None]
        moment = Moment(
            start_a,
            np.array(warmth),
            np.array([carried.capacitor_v.get(names[c.input], 0.0) for c in with_c]),
            np.array([carried.place_m.get(name, 0.0) for name in self._mover_names]),
            np.array([carried.speed.get(name, 0.0) for name in self._mover_names]),
        )
        return moment, tuple(dict.fromkeys(lost))

    def settles_s(self, entering: Moment) -> float:
        """Return a time after which nothing worth counting changes. [s]"""
        elements = self.elements
        rates = self._modes(entering).rates_per_s
        lasts = [LEAST_S, SETTLED_TIMES / float(rates.min()) if rates.size else 0.0]
        if self.movers.size:
            growth = float((self._plungers.seated_h / self._plungers.released_h).max())
            lasts.append(PLUNGER_TIMES * growth * lasts[-1])
        if elements.lamps.size:
            lasts.append(LAMP_TIMES * elements.filaments.time_constant_s)
        for one in elements.converters:
            before_ohm = float(self.values.source_ohm[one.input, one.input])
            lasts.append(CAPACITOR_TIMES * before_ohm * (one.capacitance_f or 0.0))
        return min(max(lasts), MOST_S)

    def follow(self, entering: Moment, lasts_s: float) -> Followed:
        """Follow the circuit from its states at the start for a time [s]: rise, or step by step."""
        if self.is_linear:
            found = rise(self.values, self.elements, entering.winding_a)
            times = found.times_s(lasts_s)
            port_a = found.currents_a(times)
            return Followed(times, port_a, {}, self._last(port_a[:, -1], None))
        following = Following(self.values, self.elements, self._plungers, self.movers)
        times, states = following.run(entering, lasts_s)
        moments = [following.moment(state) for state in states.T]
        port_a = np.array([following.currents_a(moment) for moment in moments]).T
        places = {
            name: np.array([moment.place_m[k] for moment in moments])
            for k, name in enumerate(self._mover_names)
        }
        return Followed(times, port_a, places, self._last(port_a[:, -1], moments[-1]))

    def _last(self, port_a: FloatArray, moment: Moment | None) -> Carried:
        names = [port.name for port in self.elements.ports]
        windings = {names[k]: float(port_a[k]) for k in self.elements.windings}
        if moment is None:
            return Carried(windings)
        lamps = [names[k] for k in self.elements.lamps]
        inputs = [names[c.input] for c in self.elements.converters if c.capacitance_f is not None]
        return Carried(
            windings,
            dict(zip(lamps, moment.warmth.tolist(), strict=True)),
            dict(zip(inputs, moment.capacitor_v.tolist(), strict=True)),
            dict(zip(self._mover_names, moment.place_m.tolist(), strict=True)),
            dict(zip(self._mover_names, moment.speed.tolist(), strict=True)),
        )

    @property
    def _mover_names(self) -> list[str]:
        return [self.elements.ports[self.elements.windings[k]].name for k in self.movers]

    @cached_property
    def _plungers(self) -> Plungers:
        rows = np.array([astuple(self.plungers[name]) for name in self._mover_names]).reshape(-1, 7)
        return Plungers(*rows.T)

    def _linear(self, start_a: FloatArray) -> Conducting:
        """Return what conducts at given currents of windings, lamps taken as lit."""
        key = start_a.tobytes()
        if key not in self._linear_at:
            elements = self.elements
            series = elements.series_ohm.copy()
            series[elements.lamps] = elements.filaments.lit_ohm
            is_on = (elements.inductance_h == 0.0) & ~elements.is_one_way
            is_on[[one.input for one in elements.converters]] = False
            at = Conducting(self.values, series, elements.drop_v, elements.windings, is_on)
            self._linear_at[key] = settled(at, start_a, elements.is_one_way)
        return self._linear_at[key]

    def _modes(self, entering: Moment) -> Modes:
        windings = self.elements.windings
        driven, matrix = self._linear(entering.winding_a).reduced()
        own = np.diag(self.elements.series_ohm[windings])
        return modes(self.elements.inductance_h[windings], matrix + own, driven, entering.winding_a)
