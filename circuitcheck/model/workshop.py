"""What the workshop looks up for a wire: its thickness, how its end is stripped and sealed."""

from __future__ import annotations

from circuitcheck.model.library import Library
from circuitcheck.model.library_workshop_rows import WireEndRow
from circuitcheck.model.wire import Wire


def outside_m(wire: Wire, library: Library) -> float | None:
    """Return the outside diameter of a thin-wall wire; None where no row has its size. [m]"""
    row = library.outside_diameters.get(wire.gauge)
    return row.outside_m if row else None


def thickest_m(wire: Wire, library: Library) -> float | None:
    """Return the outside diameter of a wire with a standard wall, else with a thin one. [m]"""
    row = library.outside_diameters.get(wire.gauge)
    return (row.standard_wall_m or row.outside_m) if row else None


def wire_end(contact: str, wire: Wire, library: Library) -> WireEndRow | None:
    """Return how a wire's end is made for a contact family; None where no row takes its size."""
    fitting = [
        row
        for row in library.wire_ends.values()
        if row.contact == contact and wire.conductor.area_min_mm2 <= row.area_upper_mm2
    ]
    return min(fitting, key=lambda row: row.area_upper_mm2, default=None)
