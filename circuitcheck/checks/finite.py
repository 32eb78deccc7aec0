"""Ranges of parts that hang on neither battery post: nothing stands across them.

Shared ground of the checks; it judges nothing itself.
"""

from __future__ import annotations

import math

from circuitcheck.solve.solution import Range


def finite(found: Range) -> Range:
    """Return a range as it is, or nothing at all where the solver says that it floats (NaN)."""
    ends = (found.lower, found.nominal, found.upper)
    return Range(0.0, 0.0, 0.0) if any(math.isnan(end) for end in ends) else found
