"""How far an instrument itself may be off, as a standard deviation, and what it can show.

    u = sqrt((gain x value)^2 + (digits x resolution)^2 + ...) / sqrt(3)

A maker's limits of error are taken as rectangular and independent (JCGM 100:2008, 4.3.7 and 5.1.2).
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

from circuitcheck.model import instrument as i
from circuitcheck.model.library import Library
from circuitcheck.model.reading import Measurement

FloatArray = NDArray[np.float64]

LEVEL_SPREAD = 0.35
"""Standard deviation of a brightness by eye, where dark is 0 and bright 2; common practice."""
LEAD_SHARE = 0.5
"""Limit of how far an ohmmeter's leads and tips are off the usual, of their resistance."""


def spread(measurement: Measurement, value: ArrayLike, library: Library) -> FloatArray:
    """Return the standard deviation of the instrument at a value, in its own unit.

    Same shape as `value`; 0 for an observation, whose error is `InstrumentRow.mistaken`, and for
    an infinite value (no path).
    """
    row = library.instrument(measurement.instrument)
    values = np.abs(np.asarray(value, dtype=float))
    if row.kind in (i.LAMP_BY_EYE, i.LED_TESTER):
        return np.full(values.shape, LEVEL_SPREAD)
    if row.kind == i.OBSERVATION:
        return np.zeros(values.shape)
    limits = _limits(row, values)
    return np.asarray(np.sqrt((limits**2).sum(axis=0) / 3.0))


def _limits(row: i.InstrumentRow, values: FloatArray) -> FloatArray:
    """Return the independent limits of error, one per row; none where there is no path."""
    finite = np.isfinite(values)
    plain = np.where(finite, values, 0.0)
    tops = np.array([r.full_scale for r in row.ranges])
    chosen = np.minimum(np.searchsorted(tops, plain * (1.0 - 1e-9)), len(tops) - 1)
    gain = np.array([r.gain for r in row.ranges])[chosen]
    digits = np.array([r.digits * r.resolution for r in row.ranges])[chosen]
    other = 0.0
    if row.kind == i.CLAMP_AMMETER:
        other = row.zero_a or 0.0
    elif row.kind == i.OHMMETER:
        other = LEAD_SHARE * (row.lead_ohm or 0.0)
    limits = np.stack([gain * plain, digits, np.full(plain.shape, other)])
    return np.asarray(np.where(finite, limits, 0.0))


def limit_of_error(row: i.InstrumentRow, value: float) -> float:
    """Return how far a meter may be off at a value at worst: all its limits added.

    Raises ValueError for what is no meter.
    """
    if not row.ranges:
        raise ValueError(f"{row.name} is no meter")
    return float(_limits(row, np.array([abs(value)])).sum())


def highest(row: i.InstrumentRow) -> float:
    """Return the highest value that an instrument can show, infinite for what has no ranges."""
    return row.ranges[-1].full_scale if row.ranges else math.inf
