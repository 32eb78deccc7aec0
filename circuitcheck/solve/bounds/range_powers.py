"""Power turned to heat where curves or converters leave no closed form: from current and voltage.

P = V I = I^2 R = V^2 / R lies between what the ranges of current and voltage leave; what the
corners of both reach measures how far that stands off.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from circuitcheck.solve.bounds.bounded import Bounded
from circuitcheck.solve.bounds.corner_search import EndArray
from circuitcheck.solve.bounds.corner_values import Pick
from circuitcheck.solve.bounds.power_bounds import power_ends
from circuitcheck.solve.elimination.elimination import NetworkSolution
from circuitcheck.solve.elimination.elimination_order import FloatArray, IntArray
from circuitcheck.solve.solution import BLOCKED, Range

AtCorners = Callable[[EndArray, FloatArray, Pick], FloatArray]
"""Values of quantity j at corner j, all air cold, then hot, (2, k)."""


def powers_from_ranges(
    amps: Sequence[Bounded],
    volts: Sequence[Bounded],
    resistance_ohm: FloatArray,
    numbers: Sequence[int],
    at_corners: AtCorners,
) -> list[Range]:
    """Return the power of each element: branches with resistances (3, branches), then curves.

    `numbers` are their branch numbers in a solution, -1 for one that never conducts.
    """
    low, high = _reached(amps, volts, numbers, at_corners)
    out = []
    for k, (current, across) in enumerate(zip(amps, volts, strict=True)):
        if numbers[k] < 0:
            out.append(Range(0.0, 0.0, 0.0, 0.0, BLOCKED))
            continue
        has_ohms = k < resistance_ohm.shape[1]
        own = (resistance_ohm[0, k], resistance_ohm[2, k]) if has_ohms else None
        lower, upper = power_ends(current.range, across.range, own)
        nominal = abs(current.range.nominal * across.range.nominal)
        gap = max(0.0, upper - float(high[k]), float(low[k]) - lower)
        out.append(Range(lower, min(max(nominal, lower), upper), upper, gap, "enclosure"))
    return out


def _reached(
    amps: Sequence[Bounded], volts: Sequence[Bounded], numbers: Sequence[int], at: AtCorners
) -> tuple[FloatArray, FloatArray]:
    """Least and greatest power that the corners of current and voltage reach."""
    number = np.maximum(numbers, 0)

    def watts(solved: NetworkSolution, k: IntArray) -> FloatArray:
        column = np.arange(k.size)
        return np.asarray(solved.branch_a[number[k], column] * solved.branch_v[number[k], column])

    reached = []
    for bounded in (amps, volts):
        lower = np.stack([one.ends_lower for one in bounded], axis=1)
        upper = np.stack([one.ends_upper for one in bounded], axis=1)
        reached.append(at(lower, np.array([one.supply_lower_v for one in bounded]), watts))
        reached.append(at(upper, np.array([one.supply_upper_v for one in bounded]), watts))
    every = np.nan_to_num(np.concatenate(reached))
    return every.min(axis=0), every.max(axis=0)
