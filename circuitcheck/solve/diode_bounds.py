"""Bounds of voltages and currents in networks with diodes in straight-line bands.

A conducting diode carries v = E + r i with v, i >= 0, so at every operating point it is some
positive resistance v / i, and an open one a very large one. Two certificates follow.

* Exact. Where the network with its diodes as branches is series-parallel, the sign of every branch
  current and of every transfer is certain for all resistances, thus in every state of the diodes:
  each voltage and current is monotone in every resistance, drop, slope and in the source voltage,
  across changes of state. Its extremes are single corners, solved exactly.
* Enclosed. Otherwise each diode is bounded as a resistance between r + E / i at its largest and at
  its smallest current, a range narrowed by the current bounds it leads to. The bounds are outer;
  the distance to the exact solution at the corner found is the gap.

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
from circuitcheck.solve.diodes import LEAK_S, DiodeNetwork, StraightDiode
from circuitcheck.solve.elimination import NetworkSolution
from circuitcheck.solve.elimination_order import FloatArray, IntArray

OPEN_OHM = 1e12  # an open diode
ROUNDS = 12  # of narrowing; each is valid, more are tighter


@dataclass(frozen=True)
class DiodeBoundsResult:
    """Bounds as in `BoundsResult`; diode j is branch m + j.

    state: 'open' or 'conducting' where certain over the whole box, else 'either'.
    """

    nominal: NetworkSolution
    voltage: BoundSet
    current: BoundSet
    state: tuple[str, ...]


class BandedDiodeNetwork:
    """Shape of a network with straight-line diodes, compiled once for its bounds."""

    def __init__(
        self,
        n_nodes: int,
        a: npt.ArrayLike,
        b: npt.ArrayLike,
        source: int,
        reference: int,
        diodes: Sequence[StraightDiode],
    ) -> None:
        self.diodes = tuple(diodes)
        ends = [(d.anode, d.cathode) for d in diodes]
        self.exact = DiodeNetwork(n_nodes, a, b, source, reference, ends)
        self.linear = Network(
            n_nodes,
            [*np.asarray(a, dtype=np.intp).reshape(-1), *(u for u, _ in ends)],
            [*np.asarray(b, dtype=np.intp).reshape(-1), *(v for _, v in ends)],
            source,
            reference,
        )

    def is_certain(self, plus: int, minus: int) -> bool:
        """Whether every sign that V_plus - V_minus depends on is certain in every diode state."""
        signs = self.linear.signs
        p, q = signs.live.anchor[plus], signs.live.anchor[minus]
        if not signs.driven.is_series_parallel or self.linear.groups(plus, minus) != []:
            return False
        fixed = {signs.source, signs.reference}
        return p == q or bool({p, q} & fixed) or signs.driven.stays_series_parallel_with(p, q)

    def solve_bounds(
        self,
        resistance_lower: npt.ArrayLike,
        resistance_nominal: npt.ArrayLike,
        resistance_upper: npt.ArrayLike,
        source_v: Band,
        probes: Sequence[tuple[int, int]] | IntArray,
    ) -> DiodeBoundsResult:
        """Bounds of each probe and of the current of each branch, diodes included.

        Arguments as in `bounds.solve_bounds`. Raises ValueError for bad input.
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
        plan = self.linear.plan
        quantities = make_quantities(plan, pairs, np.arange(plan.n_branches))
        work = _Work(self, box, source_v, quantities)
        found = work.bounds()
        n = len(pairs)
        voltage = found.take(np.arange(n))
        current = found.take(np.arange(n, len(found)))
        first = self.exact.n_resistors
        leak = 2.0 * LEAK_S * source_v.upper
        state = [
            "open" if high <= leak else "conducting" if low > leak else "either"
            for low, high in zip(current.lower[first:], current.upper[first:], strict=True)
        ]
        return DiodeBoundsResult(work.nominal, voltage, current, tuple(state))


class _Work:
    """One call: the box, the quantities, and both certificates."""

    def __init__(
        self,
        network: BandedDiodeNetwork,
        box: ResistanceBox,
        source_v: Band,
        quantities: Quantities,
    ) -> None:
        self.network, self.box, self.source_v = network, box, source_v
        self.quantities, self.exact = quantities, network.exact
        self.drop = _rows([d.drop_v for d in network.diodes])
        self.slope = _rows([d.slope_ohm for d in network.diodes])
        zero = np.zeros((network.linear.plan.n_branches, 1), dtype=np.int8)
        self.nominal = self._solve(zero, np.array([source_v.nominal]))

    def _solve(self, ends: EndArray, volts: FloatArray) -> NetworkSolution:
        """Exact solution at corners (m + d, k) and source voltages (k,)."""
        m = self.exact.n_resistors
        row = ends[m:].astype(np.intp) + 1
        drop = np.take_along_axis(self.drop, row, axis=1)
        slope = np.take_along_axis(self.slope, row, axis=1)
        return self.exact.solve_straight(1.0 / self.box.at(ends[:m]), volts, drop, slope)

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
        box = self._resistance_box(np.full(len(self.drop), 1.0), np.full(len(self.drop), 1.0))
        chosen = self.quantities.take(which)
        upper = directions(plan, self.network.linear.signs, box.nominal, chosen)
        sign = self._source_sign(chosen, box)
        at_upper = np.where(sign >= 0.0, self.source_v.upper, self.source_v.lower)
        at_lower = np.where(sign >= 0.0, self.source_v.lower, self.source_v.upper)
        ends = np.concatenate([-upper, upper], axis=1)
        solution = self._solve(ends, np.concatenate([at_lower, at_upper]))
        low, high = np.split(self._pick(solution, which + which), 2)
        nominal = self._pick(_repeated(self.nominal, len(which)), which)
        return BoundSet(
            low,
            nominal,
            high,
            np.zeros(len(which)),
            -upper,
            upper,
            at_lower,
            at_upper,
            ("series-parallel",) * len(which),
            ((),) * len(which),
        )

    def _source_sign(self, chosen: Quantities, box: ResistanceBox) -> FloatArray:
        """Sign of each quantity's change with the source voltage."""
        conductance = 1.0 / box.nominal[:, None]
        solution = self.network.linear.plan.solve_all(conductance)
        wide = np.repeat(conductance, len(chosen), axis=1)
        one = _repeated(solution, len(chosen))
        return np.sign(chosen.pick(one.node_v, one.branch_v, wide))

    def _resistance_box(self, least_a: FloatArray, most_a: FloatArray) -> ResistanceBox:
        """Diodes as resistances for diode currents from `least_a` (may be 0) to `most_a`."""
        floor = np.maximum(most_a, 1e-12)
        low = np.minimum(self.slope[:, 0] + self.drop[:, 0] / floor, OPEN_OHM)
        with np.errstate(divide="ignore"):
            high = np.where(least_a > 0.0, self.slope[:, 2] + self.drop[:, 2] / least_a, OPEN_OHM)
        high = np.maximum(np.minimum(high, OPEN_OHM), low)
        return ResistanceBox(
            np.concatenate([self.box.lower, low]),
            np.concatenate([self.box.nominal, np.sqrt(low * high)]),
            np.concatenate([self.box.upper, high]),
        )

    def _enclosed(self) -> BoundSet:
        m, d = self.exact.n_resistors, len(self.drop)
        least, most = np.zeros(d), np.full(d, np.inf)
        probes = np.stack([self.quantities.plus, self.quantities.minus], axis=1)
        probes = probes[~self.quantities.is_current]
        for _ in range(ROUNDS):
            box = self._resistance_box(least, most)
            rows = (box.lower, box.nominal, box.upper)
            diodes = np.arange(m, m + d)
            result = solve_bounds(
                self.network.linear, *rows, self.source_v, [], current_branches=diodes
            )
            new_least = np.maximum(least, result.current.lower)
            new_most = np.maximum(np.minimum(most, result.current.upper), 0.0)
            is_still = np.allclose(new_least, least, rtol=1e-9, atol=0.0)
            is_still = is_still and np.allclose(new_most, most, rtol=1e-9, atol=0.0)
            least, most = new_least, new_most
            if is_still:
                break
        box = self._resistance_box(least, most)
        rows = (box.lower, box.nominal, box.upper)
        result = solve_bounds(self.network.linear, *rows, self.source_v, probes)
        return self._with_gap(result.voltage.joined(result.current))

    def _with_gap(self, found: BoundSet) -> BoundSet:
        """Measure the gap against the exact solution at the corners found."""
        every = list(range(len(self.quantities)))
        low = self._pick(self._solve(found.corner_lower, found.source_lower_v), every)
        high = self._pick(self._solve(found.corner_upper, found.source_upper_v), every)
        nominal = self._pick(_repeated(self.nominal, len(every)), every)
        gap = np.maximum(low - found.lower, found.upper - high)
        return replace(found, nominal=nominal, gap=np.maximum(gap, 0.0))


def _rows(bands: list[Band]) -> FloatArray:
    return np.array([[b.lower, b.nominal, b.upper] for b in bands], dtype=float).reshape(-1, 3)


def _repeated(solution: NetworkSolution, k: int) -> NetworkSolution:
    return NetworkSolution(
        *(np.repeat(x, k, axis=1) for x in (solution.node_v, solution.branch_v, solution.branch_a))
    )
