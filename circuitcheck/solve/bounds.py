"""Certified lower and upper bounds of voltages, currents and powers over a box of resistances.

In a network with one source every voltage and current is monotone in each single resistance, so
its extremes lie at corners of the box. Which corner follows from the signs of I_i T_i
(`sign_certificate.py`): certain from structure ('series-parallel'); or from a rigorous enclosure
of the two currents over the box ('enclosure'); or by trying every setting of the few composites of
unknown sign ('corners'); or by branch and bound ('branch and bound', `enclosure.py`), whose
remaining gap is returned. Bounds are outer: never inside the
true range by more than rounding, about 1e-12 of the value.

The source voltage scales everything, so it stands at its own end. The resistances are independent:
a temperature shared by several of them is the caller's one variable, solved at its own values with
`solve_corner`. Current and voltage of one branch reach their extremes at different corners; power
has its own bound (`power_bounds.py`), because it is not at a corner.
Source: extremes at corners: each quantity is (a + b R) / (c + d R) in one R.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from circuitcheck.model.tolerance_band import Band
from circuitcheck.solve.corner_search import (
    EndArray,
    Quantities,
    ResistanceBox,
    check_signs,
    corner_values,
    directions,
    group_corners,
    in_lots,
    make_quantities,
)
from circuitcheck.solve.elimination import EliminationPlan, NetworkSolution
from circuitcheck.solve.elimination_order import FloatArray, IntArray
from circuitcheck.solve.enclosure import BranchAndBound, loop_conductance, settle_signs
from circuitcheck.solve.sign_certificate import Group, SignCertificate

CORNER_LIMIT = 8  # groups tried at every setting; above, branch and bound, exact up to its cap
NODE_LIMIT = 16384  # sub-boxes per end: more than any search over 12 groups can need
LOT = 8192


class Network:
    """Shape of one network: n nodes, branches a[i] to b[i], source (+) and reference (-) node.

    Compile once, solve often. Raises ValueError as `EliminationPlan` does.
    """

    def __init__(
        self,
        n_nodes: int,
        a: npt.ArrayLike,
        b: npt.ArrayLike,
        source: int,
        reference: int,
    ) -> None:
        self.plan = EliminationPlan(n_nodes, a, b, (source, reference))

    @cached_property
    def signs(self) -> SignCertificate:
        """Structural sign certificate of this shape."""
        plan = self.plan
        edges = list(zip(plan.a.tolist(), plan.b.tolist(), strict=True))
        return SignCertificate(plan.n_nodes, edges, plan.source, plan.reference)

    def groups(self, plus: int, minus: int) -> list[Group] | None:
        """Groups of branches of unknown sign; None where a node floats."""
        if self.plan.floating[plus] or self.plan.floating[minus]:
            return None
        return self.signs.uncertain_groups(plus, minus)


@dataclass(frozen=True)
class BoundSet:
    """Bounds of k quantities, arrays (k,); NaN where a node floats.

    gap: how far the wider end may lie outside the true range (0: it is attained).
    corner_lower, corner_upper (m, k): where each resistance stands, -1 lower, +1 upper, 0 without
    influence. source_lower_v, source_upper_v: source voltage there.
    method: 'series-parallel', 'enclosure', 'corners', 'branch and bound' or 'floating'.
    """

    lower: FloatArray
    nominal: FloatArray
    upper: FloatArray
    gap: FloatArray
    corner_lower: EndArray
    corner_upper: EndArray
    source_lower_v: FloatArray
    source_upper_v: FloatArray
    method: tuple[str, ...]

    def __len__(self) -> int:
        return int(self.lower.size)

    def band(self, number: int) -> Band:
        """Return one quantity as a Band; raises ValueError where it floats."""
        lower, upper = float(self.lower[number]), float(self.upper[number])
        # the three come from separate solutions: rounding may put nominal a last digit outside
        return Band(lower, min(max(float(self.nominal[number]), lower), upper), upper)


@dataclass(frozen=True)
class BoundsResult:
    """Bounds of probe voltages [V] and branch currents [A], and the nominal solution."""

    box: ResistanceBox
    nominal: NetworkSolution
    voltage: BoundSet
    current: BoundSet
    current_branches: IntArray

    def resistance_at(self, ends: EndArray) -> FloatArray:
        """Resistances (m,) of a corner column such as `voltage.corner_upper[:, 3]`. [ohm]"""
        return self.box.at(ends)


def solve_corner(
    network: Network, resistance_ohm: npt.ArrayLike, source_v: npt.ArrayLike
) -> NetworkSolution:
    """Solve chosen resistances (m,) or (m, batch) and source voltages, one value or (batch,)."""
    return network.plan.solve_all(1.0 / np.asarray(resistance_ohm, dtype=float), source_v)


def solve_bounds(
    network: Network,
    resistance_lower: npt.ArrayLike,
    resistance_nominal: npt.ArrayLike,
    resistance_upper: npt.ArrayLike,
    source_v: Band,
    probes: Sequence[tuple[int, int]] | IntArray,
    *,
    current_branches: Sequence[int] | IntArray | None = None,
    node_limit: int = NODE_LIMIT,
) -> BoundsResult:
    """Bounds of V_plus - V_minus for each probe, and of the current of each branch.

    resistance_* : (m,), above 0, finite, in order. [ohm]
    source_v : 0 or more. [V]
    probes : (p, 2) nodes (plus, minus).
    current_branches : branches whose current is bounded; all by default.
    node_limit : cap on the sub-boxes of a branch and bound, per end; what is left is the gap.
    Raises ValueError for bad input, SolveError where a sign certificate does not hold.
    """
    plan = network.plan
    box = ResistanceBox(
        *(np.asarray(r, float) for r in (resistance_lower, resistance_nominal, resistance_upper))
    )
    if box.lower.shape != (plan.n_branches,):
        raise ValueError(f"{box.lower.size} resistances for {plan.n_branches} branches")
    if source_v.lower < 0.0:
        raise ValueError(f"source voltage {source_v.lower} V is below 0")
    pairs = np.asarray(probes, dtype=np.intp).reshape(-1, 2)
    branches = (
        np.arange(plan.n_branches)
        if current_branches is None
        else (np.asarray(current_branches, dtype=np.intp))
    )
    quantities = make_quantities(plan, pairs, branches)
    nominal = plan.solve_all(1.0 / box.nominal, source_v.nominal)
    search = _Search(network, box, quantities)
    search.run(node_limit)
    found = search.scaled(source_v)
    n = len(pairs)
    return BoundsResult(
        box=box,
        nominal=nominal,
        voltage=_part(found, slice(0, n)),
        current=_part(found, slice(n, None)),
        current_branches=branches,
    )


def _part(found: BoundSet, part: slice) -> BoundSet:
    return BoundSet(
        found.lower[part],
        found.nominal[part],
        found.upper[part],
        found.gap[part],
        found.corner_lower[:, part],
        found.corner_upper[:, part],
        found.source_lower_v[part],
        found.source_upper_v[part],
        found.method[part],
    )


class _Search:
    """Bounds of all quantities per volt of source, filled in method by method."""

    def __init__(self, network: Network, box: ResistanceBox, quantities: Quantities) -> None:
        self.network, self.plan, self.box = network, network.plan, box
        self.quantities = quantities
        ends = list(zip(quantities.plus.tolist(), quantities.minus.tolist(), strict=True))
        by_ends = {pair: network.groups(*pair) for pair in set(ends)}
        # no current flows where nothing joins the source: 0, whereas the voltage floats
        self.groups = [
            [] if is_current and by_ends[pair] is None else by_ends[pair]
            for pair, is_current in zip(ends, quantities.is_current.tolist(), strict=True)
        ]
        k = len(quantities)
        self.direction = directions(self.plan, box, quantities)
        self.lower, self.upper = np.full(k, np.nan), np.full(k, np.nan)
        self.gap_lower, self.gap_upper = np.zeros(k), np.zeros(k)
        self.ends_lower, self.ends_upper = -self.direction, self.direction.copy()
        self.method = ["floating"] * k

    def run(self, node_limit: int) -> None:
        size = [-1 if groups is None else len(groups) for groups in self.groups]
        self._certain([j for j, n in enumerate(size) if n == 0], "series-parallel")
        unsure = [j for j, n in enumerate(size) if n > 0]
        if not unsure:
            return
        around = loop_conductance(self.plan, self.box)
        direction = self.direction[:, unsure]
        left = settle_signs(
            self.plan,
            self.box,
            around,
            self.quantities.take(unsure),
            direction,
            [self.groups[j] or [] for j in unsure],
        )
        self._point(unsure, direction)
        for j, groups in zip(unsure, left, strict=True):
            self.groups[j] = groups
        self._certain([j for j, n in zip(unsure, left, strict=True) if not n], "enclosure")
        some = [j for j in unsure if 0 < len(self.groups[j] or []) <= CORNER_LIMIT]
        for lot in in_lots([2 ** (len(self.groups[j] or []) + 1) for j in some], LOT):
            self._corners([some[i] for i in lot])
        for j in unsure:
            if len(self.groups[j] or []) > CORNER_LIMIT:
                self._enclose(j, around, node_limit)

    def _point(self, which: list[int], direction: EndArray) -> None:
        self.direction[:, which] = direction
        self.ends_upper[:, which], self.ends_lower[:, which] = direction, -direction

    def _certain(self, which: list[int], method: str) -> None:
        if not which:
            return
        chosen = self.quantities.take(which + which)
        ends = np.concatenate([self.ends_lower[:, which], self.ends_upper[:, which]], axis=1)
        values = corner_values(self.plan, self.box, ends, chosen)
        self.lower[which], self.upper[which] = np.split(values, 2)
        volts = [j for j in which if not self.quantities.is_current[j]]
        check_signs(self.plan, self.box, self.ends_upper[:, volts], self.quantities.take(volts))
        for j in which:
            self.method[j] = method

    def _corners(self, lot: list[int]) -> None:
        columns = [group_corners(self.direction[:, j], self.groups[j] or []) for j in lot]
        number = np.repeat(lot, [c.shape[1] for c in columns])
        ends = np.concatenate(columns, axis=1)
        values = corner_values(self.plan, self.box, ends, self.quantities.take(number))
        start = 0
        for j, column in zip(lot, columns, strict=True):
            part = values[start : start + column.shape[1]]
            low, high = int(part.argmin()), int(part.argmax())
            self.lower[j], self.upper[j] = part[low], part[high]
            self.ends_lower[:, j], self.ends_upper[:, j] = column[:, low], column[:, high]
            self.method[j] = "corners"
            start += column.shape[1]

    def _enclose(self, j: int, around: FloatArray, node_limit: int) -> None:
        search = BranchAndBound(
            self.plan,
            self.box,
            around,
            self.quantities.take([j]),
            self.direction[:, j],
            self.groups[j] or [],
        )
        high, low = search.run(1, node_limit), search.run(-1, node_limit)
        self.upper[j], self.lower[j] = high.outer, low.outer
        self.ends_upper[:, j], self.ends_lower[:, j] = high.ends, low.ends
        self.gap_upper[j] = high.outer - high.attained
        self.gap_lower[j] = low.attained - low.outer
        self.method[j] = "branch and bound"

    def scaled(self, source_v: Band) -> BoundSet:
        at_lower = np.where(self.lower >= 0.0, source_v.lower, source_v.upper)
        at_upper = np.where(self.upper >= 0.0, source_v.upper, source_v.lower)
        zero = np.zeros((self.plan.n_branches, len(self.quantities)), dtype=np.int8)
        nominal = corner_values(self.plan, self.box, zero, self.quantities)
        return BoundSet(
            lower=self.lower * at_lower,
            nominal=nominal * source_v.nominal,
            upper=self.upper * at_upper,
            gap=np.maximum(self.gap_lower * at_lower, self.gap_upper * at_upper),
            corner_lower=self.ends_lower,
            corner_upper=self.ends_upper,
            source_lower_v=at_lower,
            source_upper_v=at_upper,
            method=tuple(self.method),
        )
