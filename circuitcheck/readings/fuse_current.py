"""Current through a fuse from the millivolts across it.

    V = I R(I),   R(I) = R_cold + (R_hot - R_cold) (I / I_rated)^2

R_hot is the listed drop at rated current over that current; between, the element warms with its
heat, about the square of current (common practice, no source). Its tolerance holds throughout.
"""

from __future__ import annotations

from circuitcheck.model.library_rows import FuseRow
from circuitcheck.model.tolerance_band import Band

MOST_OF_RATING = 1.5
"""Beyond, a fuse is about to open and the curve is no longer worth anything."""


def fuse_resistance_ohm(fuse: FuseRow, current_a: float) -> float:
    """Return the usual resistance of a fuse at a current. [ohm]"""
    cold = fuse.resistance_ohm.nominal
    hot = fuse.drop_at_rated_v / fuse.rating_a
    return cold + (hot - cold) * (current_a / fuse.rating_a) ** 2


def fuse_current_a(fuse: FuseRow, drop_v: float, meter_limit_v: float = 0.0) -> Band:
    """Return the current for a drop, with the fuse's tolerance and the meter's error in it.

    Raises ValueError where the drop is that of more than 1.5 times the rating.
    """
    tolerance = 1.0 - fuse.resistance_ohm.lower / fuse.resistance_ohm.nominal
    volts = abs(drop_v)
    ends = (
        _current(fuse, max(0.0, volts - meter_limit_v) / (1.0 + tolerance)),
        _current(fuse, volts),
        _current(fuse, (volts + meter_limit_v) / (1.0 - tolerance)),
    )
    if ends[1] > MOST_OF_RATING * fuse.rating_a:
        raise ValueError(
            f"{1000.0 * volts:g} mV is more than a {fuse.name} fuse carries: check the rating, "
            "the meter's range and that it was on the two test points"
        )
    return Band(*ends)


def _current(fuse: FuseRow, drop_v: float) -> float:
    if drop_v == 0.0:
        return 0.0
    low, high = 0.0, 4.0 * MOST_OF_RATING * fuse.rating_a
    for _ in range(60):
        middle = 0.5 * (low + high)
        if middle * fuse_resistance_ohm(fuse, middle) < drop_v:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)
