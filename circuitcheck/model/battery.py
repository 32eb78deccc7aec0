"""Battery: the source of the circuit and of every short-circuit current."""

from __future__ import annotations

from typing import ClassVar

from circuitcheck.model.tolerance_band import Band
from circuitcheck.record import record


@record
class Battery:
    """A 12 V or 24 V battery with its charging source.

    `open_circuit_v` runs from discharged to full; `internal_resistance_ohm` from a warm charged
    battery to a cold aged one; `charging_current_a` is what the alternator can add to a short.
    """

    kind: ClassVar[str] = "battery"
    name: str
    type: str
    zone: str
    rated_v: float
    open_circuit_v: Band
    internal_resistance_ohm: Band
    charging_current_a: float
    post_contact_ohm: Band

    @property
    def terminals(self) -> tuple[str, ...]:
        """Terminal names of the part."""
        return ("+", "-")

    def wires_allowed(self, terminal: str) -> int | None:
        """Return how many wires a terminal takes; None where there is no fixed number."""
        return None
