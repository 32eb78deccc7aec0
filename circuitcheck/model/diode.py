"""Diode wired as a part of its own."""

from __future__ import annotations

from typing import ClassVar

from circuitcheck.model.tolerance_band import Band
from circuitcheck.record import record


@record
class Diode:
    """A silicon diode that conducts from `anode` to `cathode` (the end with the ring).

    `forward_v` runs from just conducting to its upper limit at `current_a`, which is also the
    most it may carry; `reverse_v` is what it withstands, None where not known.
    """

    kind: ClassVar[str] = "diode"
    name: str
    zone: str
    forward_v: Band
    current_a: float
    reverse_v: float | None

    @property
    def terminals(self) -> tuple[str, ...]:
        """Terminal names of the part."""
        return ("anode", "cathode")

    def wires_allowed(self, terminal: str) -> int | None:
        """Return how many wires a terminal takes; None where there is no fixed number."""
        return 1
