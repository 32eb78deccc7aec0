"""Certified ranges of one network over its box, and how far shared temperatures leave them open.

The box takes every resistance as its own variable, but wires in one zone share its air. Each bound
is therefore compared with what all-hot and all-cold reach at the same contacts and tolerances; the
better of the two can really happen, and the distance to it is part of the gap.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from circuitcheck.circuit.netlist import Network
from circuitcheck.model.tolerance_band import Band
from circuitcheck.solve import bounds
from circuitcheck.solve.box import Box, FloatArray, IntArray
from circuitcheck.solve.corner_search import EndArray
from circuitcheck.solve.diode_bounds import BandedDiodeNetwork, DiodeBoundsResult
from circuitcheck.solve.diodes import StraightDiode
from circuitcheck.solve.elimination import NetworkSolution
from circuitcheck.solve.power_bounds import bound_powers
from circuitcheck.solve.solution import Range

NEGLIGIBLE = 1e-4
"""Share of a bound; a gap below it is left out."""
ROUNDING = 1e-12
"""Volts or amperes that a solution of nothing at all may leave."""
LEAST_FORWARD_V = 0.2
"""A silicon junction carries nothing to speak of below this, even hot."""
FORWARD_DROP_V = Band(0.4, 0.7, 0.9)
FORWARD_SLOPE_OHM = Band(0.002, 0.01, 0.05)
"""A silicon rectifier of 1 A to 10 A, hot to cold: common practice, no source."""
FORWARD_DROP = (FORWARD_DROP_V.lower, FORWARD_DROP_V.nominal, FORWARD_DROP_V.upper)
FORWARD_SLOPE = (FORWARD_SLOPE_OHM.lower, FORWARD_SLOPE_OHM.nominal, FORWARD_SLOPE_OHM.upper)


@dataclass(frozen=True)
class Bounded:
    """A range with the corners it was found at: ends (branches,) of -1, 0, +1 and the supply."""

    range: Range
    ends_lower: EndArray
    ends_upper: EndArray
    supply_lower_v: float
    supply_upper_v: float


class NetworkRanges:
    """Ranges of one network in one box, each group worked out when first asked for."""

    def __init__(self, network: Network, shape: bounds.Network, box: Box, supply_v: Band) -> None:
        self.network, self.shape, self.box, self.supply_v = network, shape, box, supply_v
        self._between: dict[tuple[int, int], Bounded] = {}

    @cached_property
    def currents(self) -> list[Bounded]:
        """Current of each branch [A]."""
        every = np.arange(self._n_branches)
        if self.conducting:
            found = self._solve_with_diodes([], self.conducting).current.take(every)
        else:
            found = self._currents.current
        return self._with_gap(found, lambda solved: solved.branch_a[every, every])

    def pinned(self, branch: int, resistance_ohm: float, temperature_c: float) -> NetworkRanges:
        """Return the ranges with one branch held at one resistance and temperature."""
        box = self.box.pinned(branch, resistance_ohm, temperature_c)
        return NetworkRanges(self.network, self.shape, box, self.supply_v)

    def largest_currents(self, branches: Sequence[int]) -> FloatArray:
        """Largest magnitude of the current of some branches [A], shape (len(branches),)."""
        wanted = np.asarray(branches, dtype=np.intp)
        if self.conducting:
            found = self._solve_with_diodes([], self.conducting).current.take(wanted)
        else:
            found = self._solve([], wanted).current
        return np.asarray(np.maximum(np.abs(found.lower), np.abs(found.upper)))

    @cached_property
    def powers(self) -> list[Range]:
        """Power turned to heat in each branch [W].

        With a conducting diode, largest current times largest voltage: above the true power.
        """
        if self.conducting:
            return [
                Range(
                    amps.range.smallest() * volts.range.smallest(),
                    abs(amps.range.nominal * volts.range.nominal),
                    amps.range.largest() * volts.range.largest(),
                    amps.range.largest() * volts.range.largest()
                    - abs(amps.range.nominal * volts.range.nominal),
                    "enclosure",
                )
                for amps, volts in zip(self.currents, self.across, strict=True)
            ]
        every = range(self._n_branches)
        found = bound_powers(self.shape, self._currents, self.supply_v, list(every))
        return [
            Range(
                found.band(k).lower,
                found.band(k).nominal,
                found.band(k).upper,
                float(found.gap[k]),
                found.method[k],
            )
            for k in every
        ]

    @cached_property
    def conducting(self) -> tuple[StraightDiode, ...]:
        """Bare diodes that may conduct somewhere in the box, each as a band of straight lines.

        A suppressor fitted the right way round is reverse-biased whatever the resistances are
        and has no part in the steady state; one that is reversed is a short.
        """
        diodes = self.network.diodes
        if not diodes or not self.network.live:
            return ()
        pairs = [(diode.anode, diode.cathode) for diode in diodes]
        lines = [StraightDiode(*pair, FORWARD_DROP_V, FORWARD_SLOPE_OHM) for pair in pairs]
        on: list[StraightDiode] = []
        while True:
            # One that conducts shifts what stands across the others: ask again until none joins.
            found = self._solve_with_diodes(pairs, on) if on else self._solve(pairs, [])
            more = [
                line
                for line, volts in zip(lines, found.voltage.upper, strict=True)
                if line not in on and volts > LEAST_FORWARD_V
            ]
            if not more:
                return tuple(on)
            on += more

    @property
    def _n_branches(self) -> int:
        return len(self.network.branches)

    @cached_property
    def _currents(self) -> bounds.BoundsResult:
        return self._solve([], None)

    @cached_property
    def across(self) -> list[Bounded]:
        """Voltage from start to end of each branch [V]."""
        pairs = [(branch.start, branch.end) for branch in self.network.branches]
        return self.between(pairs)

    @cached_property
    def nodes(self) -> list[Bounded]:
        """Voltage of each node against battery negative [V]."""
        reference = self.network.reference
        return self.between([(node, reference) for node in range(len(self.network.node_names))])

    def between(self, pairs: Sequence[tuple[int, int]]) -> list[Bounded]:
        """Voltage from the first to the second node of each pair [V]."""
        new = [pair for pair in dict.fromkeys(pairs) if pair not in self._between]
        if new:
            self._between.update(zip(new, self._voltages(new), strict=True))
        return [self._between[pair] for pair in pairs]

    def _solve(
        self, pairs: Sequence[tuple[int, int]], branches: Sequence[int] | IntArray | None
    ) -> bounds.BoundsResult:
        lower, nominal, upper = self.box.resistance_ohm
        return bounds.solve_bounds(
            self.shape,
            lower,
            nominal,
            upper,
            self.supply_v,
            list(pairs),
            current_branches=branches,
        )

    def _voltages(self, pairs: Sequence[tuple[int, int]]) -> list[Bounded]:
        plus = np.array([p for p, _ in pairs], dtype=np.intp)
        minus = np.array([q for _, q in pairs], dtype=np.intp)
        if self.conducting:
            found = self._solve_with_diodes(pairs, self.conducting).voltage
        else:
            found = self._solve(pairs, []).voltage
        column = np.arange(len(pairs))
        return self._with_gap(found, lambda v: v.node_v[plus, column] - v.node_v[minus, column])

    def _solve_with_diodes(
        self, pairs: Sequence[tuple[int, int]], diodes: Sequence[StraightDiode]
    ) -> DiodeBoundsResult:
        lower, nominal, upper = self.box.resistance_ohm
        shape = self._shape_with(diodes)
        return shape.solve_bounds(lower, nominal, upper, self.supply_v, list(pairs))

    def _shape_with(self, diodes: Sequence[StraightDiode]) -> BandedDiodeNetwork:
        network = self.network
        return BandedDiodeNetwork(
            len(network.node_names),
            network.starts,
            network.ends,
            network.source,
            network.reference,
            diodes,
        )

    def _with_gap(
        self, found: bounds.BoundSet, pick: Callable[[NetworkSolution], FloatArray]
    ) -> list[Bounded]:
        """Compare each bound with what its own corner gives with all air cold, then all hot."""
        low = self._reached(found.corner_lower, found.source_lower_v, pick).min(axis=0)
        high = self._reached(found.corner_upper, found.source_upper_v, pick).max(axis=0)
        out = []
        for k in range(len(found)):
            lower, upper = float(found.lower[k]), float(found.upper[k])
            apart = max(0.0, float(low[k]) - lower, upper - float(high[k]))
            matters = apart > max(NEGLIGIBLE * max(abs(lower), abs(upper)), ROUNDING)
            out.append(_bounded(found, k, max(float(found.gap[k]), apart if matters else 0.0)))
        return out

    def _reached(
        self, ends: EndArray, supply_v: FloatArray, pick: Callable[[NetworkSolution], FloatArray]
    ) -> FloatArray:
        """Value of each quantity at its own corner with all air cold, then hot: (2, k).

        A wire in hot air is then as warm as the corner's own currents make it.
        """
        cold, widest = self.box.temperature_c[0][:, None], self.box.temperature_c[2][:, None]
        first = self._solve_corner(ends, supply_v, widest)
        hot = np.minimum(widest, self._warm_c(first.branch_a[: self._n_branches]))
        return np.array([pick(self._solve_corner(ends, supply_v, air)) for air in (cold, hot)])

    def _warm_c(self, branch_a: FloatArray) -> FloatArray:
        """Temperature of each branch in the hottest air at its currents, (branches, k) [degC]."""
        air = np.array([branch.ambient_c.upper for branch in self.network.branches])
        per_a2 = np.array(
            [
                np.inf if branch.heating_k_per_a2 is None else branch.heating_k_per_a2
                for branch in self.network.branches
            ]
        )
        with np.errstate(invalid="ignore"):  # nothing flows in a branch of unknown heating
            return np.asarray(air[:, None] + np.nan_to_num(per_a2[:, None] * branch_a**2))

    def _solve_corner(
        self, ends: EndArray, supply_v: FloatArray, temperature_c: FloatArray
    ) -> NetworkSolution:
        """Solve the corners `ends` (branches and diodes, k), all branches at given temperatures."""
        m = self._n_branches
        rows, every = ends[:m].astype(np.intp) + 1, np.arange(m)[:, None]
        resistance = self.box.corner(rows, every, temperature_c)
        if not self.conducting:
            return bounds.solve_corner(self.shape, resistance, supply_v)
        at = ends[m:].astype(np.intp) + 1
        drop, slope = np.array(FORWARD_DROP)[at], np.array(FORWARD_SLOPE)[at]
        exact = self._shape_with(self.conducting).exact
        return exact.solve_straight(1.0 / resistance, supply_v, drop, slope)


def _bounded(found: bounds.BoundSet, k: int, gap: float) -> Bounded:
    lower, upper = float(found.lower[k]), float(found.upper[k])
    nominal = min(max(float(found.nominal[k]), lower), upper)
    return Bounded(
        Range(lower, nominal, upper, gap, found.method[k]),
        found.corner_lower[:, k],
        found.corner_upper[:, k],
        float(found.source_lower_v[k]),
        float(found.source_upper_v[k]),
    )
