"""Splice: several wires joined for good."""

from __future__ import annotations

from typing import ClassVar

from circuitcheck.model.tolerance_band import Band
from circuitcheck.record import record


@record
class Splice:
    """A joint of two or more wires; `joint_ohm` is the share of one wire's end."""

    kind: ClassVar[str] = "splice"
    name: str
    zone: str
    joint_ohm: Band

    @property
    def terminals(self) -> tuple[str, ...]:
        """Terminal names of the part."""
        return ("",)

    def wires_allowed(self, terminal: str) -> int | None:
        """Return how many wires a terminal takes; None where there is no fixed number."""
        return None
