"""Bounds of the power turned to heat in a branch, which is not at a corner in its own resistance.

    P(r) = Voc^2 r / (r + Rth)^2,   largest at r = Rth, falling away on both sides

Voc and Rth are the open-circuit voltage and the resistance that the rest of the network shows the
branch. For each own resistance r the power rises with |I|, so the others stand where they make |I|
largest; that corner is the same for all r. So the largest power is the largest over those corners
of P at Rth, brought inside [lower, upper]; the smallest is at an end of r.
Source: maximum power transfer, e.g. Desoer & Kuh, Basic Circuit Theory (1969).
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from circuitcheck.model.tolerance_band import Band
from circuitcheck.record import record
from circuitcheck.solve.bounds.bounds import BoundsResult, Network
from circuitcheck.solve.bounds.corner_search import EndArray, ResistanceBox, group_corners
from circuitcheck.solve.elimination.elimination_order import FloatArray, IntArray
from circuitcheck.solve.elimination.elimination_shape import chunks
from circuitcheck.solve.solution import Range


@record
class PowerBounds:
    """Bounds of the power of k branches. [W]

    own_lower_ohm, own_upper_ohm: the branch's own resistance at the two ends.
    gap: how far the wider end may lie outside the true range; 0 where it is attained.
    """

    branches: IntArray
    lower: FloatArray
    nominal: FloatArray
    upper: FloatArray
    gap: FloatArray
    own_lower_ohm: FloatArray
    own_upper_ohm: FloatArray
    method: tuple[str, ...]

    def band(self, number: int) -> Band:
        """Return one power as a Band."""
        lower, upper = float(self.lower[number]), float(self.upper[number])
        return Band(lower, min(max(float(self.nominal[number]), lower), upper), upper)


def power_ends(
    amps: Range, volts: Range, own_ohm: tuple[float, float] | None
) -> tuple[float, float]:
    """Outer ends of the power V I from ranges of both, and of the own resistance where it has one.

    V I, I^2 R and V^2 / R are the same power: each bounds it, and the tightest holds. [W]
    """
    low, high = [amps.smallest() * volts.smallest()], [amps.largest() * volts.largest()]
    if own_ohm is not None:
        low += [amps.smallest() ** 2 * own_ohm[0], volts.smallest() ** 2 / own_ohm[1]]
        high += [amps.largest() ** 2 * own_ohm[1], volts.largest() ** 2 / own_ohm[0]]
    return max(low), min(high)


@record
class _PowerEnd:
    watts_per_v2: float
    own_ohm: float


def bound_powers(
    network: Network, result: BoundsResult, source_v: Band, branches: Sequence[int] | IntArray
) -> PowerBounds:
    """Bounds of the power of the numbered branches; `result` must hold their currents.

    Raises ValueError for a branch whose current was not bounded.
    """
    place = {int(i): j for j, i in enumerate(result.current_branches)}
    missing = [int(i) for i in branches if int(i) not in place]
    if missing:
        raise ValueError(f"current of branch {missing[0]} was not bounded")
    which = np.asarray(branches, dtype=np.intp)
    columns = [_corners(result, place[int(i)]) for i in which]
    behind = _equivalents(network, result.box, columns, which)
    rows = [
        _one(network, result, int(i), place[int(i)], seen)
        for i, seen in zip(which, behind, strict=True)
    ]
    low = np.array([row[0].watts_per_v2 for row in rows])
    high = np.array([row[1].watts_per_v2 for row in rows])
    nominal_a = result.nominal.branch_a[which]
    nominal_v = result.nominal.branch_v[which]
    gap = np.array([max(row[2] * source_v.lower**2, row[3] * source_v.upper**2) for row in rows])
    return PowerBounds(
        branches=which,
        lower=low * source_v.lower**2,
        nominal=np.abs(np.where(nominal_a == 0.0, 0.0, nominal_a * nominal_v)),
        upper=high * source_v.upper**2,
        gap=gap,
        own_lower_ohm=np.array([row[0].own_ohm for row in rows]),
        own_upper_ohm=np.array([row[1].own_ohm for row in rows]),
        method=tuple(result.current.method[place[int(i)]] for i in which),
    )


def _corners(result: BoundsResult, place: int) -> EndArray:
    """Corners (m, k) at which the power of a branch is looked at."""
    current = result.current
    columns = np.stack([current.corner_lower[:, place], current.corner_upper[:, place]], axis=1)
    if current.method[place] == "branch and bound":
        return columns
    groups = list(current.open_groups[place])
    return np.concatenate([columns, group_corners(columns[:, 1], groups)], axis=1)


def _one(
    network: Network,
    result: BoundsResult,
    branch: int,
    place: int,
    seen: tuple[FloatArray, FloatArray],
) -> tuple[_PowerEnd, _PowerEnd, float, float]:
    """Lower and upper end of one branch's power per volt squared, and the gap of each.

    `seen` is what the rest of the network shows it, see `_equivalents`.
    """
    box = result.box
    low, high = _attained(*seen, float(box.lower[branch]), float(box.upper[branch]))
    if result.current.method[place] != "branch and bound":
        return low, high, 0.0, 0.0
    wide_low, wide_high = _outer(network, result, branch, place)
    return (
        _PowerEnd(min(wide_low, low.watts_per_v2), low.own_ohm),
        _PowerEnd(max(wide_high, high.watts_per_v2), high.own_ohm),
        max(low.watts_per_v2 - wide_low, 0.0),
        max(wide_high - high.watts_per_v2, 0.0),
    )


def _equivalents(
    network: Network, box: ResistanceBox, columns: Sequence[EndArray], branches: IntArray
) -> list[tuple[FloatArray, FloatArray]]:
    """Open-circuit voltage per volt and resistance behind each branch at its corners (m, k).

    All corners of all branches are solved side by side, each with its own branch open.
    """
    if not columns:
        return []
    plan, widths = network.plan, [column.shape[1] for column in columns]
    ends, own = np.concatenate(columns, axis=1), np.repeat(branches, widths)
    open_v, behind = np.empty((2, own.size))
    for part in chunks(own.size):
        branch, every = own[part], np.arange(own[part].size)
        conductance = 1.0 / box.at(ends[:, part])
        conductance[branch, every] = 0.0
        factor = plan.factor(conductance)
        feed = np.zeros((plan.n_nodes, branch.size))
        feed[plan.a[branch], every] += 1.0
        feed[plan.b[branch], every] -= 1.0
        open_v[part] = factor.node_and_branch_v(np.ones(branch.size))[1][branch, every]
        fed = factor.node_and_branch_v(np.zeros(branch.size), feed)[1]
        behind[part] = fed[branch, every]
    cuts = np.cumsum(widths)[:-1]
    both = (np.split(np.nan_to_num(found), cuts) for found in (open_v, behind))
    return list(zip(*both, strict=True))


def _attained(
    open_v: FloatArray, behind: FloatArray, lower: float, upper: float
) -> tuple[_PowerEnd, _PowerEnd]:
    def power(own: FloatArray) -> FloatArray:
        return np.asarray(open_v**2 * own / (own + behind) ** 2)

    at_peak = np.clip(behind, lower, upper)
    peak = power(at_peak)
    top = int(peak.argmax())
    ends = np.stack([power(np.full_like(behind, r)) for r in (lower, upper)])
    side, column = np.unravel_index(int(ends.argmin()), ends.shape)
    least = 0.0 if open_v.min() < 0.0 < open_v.max() else float(ends[side, column])
    return _PowerEnd(least, (lower, upper)[int(side)]), _PowerEnd(
        float(peak[top]), float(at_peak[top])
    )


def _outer(network: Network, result: BoundsResult, branch: int, place: int) -> tuple[float, float]:
    """Outer power from outer bounds of the current, per volt squared.

    With Rth at most x (all resistances at their upper ends, Rayleigh), I(lower) at most i and
    I(upper) at least j:  I(r) <= i (lower + x) / (r + x),  I(lower) >= j (upper + x) / (lower + x).
    """
    box, current = result.box, result.current
    all_upper = np.ones((network.plan.n_branches, 1), dtype=np.int8)
    ((_, at_most),) = _equivalents(network, box, [all_upper], np.array([branch]))
    most = float(at_most[0])
    lower, upper = float(box.lower[branch]), float(box.upper[branch])
    ends = np.array(
        [
            current.lower[place] / current.source_lower_v[place],
            current.upper[place] / current.source_upper_v[place],
        ]
    )
    big = float(np.abs(ends).max())
    small = 0.0 if ends[0] < 0.0 < ends[1] else float(np.abs(ends).min())
    own = min(max(most, lower), upper)
    wide_high = own * (big * (lower + most) / (own + most)) ** 2
    wide_low = min(upper * small**2, lower * (small * (upper + most) / (lower + most)) ** 2)
    return wide_low, wide_high
