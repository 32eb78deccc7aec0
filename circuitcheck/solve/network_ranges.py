"""Certified ranges of one network over its box, each with the gap that is left.

The box takes every resistance as its own variable, but wires in one zone share its air. Each bound
is therefore compared with what its corner gives with the air of each zone cold or hot as a whole;
the best of these can really happen, and the distance to it is part of the gap.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cached_property

import numpy as np

from circuitcheck.circuit.netlist import ConverterBranch, Network
from circuitcheck.model.tolerance_band import Band
from circuitcheck.solve import bounds
from circuitcheck.solve.active_curves import ActiveCurve, conducting_curves, curve_ends
from circuitcheck.solve.bounded import Bounded, bounded_at
from circuitcheck.solve.box import Box, FloatArray, IntArray
from circuitcheck.solve.converter_bounds import ConverterBounds, ConverterBoundsResult
from circuitcheck.solve.converter_network import ROWS_EACH
from circuitcheck.solve.converter_shares import running_converters
from circuitcheck.solve.corner_search import EndArray
from circuitcheck.solve.corner_values import CornerValues, Pick
from circuitcheck.solve.curve_bounds import CurveBoundsResult, with_curves
from circuitcheck.solve.curves import Reach
from circuitcheck.solve.elimination import NetworkSolution
from circuitcheck.solve.power_bounds import bound_powers
from circuitcheck.solve.range_powers import powers_from_ranges
from circuitcheck.solve.solution import BLOCKED, Range

NEGLIGIBLE = 1e-4
"""Share of a bound; a gap below it is left out."""
Solved = bounds.BoundsResult | CurveBoundsResult | ConverterBoundsResult
NO_BRANCH = np.zeros(0, dtype=np.intp)


class NetworkRanges:
    """Ranges of one network in one box, each group worked out when first asked for.

    `wider` are the ranges of a box that holds this one: what cannot conduct there cannot here.
    `air_c` is the air of each zone, for zones tried cold and hot on their own.
    """

    def __init__(
        self,
        network: Network,
        shape: bounds.Network,
        box: Box,
        supply_v: Band,
        *,
        wider: NetworkRanges | None = None,
        air_c: Mapping[str, Band] | None = None,
    ) -> None:
        self.network, self.shape, self.box, self.supply_v = network, shape, box, supply_v
        self._wider, self._air_c = wider, air_c
        self._reach: Reach | None = None
        self._between: dict[tuple[int, int], Bounded] = {}
        self._with_converters: dict[tuple[str, ...], ConverterBounds] = {}

    def pinned(self, branch: int, resistance_ohm: float, temperature_c: float) -> NetworkRanges:
        """Return the ranges with one branch held at one resistance and temperature."""
        box = self.box.pinned(branch, resistance_ohm, temperature_c)
        return NetworkRanges(self.network, self.shape, box, self.supply_v, air_c=self._air_c)

    @cached_property
    def active(self) -> tuple[ActiveCurve, ...]:
        """The curves that may conduct somewhere in the box; lamps always may.

        A suppressor fitted the right way round is reverse-biased whatever the resistances are
        and has no part in the steady state; one that is reversed is a short.
        """
        known = None if self._wider is None else self._wider.active

        def most_v(pairs: Sequence[tuple[int, int]], on: Sequence[ActiveCurve]) -> FloatArray:
            if self.converters:
                return self._converter_bounds(on).solve(pairs, NO_BRANCH).voltage.upper
            if not on:
                return self._solve_linear(pairs, NO_BRANCH).voltage.upper
            return self._solve_with(on, pairs, NO_BRANCH, None).voltage.upper

        return conducting_curves(self.network, self.shape, known, most_v)

    @property
    def conducting(self) -> tuple[ActiveCurve, ...]:
        """The diodes and LEDs that may conduct somewhere in the box."""
        return tuple(one for one in self.active if not one.is_lamp)

    @cached_property
    def currents(self) -> list[Bounded]:
        """Current of each branch, then of each of the network's curves [A]."""
        count = len(self.network.branches) + len(self.active)

        def amps(solved: NetworkSolution, k: IntArray) -> FloatArray:
            return np.asarray(solved.branch_a[k, np.arange(k.size)])

        found = self._currents.current
        bounded = self._with_gap(found.take(np.arange(count)), amps)
        return [self._blocked if n < 0 else bounded[n] for n in self._numbers]

    @cached_property
    def across(self) -> list[Bounded]:
        """Voltage from start to end of each branch, then of each of the network's curves [V]."""
        network = self.network
        pairs = [(branch.start, branch.end) for branch in network.branches]
        return self.between(pairs + [(curve.start, curve.end) for curve in network.curves])

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

    def largest_currents(self, branches: Sequence[int]) -> FloatArray:
        """Largest magnitude of the current of some branches [A], shape (len(branches),)."""
        found = self._solve([], np.asarray(branches, dtype=np.intp)).current
        return np.asarray(np.maximum(np.abs(found.lower), np.abs(found.upper)))

    def solve_corner(
        self, ends: EndArray, supply_v: FloatArray, temperature_c: FloatArray | None = None
    ) -> NetworkSolution:
        """Solve corners: ends (branches and active curves, k), supply (k,).

        Branches are at temperatures (branches, k), or as warm as each at its own end is.
        """
        return self._corners.solve(ends, supply_v, temperature_c)

    @cached_property
    def powers(self) -> list[Range]:
        """Power turned to heat in each branch, then in each of the network's curves [W].

        With active curves, from the ranges of current and voltage: outside the true power.
        """
        found = self._currents
        if not isinstance(found, bounds.BoundsResult):
            return powers_from_ranges(
                self.currents,
                self.across,
                self.box.resistance_ohm,
                self._numbers,
                self._corners.uniform,
            )
        every = range(len(self.network.branches))
        power = bound_powers(self.shape, found, self.supply_v, list(every))
        linear = [Range(*_ends(power.band(k)), float(power.gap[k]), power.method[k]) for k in every]
        return linear + [self._blocked.range for _ in self.network.curves]

    @cached_property
    def _numbers(self) -> list[int]:
        """Branch number in a solution of each element; -1 for a curve that never conducts."""
        m = len(self.network.branches)
        number = {one.name: m + j for j, one in enumerate(self.active)}
        return [*range(m), *(number.get(curve.name, -1) for curve in self.network.curves)]

    @property
    def _blocked(self) -> Bounded:
        ends = np.zeros(self.ends_count, dtype=np.int8)
        volts = self.supply_v.nominal
        return Bounded(Range(0.0, 0.0, 0.0, 0.0, BLOCKED), ends, ends, volts, volts)

    @property
    def ends_count(self) -> int:
        """Rows of a corner: branches, active curves, and two for each running converter."""
        rows = ROWS_EACH * len(self.converters)
        return len(self.network.branches) + len(self.active) + rows

    @cached_property
    def _currents(self) -> Solved:
        return self._solve([], None)

    def _voltages(self, pairs: Sequence[tuple[int, int]]) -> list[Bounded]:
        plus = np.array([p for p, _ in pairs], dtype=np.intp)
        minus = np.array([q for _, q in pairs], dtype=np.intp)

        def apart(solved: NetworkSolution, k: IntArray) -> FloatArray:
            column = np.arange(k.size)
            return np.asarray(solved.node_v[plus[k], column] - solved.node_v[minus[k], column])

        return self._with_gap(self._solve(pairs, NO_BRANCH).voltage, apart)

    def _solve(self, pairs: Sequence[tuple[int, int]], branches: IntArray | None) -> Solved:
        if self.converters:
            return self._converter_bounds(self.active).solve(pairs, branches)
        if not self.active:
            return self._solve_linear(pairs, branches)
        found = self._solve_with(self.active, pairs, branches, self._known_reach())
        self._reach = found.reach
        return found

    @cached_property
    def converters(self) -> tuple[ConverterBranch, ...]:
        """The converters that have their supply in this position."""
        return running_converters(self.network)

    def _converter_bounds(self, curves: Sequence[ActiveCurve]) -> ConverterBounds:
        key = tuple(one.name for one in curves)
        if key not in self._with_converters:
            self._with_converters[key] = ConverterBounds(
                self.network,
                self.converters,
                [one.curve for one in curves],
                self.box.resistance_ohm,
                self.supply_v,
            )
        return self._with_converters[key]

    def _solve_linear(
        self, pairs: Sequence[tuple[int, int]], branches: IntArray | None
    ) -> bounds.BoundsResult:
        lower, nominal, upper = self.box.resistance_ohm
        return bounds.solve_bounds(
            self.shape, lower, nominal, upper, self.supply_v, list(pairs),
            current_branches=branches,
        )  # fmt: skip

    def _solve_with(
        self,
        curves: Sequence[ActiveCurve],
        pairs: Sequence[tuple[int, int]],
        branches: IntArray | None,
        reach: Reach | None,
    ) -> CurveBoundsResult:
        lower, nominal, upper = self.box.resistance_ohm
        return with_curves(self.shape, curve_ends(curves)).solve_bounds(
            [one.curve for one in curves], lower, nominal, upper, self.supply_v, list(pairs),
            current_branches=branches, reach=reach,
        )  # fmt: skip

    def _known_reach(self) -> Reach | None:
        if self._reach is not None or self._wider is None or self._wider._reach is None:
            return self._reach
        place = {one.name: j for j, one in enumerate(self._wider.active)}
        return self._wider._reach.take([place[one.name] for one in self.active])

    @cached_property
    def _corners(self) -> CornerValues:
        exact_at = self._converter_bounds(self.active).exact_at if self.converters else None
        return CornerValues(self.network, self.shape, self.box, self.active, self._air_c, exact_at)

    def _with_gap(self, found: bounds.BoundSet, pick: Pick) -> list[Bounded]:
        """Compare each bound with the best that its own corner gives in shared air."""
        low = self._corners.best(
            found.corner_lower, found.source_lower_v, pick, -1, found.lower, NEGLIGIBLE
        )
        high = self._corners.best(
            found.corner_upper, found.source_upper_v, pick, 1, found.upper, NEGLIGIBLE
        )
        out = []
        for k in range(len(found)):
            lower, upper = float(found.lower[k]), float(found.upper[k])
            apart = max(0.0, float(low[k]) - lower, upper - float(high[k]))
            matters = apart > NEGLIGIBLE * max(abs(lower), abs(upper))
            out.append(bounded_at(found, k, max(float(found.gap[k]), apart if matters else 0.0)))
        return out


def _ends(band: Band) -> tuple[float, float, float]:
    return band.lower, band.nominal, band.upper
