"""Numbers and batches alike: one formula serves a float and an array of operating points."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Number = float | Array


def plain(value: Number) -> Number:
    """Return an array as it is, a numpy scalar as a plain float."""
    return value if isinstance(value, np.ndarray) and value.ndim > 0 else float(value)


def require_above_zero(name: str, value: Number) -> None:
    """Raise ValueError, naming the argument, unless every value is finite and above 0."""
    if isinstance(value, float) and 0.0 < value < math.inf:
        return  # one number: without the detour by numpy
    if not np.all(np.isfinite(value) & (np.asarray(value) > 0.0)):
        raise ValueError(f"{name}: got {value}, must be finite and above 0")


def require_not_negative(name: str, value: Number) -> None:
    """Raise ValueError, naming the argument, unless every value is finite and 0 or more."""
    if isinstance(value, float) and 0.0 <= value < math.inf:
        return
    if not np.all(np.isfinite(value) & (np.asarray(value) >= 0.0)):
        raise ValueError(f"{name}: got {value}, must be finite and 0 or more")


def require_between(name: str, value: Number, lower: float, upper: float) -> None:
    """Raise ValueError, naming the argument, unless every value lies in the range."""
    if isinstance(value, float) and lower <= value <= upper:
        return
    inside = (np.asarray(value) >= lower) & (np.asarray(value) <= upper)
    if not np.all(inside):
        raise ValueError(f"{name}: got {value}, must be {lower:g} to {upper:g}")
