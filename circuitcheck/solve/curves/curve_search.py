"""The search behind `curve_bounds.py`: exact corners where certain, an enclosure elsewhere."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np

from circuitcheck.model.tolerance_band import Band
from circuitcheck.solve.bounds.bounds import BoundSet, Network, solve_bounds
from circuitcheck.solve.bounds.corner_search import EndArray, Quantities, ResistanceBox
from circuitcheck.solve.curves.curve_arrays import CurveArrays
from circuitcheck.solve.curves.curve_network import CurveNetwork
from circuitcheck.solve.curves.curves import BandedCurve, Lamp, Reach, secant_ohm, whole_reach
from circuitcheck.solve.elimination.elimination import NetworkSolution
from circuitcheck.solve.elimination.elimination_order import FloatArray

ROUNDS = 12  # of narrowing; each is valid, more are tighter
STILL = 1e-3  # relative; a reach that moves less is as narrow as it gets


def magnitudes(
    curves: Sequence[BandedCurve], lower: FloatArray, upper: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Least and greatest magnitude, of diodes forwards only."""
    lower, upper = np.nan_to_num(lower), np.nan_to_num(upper)
    is_lamp = np.array([isinstance(curve, Lamp) for curve in curves], dtype=bool)
    least = np.maximum(lower, 0.0)
    least = np.where(is_lamp & (upper < 0.0), -upper, least)
    most = np.maximum(upper, 0.0)
    return least, np.where(is_lamp, np.maximum(most, -lower), most)


class CurveSearch:
    """One call: the box, the quantities, and both certificates."""

    def __init__(
        self,
        linear: Network,
        exact: CurveNetwork,
        curves: Sequence[BandedCurve],
        box: ResistanceBox,
        source_v: Band,
        quantities: Quantities,
        reach: Reach | None,
        near_v: FloatArray | None = None,
    ) -> None:
        self.linear, self.exact, self.curves = linear, exact, curves
        self.box, self.source_v, self.quantities = box, source_v, quantities
        self.arrays = CurveArrays(curves)
        self.reach = whole_reach(curves, source_v.upper)
        if reach is not None:
            self.reach = self.reach.within(reach)
        zero = np.zeros((linear.plan.n_branches, 1), dtype=np.int8)
        self.near = None if near_v is None else near_v[:, None]
        self.nominal = self._solve(zero, np.array([source_v.nominal]))
        self.near = self.nominal.branch_v[exact.n_resistors :]

    def _solve(self, ends: EndArray, volts: FloatArray) -> NetworkSolution:
        """Exact solution at corners (m + d, k) and source voltages (k,)."""
        m = self.exact.n_resistors
        near = None if self.near is None else np.repeat(self.near, volts.size, axis=1)
        points = self.arrays.at(ends[m:])
        return self.exact.solve(1.0 / self.box.at(ends[:m]), volts, points, near=near)

    def _pick(self, solution: NetworkSolution, which: list[int]) -> FloatArray:
        chosen = self.quantities.take(which)
        unit = np.ones_like(solution.branch_a)
        volts = chosen.pick(solution.node_v, solution.branch_v, unit)
        column = np.arange(len(which))
        amps = solution.branch_a[np.maximum(chosen.branch, 0), column]
        return np.where(chosen.is_current, amps, volts)

    def bounds(self, is_certain: Callable[[int, int], bool]) -> BoundSet:
        """Bounds of all quantities; `is_certain` tells for plus and minus whether all signs are."""
        k = len(self.quantities)
        pairs = zip(self.quantities.plus.tolist(), self.quantities.minus.tolist(), strict=True)
        certain = [j for j, pair in enumerate(pairs) if is_certain(*pair)]
        is_exact = np.isin(np.arange(k), certain)
        found = self._enclosed() if len(certain) < k else self._blank()
        if not certain:
            return found
        exact = self._at_corners(certain)
        index = np.where(is_exact, k + np.cumsum(is_exact) - 1, np.arange(k))
        return found.joined(exact).take(index)

    def _blank(self) -> BoundSet:
        k, m = len(self.quantities), self.linear.plan.n_branches
        lost, ends = np.full(k, np.nan), np.zeros((m, k), dtype=np.int8)
        names, groups = ("floating",) * k, ((),) * k
        none = np.full((m + self.linear.plan.n_nodes, k), np.nan)
        return BoundSet(lost, lost, lost, lost, ends, ends, lost, lost, names, groups, none, none)

    def _at_corners(self, which: list[int]) -> BoundSet:
        box = self._resistance_box()
        chosen = self.quantities.take(which)
        upper = self.linear.directions(box.nominal, chosen)
        sign = self._source_sign(chosen, box)
        at_upper = np.where(sign >= 0.0, self.source_v.upper, self.source_v.lower)
        at_lower = np.where(sign >= 0.0, self.source_v.lower, self.source_v.upper)
        ends = np.concatenate([-upper, upper], axis=1)
        solution = self._solve(ends, np.concatenate([at_lower, at_upper]))
        low, high = np.split(self._pick(solution, which + which), 2)
        fields = np.split(np.concatenate([solution.branch_a, solution.node_v]), 2, axis=1)
        return BoundSet(
            low,
            self._nominal(which),
            high,
            np.zeros(len(which)),
            -upper,
            upper,
            at_lower,
            at_upper,
            ("series-parallel",) * len(which),
            ((),) * len(which),
            *fields,
        )

    def _nominal(self, which: list[int]) -> FloatArray:
        return self._pick(_repeated(self.nominal, len(which)), which)

    def _source_sign(self, chosen: Quantities, box: ResistanceBox) -> FloatArray:
        """Sign of each quantity's change with the source voltage."""
        conductance = 1.0 / box.nominal[:, None]
        solution = self.linear.plan.solve_all(conductance)
        wide = np.repeat(conductance, len(chosen), axis=1)
        one = _repeated(solution, len(chosen))
        return np.sign(chosen.pick(one.node_v, one.branch_v, wide))

    def _resistance_box(self) -> ResistanceBox:
        """All branches as resistances, the curves as far as they reach."""
        low, high = secant_ohm(self.curves, self.reach)
        return ResistanceBox(
            np.concatenate([self.box.lower, low]),
            np.concatenate([self.box.nominal, np.sqrt(low * high)]),
            np.concatenate([self.box.upper, high]),
        )

    def _enclosed(self) -> BoundSet:
        linear = self.linear
        probes = np.stack([self.quantities.plus, self.quantities.minus], axis=1)
        probes = probes[~self.quantities.is_current]
        branches = self.quantities.branch[self.quantities.is_current]
        self._narrow()
        box = self._resistance_box()
        result = solve_bounds(
            linear, box.lower, box.nominal, box.upper, self.source_v, probes,
            current_branches=branches,
        )  # fmt: skip
        return self._with_gap(result.voltage.joined(result.current))

    def _narrow(self) -> None:
        """Narrow the reach of the curves by the bounds that it leads to."""
        linear, first = self.linear, self.exact.n_resistors
        plan = linear.plan
        own = np.arange(first, plan.n_branches)
        ends = np.stack([plan.a[own], plan.b[own]], axis=1)
        for _ in range(ROUNDS):
            box = self._resistance_box()
            result = solve_bounds(
                linear, box.lower, box.nominal, box.upper, self.source_v, ends,
                current_branches=own,
            )  # fmt: skip
            amps, volts = result.current, result.voltage
            before = self.reach
            self.reach = before.within(
                Reach(
                    *magnitudes(self.curves, amps.lower, amps.upper),
                    *magnitudes(self.curves, volts.lower, volts.upper),
                )
            )
            if self.reach.is_close_to(before, STILL):
                return

    def _with_gap(self, found: BoundSet) -> BoundSet:
        """Measure the gap against the exact solution at the corners found."""
        every = list(range(len(self.quantities)))
        at_lower = self._solve(found.corner_lower, found.source_lower_v)
        at_upper = self._solve(found.corner_upper, found.source_upper_v)
        low, high = self._pick(at_lower, every), self._pick(at_upper, every)
        gap = np.maximum(low - found.lower, found.upper - high)
        return replace(
            found,
            nominal=self._nominal(every),
            gap=np.maximum(gap, 0.0),
            fields_lower=np.concatenate([at_lower.branch_a, at_lower.node_v]),
            fields_upper=np.concatenate([at_upper.branch_a, at_upper.node_v]),
        )


def _repeated(solution: NetworkSolution, k: int) -> NetworkSolution:
    return NetworkSolution(
        *(np.repeat(x, k, axis=1) for x in (solution.node_v, solution.branch_v, solution.branch_a))
    )
