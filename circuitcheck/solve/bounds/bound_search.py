"""The search behind `bounds.py`: each quantity gets the first method that certifies it."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from circuitcheck.model.tolerance_band import Band
from circuitcheck.record import record
from circuitcheck.solve.bounds.corner_search import (
    EndArray,
    Quantities,
    ResistanceBox,
    check_signs,
    corner_values,
    group_corners,
    in_lots,
)
from circuitcheck.solve.bounds.enclosure import BranchAndBound, loop_conductance, settle_signs
from circuitcheck.solve.bounds.network_shape import Network
from circuitcheck.solve.bounds.sign_certificate import Group
from circuitcheck.solve.elimination.elimination import NetworkSolution
from circuitcheck.solve.elimination.elimination_order import FloatArray

CORNER_LIMIT = 12  # groups tried at every setting: 8,192 corners; above, branch and bound
NODE_LIMIT = 4096  # sub-boxes per end; what is then still open is returned as the gap
LOT = 8192


@record
class BoundSet:
    """Bounds of k quantities, arrays (k,); NaN where a node floats.

    gap: how far the wider end may lie outside the true range (0: it is attained).
    corner_lower, corner_upper (m, k): where each resistance stands, -1 lower, +1 upper, 0 without
    influence. source_lower_v, source_upper_v: source voltage there.
    open_groups: branches whose sign no certificate settled, per quantity.
    method: 'series-parallel', 'enclosure', 'corners', 'branch and bound' or 'floating'.
    fields_lower, fields_upper (m + n, k): branch currents [A], then node voltages [V] at the two
    corners; currents NaN where they were not kept.
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
    open_groups: tuple[tuple[Group, ...], ...]
    fields_lower: FloatArray | None = None
    fields_upper: FloatArray | None = None

    def __len__(self) -> int:
        return int(self.lower.size)

    def band(self, number: int) -> Band:
        """Return one quantity as a Band; raises ValueError where it floats."""
        lower, upper = float(self.lower[number]), float(self.upper[number])
        # the three come from separate solutions: rounding may put nominal a last digit outside
        return Band(lower, min(max(float(self.nominal[number]), lower), upper), upper)

    def take(self, index: npt.ArrayLike) -> BoundSet:
        """Return the quantities numbered in `index`, in that order."""
        i = np.asarray(index, dtype=np.intp)
        return BoundSet(
            self.lower[i],
            self.nominal[i],
            self.upper[i],
            self.gap[i],
            self.corner_lower[:, i],
            self.corner_upper[:, i],
            self.source_lower_v[i],
            self.source_upper_v[i],
            tuple(self.method[k] for k in i),
            tuple(self.open_groups[k] for k in i),
            None if self.fields_lower is None else self.fields_lower[:, i],
            None if self.fields_upper is None else self.fields_upper[:, i],
        )

    def joined(self, other: BoundSet) -> BoundSet:
        """Return these quantities followed by those of another set on the same branches."""
        return BoundSet(
            np.concatenate([self.lower, other.lower]),
            np.concatenate([self.nominal, other.nominal]),
            np.concatenate([self.upper, other.upper]),
            np.concatenate([self.gap, other.gap]),
            np.concatenate([self.corner_lower, other.corner_lower], axis=1),
            np.concatenate([self.corner_upper, other.corner_upper], axis=1),
            np.concatenate([self.source_lower_v, other.source_lower_v]),
            np.concatenate([self.source_upper_v, other.source_upper_v]),
            self.method + other.method,
            self.open_groups + other.open_groups,
            _joined(self.fields_lower, other.fields_lower),
            _joined(self.fields_upper, other.fields_upper),
        )


def _joined(one: FloatArray | None, two: FloatArray | None) -> FloatArray | None:
    return None if one is None or two is None else np.concatenate([one, two], axis=1)


class BoundSearch:
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
        self.direction = network.directions(box.nominal, quantities)
        self.lower, self.upper = np.full(k, np.nan), np.full(k, np.nan)
        self.gap_lower, self.gap_upper = np.zeros(k), np.zeros(k)
        self.ends_lower, self.ends_upper = -self.direction, self.direction.copy()
        self.method = ["floating"] * k
        rows = self.plan.n_branches + self.plan.n_nodes
        self.fields_lower, self.fields_upper = (np.full((rows, k), np.nan) for _ in "lu")

    def run(self, node_limit: int) -> None:
        """Bound every quantity by the first method that certifies it."""
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
        values, fields = corner_values(self.plan, self.box, ends, chosen)
        self.lower[which], self.upper[which] = np.split(values, 2)
        self.fields_lower[:, which], self.fields_upper[:, which] = np.split(fields, 2, axis=1)
        self._check([j for j in which if not self.quantities.is_current[j]], method)
        for j in which:
            self.method[j] = method

    def _check(self, volts: list[int], method: str) -> None:
        """Recompute the signs of voltages; those of the structure once for each shape."""
        ends = [(int(self.quantities.plus[j]), int(self.quantities.minus[j])) for j in volts]
        known = self.network.checked if method == "series-parallel" else set()
        new = [j for j, pair in zip(volts, ends, strict=True) if pair not in known]
        if new:
            check_signs(self.plan, self.box, self.ends_upper[:, new], self.quantities.take(new))
            known.update(ends)

    def _corners(self, lot: list[int]) -> None:
        columns = [group_corners(self.direction[:, j], self.groups[j] or []) for j in lot]
        number = np.repeat(lot, [c.shape[1] for c in columns])
        ends = np.concatenate(columns, axis=1)
        values, fields = corner_values(self.plan, self.box, ends, self.quantities.take(number))
        start = 0
        for j, column in zip(lot, columns, strict=True):
            part = values[start : start + column.shape[1]]
            low, high = int(part.argmin()), int(part.argmax())
            self.lower[j], self.upper[j] = part[low], part[high]
            self.ends_lower[:, j], self.ends_upper[:, j] = column[:, low], column[:, high]
            self.fields_lower[:, j] = fields[:, start + low]
            self.fields_upper[:, j] = fields[:, start + high]
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

    def scaled(self, source_v: Band, nominal: NetworkSolution) -> BoundSet:
        """Return the bounds found, for a source voltage of 0 or more.

        `nominal` is the solution at nominal resistances and nominal source voltage.
        """
        at_lower = np.where(self.lower >= 0.0, source_v.lower, source_v.upper)
        at_upper = np.where(self.upper >= 0.0, source_v.upper, source_v.lower)
        conductance = 1.0 / self.box.nominal[:, None]
        one = nominal.node_v[:, None], nominal.branch_v[:, None]
        return BoundSet(
            lower=self.lower * at_lower,
            nominal=self.quantities.pick(*one, conductance),
            upper=self.upper * at_upper,
            gap=np.maximum(self.gap_lower * at_lower, self.gap_upper * at_upper),
            corner_lower=self.ends_lower,
            corner_upper=self.ends_upper,
            source_lower_v=at_lower,
            source_upper_v=at_upper,
            method=tuple(self.method),
            open_groups=tuple(tuple(groups or []) for groups in self.groups),
            fields_lower=self.fields_lower * at_lower,
            fields_upper=self.fields_upper * at_upper,
        )
