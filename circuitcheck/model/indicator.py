"""Indicators: filament lamp and LED."""

from __future__ import annotations

from typing import ClassVar

from circuitcheck.model.tolerance_band import Band
from circuitcheck.record import record

LAMP_EXPONENT = 0.55
"""Current of a filament lamp goes with (voltage / rated voltage) ** 0.55 (Wikipedia, "Lamp
rerating")."""


@record
class IndicatorLamp:
    """A filament lamp; `current_a` flows at `rated_v`.

    `cold_ratio` is hot over cold resistance: what bounds its inrush. Near `rated_v` the current
    goes with (voltage / `rated_v`) ** `exponent`.
    """

    kind: ClassVar[str] = "indicator lamp"
    name: str
    zone: str
    rated_v: float
    current_a: Band
    cold_ratio: Band
    exponent: float = LAMP_EXPONENT

    @property
    def terminals(self) -> tuple[str, ...]:
        """Terminal names of the part."""
        return ("1", "2")

    def wires_allowed(self, terminal: str) -> int | None:
        """Return how many wires a terminal takes; None where there is no fixed number."""
        return 1


@record
class LedIndicator:
    """A light-emitting diode with its series resistor.

    `forward_v` runs from just conducting to its upper limit at full current, without the
    resistor `series_ohm`. `reverse_v` is what it withstands the wrong way round, None where not
    known. `plus` is the terminal that must be positive, None where it lights either way round.
    """

    kind: ClassVar[str] = "LED indicator"
    name: str
    zone: str
    rated_v: float
    forward_v: Band
    series_ohm: Band
    reverse_v: float | None
    plus: str | None

    @property
    def terminals(self) -> tuple[str, ...]:
        """Terminal names of the part."""
        return ("1", "2")

    def wires_allowed(self, terminal: str) -> int | None:
        """Return how many wires a terminal takes; None where there is no fixed number."""
        return 1
