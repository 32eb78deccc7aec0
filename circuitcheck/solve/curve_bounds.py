"""Bounds of voltages and currents in networks with lamps, LEDs and diodes in bands of curves.

Every curve rises and passes through 0, so at every operating point it is some positive resistance
v / i (an open diode a very large one), and to a small change it shows another positive resistance,
its tangent. Two certificates follow.

* Exact. Where the network with its curves as branches is series-parallel, the sign of every branch
  current and of every transfer is certain for all resistances, thus for secants and tangents alike:
  each voltage and current is monotone in every resistance, in the end of each curve's band, and in
  the source voltage. Its extremes are single corners, solved exactly.
* Enclosed. Otherwise each curve is bounded as a resistance between its least and greatest v / i
  within its band and its reach, a reach narrowed by the bounds it leads to. These are outer; the
  distance to the exact solution at the corner found is the gap.

No state is guessed, so any number of diodes may be undecided. Leakage current is left out.
Source: bounds for ideal diodes by Rayleigh's law, Am. J. Phys. 87 (2019) 675; derived here.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from circuitcheck.model.tolerance_band import Band
from circuitcheck.solve.bounds import BoundSet, Network, solve_bounds
from circuitcheck.solve.corner_search import (
    EndArray,
    Quantities,
    ResistanceBox,
    directions,
    make_quantities,
)
from circuitcheck.solve.curve_arrays import CurveArrays
from circuitcheck.solve.curve_network import CurveNetwork
from circuitcheck.solve.curves import (
    LEAK_S,
    BandedCurve,
    Lamp,
    Reach,
    secant_ohm,
    whole_reach,
)
from circuitcheck.solve.elimination import NetworkSolution
from circuitcheck.solve.elimination_order import FloatArray, IntArray

ROUNDS = 12  # of narrowing; each is valid, more are tighter
STILL = 1e-3  # relative; a reach that moves less is as narrow as it gets


@dataclass(frozen=True)
class CurveBoundsResult:
    """Bounds as in `BoundsResult`; curve j is branch m + j.

    state: of each curve, 'open' or 'conducting' where certain over the whole box, else 'either'.
    reach: how far each curve is driven, for a box that lies within this one.
    """

    nominal: NetworkSolution
    voltage: BoundSet
    current: BoundSet
    state: tuple[str, ...]
    reach: Reach


class BandedCurveNetwork:
    """Shape of a network with curves, compiled once for its bounds."""

    def __init__(
        self,
        n_nodes: int,
        a: npt.ArrayLike,
        b: npt.ArrayLike,
        source: int,
        reference: int,
        curve_ends: Sequence[tuple[int, int]],
    ) -> None:
        self.exact = CurveNetwork(n_nodes, a, b, source, reference, curve_ends)
        self.linear = Network(
            n_nodes,
            [*np.asarray(a, dtype=np.intp).reshape(-1), *(u for u, _ in curve_ends)],
            [*np.asarray(b, dtype=np.intp).reshape(-1), *(v for _, v in curve_ends)],
            source,
            reference,
        )
        self._certain: dict[tuple[int, int], bool] = {}

    def is_certain(self, plus: int, minus: int) -> bool:
        """Whether every sign that V_plus - V_minus depends on is certain for all curves."""
        if (plus, minus) not in self._certain:
            self._certain[plus, minus] = self._is_certain(plus, minus)
        return self._certain[plus, minus]

    def _is_certain(self, plus: int, minus: int) -> bool:
        signs = self.linear.signs
        p, q = signs.live.anchor[plus], signs.live.anchor[minus]
        if not signs.driven.is_series_parallel or self.linear.groups(plus, minus) != []:
            return False
        # the source's own sign: a potential lies between those of the posts, or is confluent
        fixed = {signs.source, signs.reference}
        return p == q or bool({p, q} & fixed) or signs.driven.stays_series_parallel_with(p, q)

    def solve_bounds(
        self,
        curves: Sequence[BandedCurve],
        resistance_lower: npt.ArrayLike,
        resistance_nominal: npt.ArrayLike,
        resistance_upper: npt.ArrayLike,
        source_v: Band,
        probes: Sequence[tuple[int, int]] | IntArray,
        *,
        current_branches: Sequence[int] | IntArray | None = None,
        reach: Reach | None = None,
    ) -> CurveBoundsResult:
        """Bounds of each probe and of the current of branches, all and all curves by default.

        Arguments as in `bounds.solve_bounds`; `reach` is known from a wider box.
        Raises ValueError for bad input.
        """
        box = ResistanceBox(
            *(
                np.asarray(r, dtype=float)
                for r in (resistance_lower, resistance_nominal, resistance_upper)
            )
        )
        if box.lower.shape != (self.exact.n_resistors,):
            raise ValueError(f"{box.lower.size} resistances for {self.exact.n_resistors} branches")
        if source_v.lower < 0.0:
            raise ValueError(f"source voltage {source_v.lower} V is below 0")
        pairs = np.asarray(probes, dtype=np.intp).reshape(-1, 2)
        plan, first = self.linear.plan, self.exact.n_resistors
        wanted = (
            np.arange(plan.n_branches)
            if current_branches is None
            else np.asarray(current_branches, dtype=np.intp)
        )
        of_curves = np.arange(first, plan.n_branches)
        quantities = make_quantities(plan, pairs, np.concatenate([wanted, of_curves]))
        work = _Work(self, curves, box, source_v, quantities, reach)
        found = work.bounds()
        n, k = len(pairs), len(pairs) + len(wanted)
        own = found.take(np.arange(k, len(found)))
        return CurveBoundsResult(
            work.nominal,
            found.take(np.arange(n)),
            found.take(np.arange(n, k)),
            _states(curves, own, source_v),
            work.reach.within(_current_reach(curves, own)),
        )


def with_curves(network: Network, curve_ends: Sequence[tuple[int, int]]) -> BandedCurveNetwork:
    """Return a network's shape with curves added; each is compiled once."""
    key, plan = tuple(curve_ends), network.plan
    found = network.extended.get(key)
    if not isinstance(found, BandedCurveNetwork):
        found = BandedCurveNetwork(plan.n_nodes, plan.a, plan.b, plan.source, plan.reference, key)
        network.extended[key] = found
    return found


def _states(curves: Sequence[BandedCurve], own: BoundSet, source_v: Band) -> tuple[str, ...]:
    leak = 2.0 * LEAK_S * source_v.upper
    found = []
    for curve, low, high in zip(curves, own.lower, own.upper, strict=True):
        if isinstance(curve, Lamp):
            found.append("conducting")
        else:
            found.append("open" if high <= leak else "conducting" if low > leak else "either")
    return tuple(found)


def _current_reach(curves: Sequence[BandedCurve], own: BoundSet) -> Reach:
    """Reach from bounds of the curves' own currents alone."""
    size = len(curves)
    least, most = _magnitudes(curves, own.lower, own.upper)
    return Reach(least, most, np.zeros(size), np.full(size, np.inf))


def _magnitudes(
    curves: Sequence[BandedCurve], lower: FloatArray, upper: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Least and greatest magnitude, of diodes forwards only."""
    lower, upper = np.nan_to_num(lower), np.nan_to_num(upper)
    is_lamp = np.array([isinstance(curve, Lamp) for curve in curves], dtype=bool)
    least = np.maximum(lower, 0.0)
    least = np.where(is_lamp & (upper < 0.0), -upper, least)
    most = np.maximum(upper, 0.0)
    return least, np.where(is_lamp, np.maximum(most, -lower), most)


class _Work:
    """One call: the box, the quantities, and both certificates."""

    def __init__(
        self,
        network: BandedCurveNetwork,
        curves: Sequence[BandedCurve],
        box: ResistanceBox,
        source_v: Band,
        quantities: Quantities,
        reach: Reach | None,
    ) -> None:
        self.network, self.curves, self.box, self.source_v = network, curves, box, source_v
        self.quantities, self.exact = quantities, network.exact
        self.arrays = CurveArrays(curves)
        self.reach = whole_reach(curves, source_v.upper)
        if reach is not None:
            self.reach = self.reach.within(reach)
        zero = np.zeros((network.linear.plan.n_branches, 1), dtype=np.int8)
        self.nominal = self._solve(zero, np.array([source_v.nominal]))

    def _solve(self, ends: EndArray, volts: FloatArray) -> NetworkSolution:
        """Exact solution at corners (m + d, k) and source voltages (k,)."""
        m = self.exact.n_resistors
        return self.exact.solve(1.0 / self.box.at(ends[:m]), volts, self.arrays.at(ends[m:]))

    def _pick(self, solution: NetworkSolution, which: list[int]) -> FloatArray:
        chosen = self.quantities.take(which)
        unit = np.ones_like(solution.branch_a)
        volts = chosen.pick(solution.node_v, solution.branch_v, unit)
        column = np.arange(len(which))
        amps = solution.branch_a[np.maximum(chosen.branch, 0), column]
        return np.where(chosen.is_current, amps, volts)

    def bounds(self) -> BoundSet:
        k = len(self.quantities)
        pairs = list(
            zip(self.quantities.plus.tolist(), self.quantities.minus.tolist(), strict=True)
        )
        certain = [j for j, pair in enumerate(pairs) if self.network.is_certain(*pair)]
        is_exact = np.isin(np.arange(k), certain)
        found = self._enclosed() if len(certain) < k else self._blank()
        if not certain:
            return found
        exact = self._at_corners(certain)
        index = np.where(is_exact, k + np.cumsum(is_exact) - 1, np.arange(k))
        return found.joined(exact).take(index)

    def _blank(self) -> BoundSet:
        k, m = len(self.quantities), self.network.linear.plan.n_branches
        lost, ends = np.full(k, np.nan), np.zeros((m, k), dtype=np.int8)
        names, groups = ("floating",) * k, ((),) * k
        return BoundSet(lost, lost, lost, lost, ends, ends, lost, lost, names, groups)

    def _at_corners(self, which: list[int]) -> BoundSet:
        plan = self.network.linear.plan
        box = self._resistance_box()
        chosen = self.quantities.take(which)
        upper = directions(plan, self.network.linear.signs, box.nominal, chosen)
        sign = self._source_sign(chosen, box)
        at_upper = np.where(sign >= 0.0, self.source_v.upper, self.source_v.lower)
        at_lower = np.where(sign >= 0.0, self.source_v.lower, self.source_v.upper)
        ends = np.concatenate([-upper, upper], axis=1)
        solution = self._solve(ends, np.concatenate([at_lower, at_upper]))
        low, high = np.split(self._pick(solution, which + which), 2)
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
        )

    def _nominal(self, which: list[int]) -> FloatArray:
        return self._pick(_repeated(self.nominal, len(which)), which)

    def _source_sign(self, chosen: Quantities, box: ResistanceBox) -> FloatArray:
        """Sign of each quantity's change with the source voltage."""
        conductance = 1.0 / box.nominal[:, None]
        solution = self.network.linear.plan.solve_all(conductance)
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
        linear = self.network.linear
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
        linear, first = self.network.linear, self.exact.n_resistors
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
                    *_magnitudes(self.curves, amps.lower, amps.upper),
                    *_magnitudes(self.curves, volts.lower, volts.upper),
                )
            )
            if self.reach.is_close_to(before, STILL):
                return

    def _with_gap(self, found: BoundSet) -> BoundSet:
        """Measure the gap against the exact solution at the corners found."""
        every = list(range(len(self.quantities)))
        low = self._pick(self._solve(found.corner_lower, found.source_lower_v), every)
        high = self._pick(self._solve(found.corner_upper, found.source_upper_v), every)
        gap = np.maximum(low - found.lower, found.upper - high)
        return replace(found, nominal=self._nominal(every), gap=np.maximum(gap, 0.0))


def _repeated(solution: NetworkSolution, k: int) -> NetworkSolution:
    return NetworkSolution(
        *(np.repeat(x, k, axis=1) for x in (solution.node_v, solution.branch_v, solution.branch_a))
    )
