"""Inline fuse of the add-on."""

from __future__ import annotations

from typing import ClassVar

from circuitcheck.model.library import FuseRow
from circuitcheck.model.tolerance_band import Band
from circuitcheck.record import record


@record
class Fuse:
    """A fuse in its holder, between `line` (toward the source) and `load`.

    `element_ohm` runs from the cold element's lower end to the element hot at rated current;
    `clip_ohm` is one contact of the holder, new to aged; there are two.
    """

    kind: ClassVar[str] = "fuse"
    name: str
    zone: str
    row: FuseRow
    element_ohm: Band
    clip_ohm: Band

    @property
    def terminals(self) -> tuple[str, ...]:
        """Terminal names of the part."""
        return ("line", "load")

    def wires_allowed(self, terminal: str) -> int | None:
        """Return how many wires a terminal takes; None where there is no fixed number."""
        return 1
