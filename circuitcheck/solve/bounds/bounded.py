"""A range together with the corners of the box at which its ends were found."""

from __future__ import annotations

from circuitcheck.record import record
from circuitcheck.solve.bounds.bounds import BoundSet
from circuitcheck.solve.bounds.corner_search import EndArray
from circuitcheck.solve.elimination.elimination_order import FloatArray
from circuitcheck.solve.solution import Range


@record
class Bounded:
    """A range with the corners it was found at, and the supply there [V].

    Ends are -1, 0, +1 for each branch, then each active curve, then output voltage and resistance
    of each running converter. Fields are the currents of branches and active curves, then the
    node voltages at the corners; None, or NaN currents, where they were not kept.
    """

    range: Range
    ends_lower: EndArray
    ends_upper: EndArray
    supply_lower_v: float
    supply_upper_v: float
    fields_lower: FloatArray | None = None
    fields_upper: FloatArray | None = None


def bounded_at(found: BoundSet, k: int, gap: float) -> Bounded:
    """Return quantity `k` of a set of bounds, with the gap given."""
    lower, upper = float(found.lower[k]), float(found.upper[k])
    nominal = min(max(float(found.nominal[k]), lower), upper)
    return Bounded(
        Range(lower, nominal, upper, gap, found.method[k]),
        found.corner_lower[:, k],
        found.corner_upper[:, k],
        float(found.source_lower_v[k]),
        float(found.source_upper_v[k]),
        None if found.fields_lower is None else found.fields_lower[:, k],
        None if found.fields_upper is None else found.fields_upper[:, k],
    )
