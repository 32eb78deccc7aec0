"""Certified ranges of a whole harness: every switch position, coils cold and heat-soaked.

Conditions are a box: supply from the weakest battery to the highest charging voltage, each
zone's air from its coldest to its hottest, every resistance within its tolerance, every contact
from new to aged. Each resistance is its own variable, so the bounds are outer; how far they may
stand off is worked out for each quantity and carried as its gap (`network_ranges.py`).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from circuitcheck.circuit.build import build_network
from circuitcheck.circuit.netlist import Network
from circuitcheck.circuit.positions import Position, switch_positions
from circuitcheck.model.harness import Harness
from circuitcheck.model.library import Library
from circuitcheck.model.tolerance_band import Band
from circuitcheck.solve import bounds
from circuitcheck.solve.box import FloatArray, open_box
from circuitcheck.solve.condition_words import condition_words
from circuitcheck.solve.network_ranges import Bounded, NetworkRanges
from circuitcheck.solve.soak import soak_coils
from circuitcheck.solve.solution import COIL_STATES, HEAT_SOAKED, CoilHeat, Range

LEAST_COIL_A = 1e-6
"""A coil with less than a microampere is not energised."""


@dataclass(frozen=True)
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

    def energised(self) -> tuple[str, ...]:
        """Return the coils that carry current in this position, in file order."""
        if not self.network.live:
            return ()
        return tuple(
            branch.owner
            for number, branch in enumerate(self.network.branches)
            if branch.role == "coil"
            and abs(self.ranges.currents[number].range.nominal) > LEAST_COIL_A
        )

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
        return condition_words(
            self.network,
            self.ranges.box,
            bounded.ends_lower if at_lower else bounded.ends_upper,
            bounded.supply_lower_v if at_lower else bounded.supply_upper_v,
        )

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


@dataclass(frozen=True)
class Solution:
    """All switch positions of a harness, in both coil states.

    `heat` tells how hot each coil gets by its duty, by coil name.
    """

    harness: Harness
    library: Library
    positions: tuple[PositionSolution, ...]
    heat: Mapping[str, CoilHeat]

    def live(self, coil_state: str) -> tuple[PositionSolution, ...]:
        """Return the positions in which the tap is live and the engine is not being cranked.

        Cranking is left out: its supply lies outside the range in which the circuit must work.
        """
        return tuple(
            solved
            for solved in self.positions
            if solved.coil_state == coil_state
            and solved.network.live
            and solved.position.key != "cranking"
        )

    def of(self, position: str, coil_state: str) -> PositionSolution:
        """Return the solution of a named position. Raises KeyError when there is none."""
        for solved in self.positions:
            if solved.position.name == position and solved.coil_state == coil_state:
                return solved
        raise KeyError(f"no switch position {position!r} in state {coil_state!r}")


def solve_harness(
    harness: Harness, library: Library, positions: Sequence[Position] | None = None
) -> Solution:
    """Return the certified solution of every switch position in both coil states.

    With `positions` only those are solved, and coils are heated by those alone: enough to try a
    change out, not to judge a harness.

    Positions that close the same contacts share one solution; ranges are worked out when asked
    for. Raises CircuitError when there are too many positions, SolveError when a bound cannot be
    certified.
    """
    positions = switch_positions(harness) if positions is None else positions
    networks = {position: build_network(harness, library, position) for position in positions}
    supply = {position: _supply_v(harness, position) for position in positions}
    by_contacts: dict[frozenset[str], bounds.Network] = {}
    for network in networks.values():
        if network.closed_contacts() not in by_contacts:
            by_contacts[network.closed_contacts()] = _shape(network)
    shapes = {p: by_contacts[networks[p].closed_contacts()] for p in positions}
    heat = soak_coils(harness, positions, networks, shapes, supply)
    air_c = {name: zone.ambient_c for name, zone in harness.zones.items()}
    shared: dict[tuple[bounds.Network, Band, str], NetworkRanges] = {}
    solved = []
    for position in positions:
        for coil_state in COIL_STATES:
            key = (shapes[position], supply[position], coil_state)
            if key not in shared:
                shared[key] = _ranges(
                    networks[position],
                    shapes[position],
                    supply[position],
                    heat if coil_state == HEAT_SOAKED else None,
                    air_c,
                )
            solved.append(PositionSolution(position, coil_state, networks[position], shared[key]))
    return Solution(harness, library, tuple(solved), heat)


def _shape(network: Network) -> bounds.Network:
    return bounds.Network(
        len(network.node_names),
        network.starts,
        network.ends,
        network.source,
        network.reference,
    )


def _supply_v(harness: Harness, position: Position) -> Band:
    conditions = harness.conditions
    if position.key == "cranking" and conditions.cranking_v is not None:
        lower, upper = conditions.cranking_v
        return Band(lower, (lower + upper) / 2.0, upper)
    if position.key == "key off":
        lower, upper = conditions.engine_off_v
        return Band(lower, (lower + upper) / 2.0, upper)
    return conditions.running_v()


def _ranges(
    network: Network,
    shape: bounds.Network,
    supply_v: Band,
    heat: Mapping[str, CoilHeat] | None,
    air_c: Mapping[str, Band],
) -> NetworkRanges:
    """Ranges with each wire as hot as its own largest current makes it.

    The largest currents are sought with wires as hot as their insulation allows. A wire that they
    would heat beyond that makes the box too small: it is opened as far, until it holds.
    """
    box = open_box(network, heat)
    ranges = NetworkRanges(network, shape, box, supply_v, air_c=air_c)
    for _ in range(len(network.branches)):
        heated = open_box(network, heat, _highest_a(ranges))
        if not (heated.temperature_c[2] > box.temperature_c[2]).any():
            return NetworkRanges(network, shape, heated, supply_v, wider=ranges, air_c=air_c)
        box = box.warmed(heated.temperature_c)
        ranges = NetworkRanges(network, shape, box, supply_v, air_c=air_c)
    return ranges


def _highest_a(ranges: NetworkRanges) -> FloatArray:
    """Largest current of each branch that heats itself."""
    network = ranges.network
    highest = np.zeros(len(network.branches))
    if not network.live:
        return highest
    heated = [n for n, b in enumerate(network.branches) if b.role in ("wire", "upstream wire")]
    highest[heated] = ranges.largest_currents(heated)
    return highest


def _band(rows: FloatArray) -> Band:
    return Band(float(rows[0]), float(rows[1]), float(rows[2]))
