"""One switch position solved in one coil state: what checks and papers ask of it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import cached_property

import numpy as np

from circuitcheck.circuit.asked_for import asked_loads
from circuitcheck.circuit.netlist import LOADS, Network
from circuitcheck.circuit.positions import Position
from circuitcheck.model.tolerance_band import Band
from circuitcheck.record import record
from circuitcheck.solve.bounds.bounded import Bounded
from circuitcheck.solve.bounds.box import FloatArray
from circuitcheck.solve.bounds.corner_search import EndArray
from circuitcheck.solve.condition_words import condition_words
from circuitcheck.solve.curves.active_curves import ActiveCurve
from circuitcheck.solve.curves.curves import voltage_v
from circuitcheck.solve.network_ranges import NetworkRanges
from circuitcheck.solve.solution import Range

LEAST_COIL_A = 1e-6
"""A coil with less than a microampere is not energised."""


@record
class PositionSolution:
    """One switch position in one coil state. All ranges are certified.

    A terminal that hangs on nothing in this position has no voltage: its range is NaN.
    """

    position: Position
    coil_state: str
    network: Network
    ranges: NetworkRanges

    @property
    def supply_v(self) -> Band:
        """Supply at the battery posts, weakest to highest [V]."""
        return self.ranges.supply_v

    def current_a(self, branch: str) -> Range:
        """Return the current of a branch or curve, by name, from its start to its end [A]."""
        return self.ranges.currents[self._element(branch)].range

    def across_v(self, branch: str) -> Range:
        """Return the voltage from start to end of a branch or curve, as its own quantity [V]."""
        return self.ranges.across[self._element(branch)].range

    def voltage_v(self, terminal: str) -> Range:
        """Return the voltage of a terminal against battery negative [V]."""
        return self.ranges.nodes[self.network.node_of[terminal]].range

    def between_v(self, start: str, end: str) -> Range:
        """Return the voltage from one terminal to another, as its own quantity [V]."""
        return self.between_many_v([(start, end)])[0]

    def between_many_v(self, pairs: Sequence[tuple[str, str]]) -> list[Range]:
        """Return the voltages of many pairs of terminals in one batch [V]."""
        node = self.network.node_of
        found = self.ranges.between([(node[start], node[end]) for start, end in pairs])
        return [bounded.range for bounded in found]

    def power_w(self, branch: str) -> Range:
        """Return the power turned to heat in a branch or curve, which is at no corner [W]."""
        return self.ranges.powers[self._element(branch)]

    def resistance_ohm(self, branch: str) -> Band:
        """Return the band a branch's resistance was given in the solution [ohm]."""
        return _band(self.ranges.box.resistance_ohm[:, self._branch(branch)])

    def temperature_c(self, branch: str) -> Band:
        """Return the band of temperature of a branch's metal [degC]."""
        return _band(self.ranges.box.temperature_c[:, self._branch(branch)])

    def with_winding(
        self, coil: str, resistance_ohm: float, temperature_c: float
    ) -> PositionSolution:
        """Return the position with one coil's winding held at one resistance and temperature.

        For questions about a coil in one known state, with all else anywhere in the box.
        """
        pinned = self.ranges.pinned(self._branch(coil), resistance_ohm, temperature_c)
        return replace(self, ranges=pinned)

    @property
    def pull_state(self) -> str:
        """Whether pull windings that something cuts out are on (PULLING) or off (HOLDING)."""
        return self.network.pull_state

    def energised(self) -> tuple[str, ...]:
        """Return the coils that the position asks for and that carry current, in file order."""
        if not self.network.live:
            return ()
        asked = self.asked_for
        return tuple(
            branch.owner
            for number, branch in enumerate(self.network.branches)
            if branch.role == "coil"
            and branch.name in asked
            and abs(self.ranges.currents[number].range.nominal) > LEAST_COIL_A
        )

    @cached_property
    def asked_for(self) -> frozenset[str]:
        """Names of the branches and curves that lie on a path of closed contacts and wires."""
        return asked_loads(self.network)

    def carrying(self, least_a: float = LEAST_COIL_A) -> tuple[str, ...]:
        """Return the loads that may carry more than `least_a` somewhere in the box, by name.

        Windings, resistors and suppressors in the order of branches, then lamps and LEDs; asked
        for or not. The machine's present load is not one of them.
        """
        if not self.network.live:
            return ()
        elements = [
            (number, branch.name)
            for number, branch in enumerate(self.network.branches)
            if branch.role in LOADS and branch.role != "present load"
        ]
        first = len(self.network.branches)
        elements += [
            (first + number, curve.name)
            for number, curve in enumerate(self.network.curves)
            if curve.role != "diode"
        ]
        currents = self.ranges.currents
        return tuple(name for n, name in elements if currents[n].range.largest() > least_a)

    def conditions(self, branch: str, side: str) -> tuple[str, ...]:
        """Return in words what makes the `lower` or `upper` end of a branch's current."""
        return self._words(self.ranges.currents[self._element(branch)], side)

    def between_conditions(self, start: str, end: str, side: str) -> tuple[str, ...]:
        """Return in words what makes the `lower` or `upper` end of a voltage."""
        node = self.network.node_of
        return self._words(self.ranges.between([(node[start], node[end])])[0], side)

    def _words(self, bounded: Bounded, side: str) -> tuple[str, ...]:
        if side not in ("lower", "upper"):
            raise ValueError(f"side {side!r} is neither lower nor upper")
        at_lower = side == "lower"
        ends = bounded.ends_lower if at_lower else bounded.ends_upper
        supply_v = bounded.supply_lower_v if at_lower else bounded.supply_upper_v
        fields = bounded.fields_lower if at_lower else bounded.fields_upper
        curves = self._curve_volts(ends, supply_v, fields)
        return condition_words(self.network, self.ranges.box, ends, supply_v, curves)

    def _curve_volts(
        self, ends: EndArray, supply_v: float, fields: FloatArray | None
    ) -> list[tuple[ActiveCurve, float]]:
        """Active curves with the voltage across each at a corner; `fields` are those kept."""
        active, first = self.ranges.active, len(self.network.branches)
        if not active:
            return []
        amps = None if fields is None else fields[: first + len(active)]
        if amps is None or np.isnan(amps).any():
            solved = self.ranges.solve_corner(ends[:, None], np.array([supply_v]))
            amps = solved.branch_a[:, 0]
        return [
            (one, voltage_v(one.curve, int(ends[first + j]), float(amps[first + j])))
            for j, one in enumerate(active)
        ]

    def _branch(self, name: str) -> int:
        return self.network.branch_of[name]

    def _element(self, name: str) -> int:
        """Number among branches, then curves."""
        number = self.network.branch_of.get(name)
        return self._curve_of[name] if number is None else number

    @cached_property
    def _curve_of(self) -> Mapping[str, int]:
        first = len(self.network.branches)
        return {curve.name: first + j for j, curve in enumerate(self.network.curves)}


def _band(rows: FloatArray) -> Band:
    return Band(float(rows[0]), float(rows[1]), float(rows[2]))
