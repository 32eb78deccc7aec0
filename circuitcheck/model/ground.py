"""Frames and ground studs: the metal of the machine as a return."""

from __future__ import annotations

from typing import ClassVar

from circuitcheck.model.tolerance_band import Band
from circuitcheck.record import record

BOND_KINDS = ("bolts", "strap", "hinge", "coupling", "unknown")
"""What joins two frames; a hinge or a coupling turns and rusts, a strap is made to conduct."""


@record
class FrameBond:
    """What joins a frame to another (`by`, one of BOND_KINDS); its resistance, new to aged."""

    to: str
    resistance_ohm: Band
    by: str = "unknown"


@record
class Frame:
    """One rigid piece of the machine's metal, taken as a single point inside."""

    kind: ClassVar[str] = "frame"
    name: str
    zone: str
    bonds: tuple[FrameBond, ...]
    surface_ohm: Band

    @property
    def terminals(self) -> tuple[str, ...]:
        """Terminal names of the part."""
        return ("",)

    def wires_allowed(self, terminal: str) -> int | None:
        """Return how many wires a terminal takes; None where there is no fixed number."""
        return None


@record
class GroundStud:
    """A stud on a frame that takes ring terminals, in order from the frame outward."""

    kind: ClassVar[str] = "ground stud"
    name: str
    zone: str
    frame: str
    bond_ohm: Band
    rings_allowed: int

    @property
    def terminals(self) -> tuple[str, ...]:
        """Terminal names of the part."""
        return ("",)

    def wires_allowed(self, terminal: str) -> int | None:
        """Return how many ring terminals the stud takes."""
        return self.rings_allowed
