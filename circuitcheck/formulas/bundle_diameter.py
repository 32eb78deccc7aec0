"""Outside diameter of a bundle of round wires."""

from __future__ import annotations

import math
from collections.abc import Sequence

PACKING = 1.25
"""Factor on the root of the sum of squares: wires fill 64 % of the bundle's round section."""


def bundle_diameter_m(outside_m: Sequence[float]) -> float:
    """Diameter of the circle that holds a bundle of wires laid by hand.

        D = max(1.25 * sqrt(d1**2 + d2**2 + ...), d1 + d2 of the two thickest); one wire: D = d

    The factor is common practice, no source; it is never below the best packing of equal circles
    in a circle. Source: circle-packing.

    Parameters
    ----------
    outside_m : sequence
        Outside diameters of the wires, at least one, each above 0. [m]

    Returns
    -------
    float
        Diameter of the bundle. [m]

    Raises
    ------
    ValueError
        No wire, or a diameter that is not above 0.

    Examples
    --------
    >>> round(bundle_diameter_m([0.002] * 7), 5)
    0.00661
    """
    if not outside_m or min(outside_m) <= 0.0:
        raise ValueError("a bundle needs wires of a diameter above 0")
    if len(outside_m) == 1:
        return outside_m[0]
    thickest = sorted(outside_m)[-2:]
    spread = PACKING * math.sqrt(math.fsum(d * d for d in outside_m))
    return max(spread, sum(thickest))
