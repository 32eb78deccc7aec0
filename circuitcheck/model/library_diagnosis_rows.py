"""Rows of the library that a diagnosis weighs with: how likely a fault is, what a reading costs."""

from __future__ import annotations

from circuitcheck.model.library_rows import Row
from circuitcheck.record import record

ANY_PART = "any part"
"""Stands for the kind in rows of what can fail alike in parts of every kind."""


@record(kw_only=True)
class FaultPriorRow(Row):
    """How likely one fault of one kind of part is against all others, before any reading.

    `name` is `PART KIND: FAILURE MODE`, e.g. `wire: open`. `weight` has no unit: only the ratio of
    two weights counts.
    """

    weight: float


@record(kw_only=True)
class EffortRow(Row):
    """What it takes a person to reach a place or to change the state of the machine."""

    effort_s: float
