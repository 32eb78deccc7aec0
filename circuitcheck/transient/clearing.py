"""A fuse against a wire over a range of fault currents: where is least to spare.

Clearing times are straight lines in logarithms between the listed points. The wire's limit is
straight up to 5 s and bent above, so that the worst current may lie anywhere: it is looked for on
a grid that holds the ends, the listed points and the current of 5 s, and then around the worst.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from circuitcheck.formulas.adiabatic import withstand_current_a
from circuitcheck.formulas.fuse_clearing import clearing_time_s
from circuitcheck.transient.wire_heat import ADIABATIC_S, WireHeat

GRID = 25
ROUNDS = 3


@dataclass(frozen=True)
class ClearingPoint:
    """One current at which the slow edge of a fuse is held against the limit of a wire."""

    current_a: float
    clearing_s: float
    withstand_s: float

    @property
    def share(self) -> float:
        """Clearing time over the time that the wire stands, 0 where it stands it for good."""
        return self.clearing_s / self.withstand_s


def least_clearing_margin(
    lowest_a: float,
    highest_a: float,
    rated_upper_a: float,
    percents: Sequence[float],
    max_s: Sequence[float],
    wire: WireHeat,
    start_c: float,
) -> ClearingPoint:
    """Return the current in a range at which clearing time is largest over withstand time.

    Parameters
    ----------
    lowest_a, highest_a : float
        Range of the fault current, above 0; the fuse must open at all of it. [A]
    rated_upper_a, percents, max_s
        As `clearing_time_s`.
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
    # At a listed point the listed time is taken as it stands: no rounding of the percent.
    listed = {rated_upper_a * p / 100.0: t for p, t in zip(percents, max_s, strict=True)}
    short_a = withstand_current_a(
        wire.area_mm2, ADIABATIC_S, start_c, wire.short_circuit_c, wire.metal
    )

    def points(currents: Iterable[float]) -> list[ClearingPoint]:
        return [
            ClearingPoint(
                amps,
                listed.get(amps) or clearing_time_s(amps, rated_upper_a, percents, max_s),
                wire.stands_s(amps, start_c),
            )
            for amps in sorted(set(currents))
        ]

    inside = [amps for amps in (*listed, short_a) if lowest_a < amps < highest_a]
    found = points([lowest_a, highest_a, *inside, *_between(lowest_a, highest_a)])
    for _ in range(ROUNDS):
        worst = max(range(len(found)), key=lambda n: found[n].share)
        low, high = found[max(worst - 1, 0)], found[min(worst + 1, len(found) - 1)]
        if not math.isfinite(found[worst].withstand_s) or low is high:
            break
        found = points(
            [*(p.current_a for p in found), *_between(low.current_a, high.current_a, GRID // 2)]
        )
    most = max(point.share for point in found)
    # Above the last point the ratio is constant but for rounding: the lowest current is named.
    return next(p for p in found if p.share >= most * (1.0 - 1e-9))


def _between(low: float, high: float, count: int = GRID) -> list[float]:
    return [float(amps) for amps in np.geomspace(low, high, count + 2)[1:-1] if low < amps < high]
