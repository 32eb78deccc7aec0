"""A fuse against a wire over a range of fault currents: where is least to spare.

    cleared within 5 s    no heat is taken to leave the wire: (k A / I)^2 up to its fault limit
    cleared later         the wire's heating curve, see `wire_heat`

Clearing times are straight lines in logarithms between the listed points, and so is the limit of
the first part: its worst current is at an end or at a listed point. The limit of the second part
is bent, so that its worst current may lie anywhere: it is looked for on a grid, and then around
the worst of it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import numpy as np

from circuitcheck.formulas.adiabatic import withstand_time_s
from circuitcheck.formulas.fuse_clearing import clearing_time_s
from circuitcheck.record import record
from circuitcheck.transient.heat.wire_heat import ADIABATIC_S, WireHeat

GRID = 15
ROUNDS = 2


@record
class ClearingPoint:
    """One current at which the slow edge of a fuse is held against the limit of a wire."""

    current_a: float
    clearing_s: float
    withstand_s: float

    @property
    def share(self) -> float:
        """Clearing time over the time that the wire stands, 0 where it stands it for good."""
        return self.clearing_s / self.withstand_s

    @property
    def is_short(self) -> bool:
        """Whether it is cleared so soon that no heat is taken to leave the wire."""
        return self.clearing_s <= ADIABATIC_S


@record
class SlowEdge:
    """The slow edge of one fuse: `worth_a` in its coldest air, points as `clearing_time_s`."""

    worth_a: float
    percents: Sequence[float]
    max_s: Sequence[float]

    def clearing_s(self, current_a: float) -> float:
        """Return how long it may take to clear a current; a listed time as it stands."""
        for percent, longest_s in zip(self.percents, self.max_s, strict=True):
            if current_a == self.worth_a * percent / 100.0:
                return longest_s
        return clearing_time_s(current_a, self.worth_a, self.percents, self.max_s)

    def between(self, lowest_a: float, highest_a: float) -> list[float]:
        """Return both ends of a range and the listed points inside it [A]."""
        listed = [self.worth_a * percent / 100.0 for percent in self.percents]
        inside = [amps for amps in listed if lowest_a < amps < highest_a]
        return sorted({lowest_a, *inside, highest_a})


def least_clearing_margin(
    lowest_a: float, highest_a: float, edge: SlowEdge, wire: WireHeat, start_c: float
) -> ClearingPoint:
    """Return the current in a range at which clearing time is largest over withstand time.

    Parameters
    ----------
    lowest_a, highest_a : float
        Range of the fault current, above 0; the fuse must open at all of it. [A]
    edge : SlowEdge
        The fuse.
    wire : WireHeat
        The wire.
    start_c : float
        Its temperature before the fault. [degC]

    Returns
    -------
    ClearingPoint
        The lowest such current, with both times.

    Raises
    ------
    ValueError
        An argument outside the range of its formula.
    """

    def point(amps: float) -> ClearingPoint:
        clearing_s = edge.clearing_s(amps)
        if clearing_s > ADIABATIC_S:
            return ClearingPoint(amps, clearing_s, wire.stands_s(amps, start_c))
        stands_s = withstand_time_s(wire.area_mm2, amps, start_c, wire.short_circuit_c, wire.metal)
        return ClearingPoint(amps, clearing_s, stands_s)

    found = [point(amps) for amps in edge.between(lowest_a, highest_a)]
    later = [one.current_a for one in found if not one.is_short]
    if later:
        soon = [one.current_a for one in found if one.is_short]
        high = _cleared_in_5_s(edge, later[-1], soon[0]) if soon else later[-1]
        found += _bent(point, later[0], high)
        found.sort(key=lambda one: one.current_a)
    most = max(one.share for one in found)
    # Above the last point the ratio is constant but for rounding: the lowest current is named.
    return next(one for one in found if one.share >= most * (1.0 - 1e-12))


def _bent(point: Callable[[float], ClearingPoint], low: float, high: float) -> list[ClearingPoint]:
    """Return points of a range, close together around the worst of them."""
    found = [point(amps) for amps in _grid(low, high)]
    for _ in range(ROUNDS):
        if not found:
            break
        found.sort(key=lambda one: one.current_a)
        worst = max(range(len(found)), key=lambda n: found[n].share)
        around = found[max(worst - 1, 0)], found[min(worst + 1, len(found) - 1)]
        found += [point(amps) for amps in _grid(around[0].current_a, around[1].current_a)]
    return found


def _cleared_in_5_s(edge: SlowEdge, later_a: float, soon_a: float) -> float:
    """Return the current that is cleared in 5 s between two of one straight line."""
    later_s, soon_s = edge.clearing_s(later_a), edge.clearing_s(soon_a)
    share = math.log(later_s / ADIABATIC_S) / math.log(later_s / soon_s)
    return later_a * math.pow(soon_a / later_a, share)


def _grid(low: float, high: float) -> list[float]:
    return [float(amps) for amps in np.geomspace(low, high, GRID) if low <= amps <= high]
