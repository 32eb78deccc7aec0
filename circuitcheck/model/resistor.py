"""Resistor wired as a part of its own."""

from __future__ import annotations

from typing import ClassVar

from circuitcheck.model.tolerance_band import Band
from circuitcheck.record import record


@record
class Resistor:
    """A resistor; it has no polarity. `power_w` is its rating, None where not known."""

    kind: ClassVar[str] = "resistor"
    name: str
    zone: str
    resistance_ohm: Band
    power_w: float | None

    @property
    def terminals(self) -> tuple[str, ...]:
        """Terminal names of the part."""
        return ("1", "2")

    def wires_allowed(self, terminal: str) -> int | None:
        """Return how many wires a terminal takes; None where there is no fixed number."""
        return 1
