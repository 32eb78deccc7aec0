"""Certified ranges of one network over its box, each with the gap that is left.

The box takes every resistance as its own variable, but wires in one zone share its air. Each bound
is therefore compared with what its corner gives with the air of each zone cold or hot as a whole;
the best of these can really happen, and the distance to it is part of the gap.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import cached_property

import numpy as np

from circuitcheck.circuit.netlist import Network
from circuitcheck.model.tolerance_band import Band
from circuitcheck.solve.bounds import bounds
from circuitcheck.solve.bounds.bounded import Bounded, bounded_at
from circuitcheck.solve.bounds.box import Box, FloatArray, IntArray
from circuitcheck.solve.bounds.corner_search import EndArray
from circuitcheck.solve.bounds.corner_values import CornerValues
from circuitcheck.solve.bounds.power_bounds import bound_powers
from circuitcheck.solve.bounds.range_powers import powers_from_ranges
from circuitcheck.solve.elimination.elimination import NetworkSolution
from circuitcheck.solve.range_solver import NO_BRANCH, RangeSolver, Solved
from circuitcheck.solve.solution import BLOCKED, Range

NEGLIGIBLE = 1e-4
"""Share of a bound; a gap below it is left out."""


class NetworkRanges(RangeSolver):
    """Ranges of one network in one box, each group worked out when first asked for.

    `box`, `wider` and `at_once` as in `RangeSolver`; `air_c` is the air of each zone, for zones
    tried cold and hot on their own. Without `gaps` it is not worked out how far shared air leaves
    the bounds open.
    """

    def __init__(
        self,
        network: Network,
        shape: bounds.Network,
        box: Box | Callable[[], tuple[Box, RangeSolver]],
        supply_v: Band,
        *,
        wider: RangeSolver | None = None,
        air_c: Mapping[str, Band] | None = None,
        at_once: bool = False,
        gaps: bool = True,
    ) -> None:
        super().__init__(network, shape, box, supply_v, wider=wider, at_once=at_once)
        self._air_c, self.gaps = air_c, gaps
        self._between: dict[tuple[int, int], Bounded] = {}

    def pinned(self, branch: int, resistance_ohm: float, temperature_c: float) -> NetworkRanges:
        """Return the ranges with one branch held at one resistance and temperature."""
        box = self.box.pinned(branch, resistance_ohm, temperature_c)
        lower, _, upper = self.box.resistance_ohm[:, branch]
        # what conducts nowhere in this box does not in a part of it
        is_part = lower <= resistance_ohm <= upper and not self._is_curved
        return NetworkRanges(
            self.network,
            self.shape,
            box,
            self.supply_v,
            wider=self if is_part else None,
            air_c=self._air_c,
            gaps=self.gaps,
        )

    @cached_property
    def currents(self) -> list[Bounded]:
        """Current of each branch, then of each of the network's curves [A]."""
        if self._at_once:
            bounded = self._everything
        else:
            count = len(self.network.branches) + len(self.active)
            bounded = self._with_gap(self._currents.current.take(np.arange(count)), [])
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
        if self._at_once and not self._between:
            first = len(self.network.branches) + len(self.active)
            self._between.update(zip(self._pairs, self._everything[first:], strict=True))
        new = [pair for pair in dict.fromkeys(pairs) if pair not in self._between]
        if new:
            found = self._with_gap(self._solve(new, NO_BRANCH).voltage, new)
            self._between.update(zip(new, found, strict=True))
        return [self._between[pair] for pair in pairs]

    def largest_currents(self, branches: Sequence[int]) -> FloatArray:
        """Largest magnitude of the current of some branches [A], shape (len(branches),)."""
        wanted = np.asarray(branches, dtype=np.intp)
        found = (
            self._solve([], wanted).current if self.active else self._linear.current.take(wanted)
        )
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

    @cached_property
    def _everything(self) -> list[Bounded]:
        """Currents of branches and active curves, then the voltages of `_pairs`."""
        found = self._solve(self._pairs, None) if self._is_curved else self._linear
        return self._with_gap(found.current.joined(found.voltage), self._pairs)

    @cached_property
    def _currents(self) -> Solved:
        return self._solve([], None) if self._is_curved else self._linear

    @cached_property
    def _corners(self) -> CornerValues:
        exact_at = self._converter_bounds(self.active).exact_at if self.converters else None
        return CornerValues(
            self.network,
            self.shape,
            self.box,
            self.active,
            self._air_c,
            exact_at,
            self.supply_v.nominal,
            self.curve_v,
        )

    def _with_gap(self, found: bounds.BoundSet, pairs: Sequence[tuple[int, int]]) -> list[Bounded]:
        """Compare each bound with the best that its own corner gives in shared air.

        The last quantities are the voltages of `pairs`, those before them branch currents.
        """
        if not self.gaps:
            return [bounded_at(found, k, float(found.gap[k])) for k in range(len(found))]
        first = len(found) - len(pairs)
        ends = np.array(pairs, dtype=np.intp).reshape(-1, 2)

        def pick(solved: NetworkSolution, k: IntArray) -> FloatArray:
            column = np.arange(k.size)
            is_current = k < first
            plus, minus = ends[np.maximum(k - first, 0)].T if len(ends) else (k * 0, k * 0)
            apart = solved.node_v[plus, column] - solved.node_v[minus, column]
            return np.where(is_current, solved.branch_a[np.where(is_current, k, 0), column], apart)

        low, high = self._corners.best(found, pick)
        out = []
        for k in range(len(found)):
            lower, upper = float(found.lower[k]), float(found.upper[k])
            apart = max(0.0, float(low[k]) - lower, upper - float(high[k]))
            matters = apart > NEGLIGIBLE * max(abs(lower), abs(upper))
            out.append(bounded_at(found, k, max(float(found.gap[k]), apart if matters else 0.0)))
        return out


def _ends(band: Band) -> tuple[float, float, float]:
    return band.lower, band.nominal, band.upper
