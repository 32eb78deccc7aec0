"""Bands of a test sheet: certified worst case of a position, the meter's error and load on top.

    band = [lower - error(lower) - load, upper + error(upper)]

The certified range holds every machine within the limits of its file. A meter of 10 Mohm takes
less than 0.1 % off a point that a resistance of up to 10 kohm feeds.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from circuitcheck.circuit.positions import Position
from circuitcheck.model.harness import Harness
from circuitcheck.model.instrument import InstrumentRow
from circuitcheck.model.library import Library
from circuitcheck.model.tolerance_band import Band
from circuitcheck.readings.meter_error import limit_of_error
from circuitcheck.solve.position_solution import PositionSolution
from circuitcheck.solve.solution import COLD_START, Range
from circuitcheck.solve.worst_case import Solution, solve_harness

METER_LOAD_SHARE = 1e-3

ENGINE_OFF, RUNNING = "off", "running"


def supplied_by(harness: Harness, engine: str) -> Harness:
    """Return the harness with the supply of one state of the engine alone."""
    conditions = harness.conditions
    volts = conditions.engine_off_v if engine == ENGINE_OFF else conditions.charging_v
    return replace(harness, conditions=replace(conditions, engine_off_v=volts, charging_v=volts))


def solved_with(harness: Harness, library: Library, engine: str) -> Solution:
    """Return the solution with the supply of one state of the engine alone."""
    return solve_harness(supplied_by(harness, engine), library, gaps=False)


def solved_cold(
    harness: Harness, library: Library, engine: str, positions: Sequence[Position]
) -> Solution:
    """Return some positions, as reached from rest, coils cold, with the supply of one engine state.

    How hot the others make a coil is not asked for then: they need not be solved.
    """
    alone = supplied_by(harness, engine)
    return solve_harness(alone, library, positions, (COLD_START,), gaps=False)


def with_meter(found: Range, meter: InstrumentRow, *, loads: bool = False) -> Band | None:
    """Return a range with the meter's error in it, and its load; None where nothing leads there."""
    if not math.isfinite(found.lower + found.upper):
        return None
    lower, upper = found.lower, found.upper
    if loads:
        lower -= METER_LOAD_SHARE * max(0.0, lower)
        upper += METER_LOAD_SHARE * max(0.0, -upper)
    low = lower - limit_of_error(meter, lower)
    high = upper + limit_of_error(meter, upper)
    return Band(low, min(max(found.nominal, low), high), high)


def volts_between(
    solved: PositionSolution, pairs: Sequence[tuple[str, str]], meter: InstrumentRow
) -> list[Band | None]:
    """Return what the meter must show between each pair of terminals. [V]"""
    found = solved.between_many_v(pairs) if pairs else []
    return [with_meter(one, meter, loads=True) for one in found]


def under_posts(found: Range, meter: InstrumentRow, at_v: float) -> Band | None:
    """Return how far a point may lie under the posts as the difference of two readings. [V]

    On one range their gain error is common; the digits of both count. None where nothing leads.
    """
    chosen = meter.range_for(at_v)
    if not math.isfinite(found.lower + found.upper) or chosen is None:
        return None
    off = 2.0 * chosen.digits * chosen.resolution
    lower, upper = found.lower - off, found.upper + off
    return Band(lower, min(max(found.nominal, lower), upper), upper)
