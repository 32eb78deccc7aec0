"""Converter: 24 V in, 12 V out."""

from __future__ import annotations

from typing import ClassVar

from circuitcheck.model.tolerance_band import Band
from circuitcheck.record import record


@record
class Converter:
    """A DC-to-DC converter between `in` and `out`, with one `minus` for both sides.

    `output_v` is the voltage at no load, `output_ohm` what its output drops per ampere.
    `rated_a` is the most it delivers. `efficiency` is output over input power, 0 to 1; `idle_a`
    what it draws with nothing on. `input_v` is the range it works in, None where not known.
    `input_capacitance_f` is what charges when it is switched on, None where not known.
    """

    kind: ClassVar[str] = "converter"
    name: str
    zone: str
    output_v: Band
    output_ohm: Band
    rated_a: float
    efficiency: Band
    idle_a: Band
    input_v: tuple[float, float] | None
    input_capacitance_f: Band | None = None

    @property
    def terminals(self) -> tuple[str, ...]:
        """Terminal names of the part."""
        return ("in", "out", "minus")

    def wires_allowed(self, terminal: str) -> int | None:
        """Return how many wires a terminal takes; None where there is no fixed number."""
        return 1
