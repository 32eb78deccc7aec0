"""Rows of outside diameters and of wire ends from their cells."""

from __future__ import annotations

from circuitcheck.model.library_workshop_rows import OutsideDiameterRow, WireEndRow
from circuitcheck.read.library.library_cells import MILLI, Cells


def outside_diameter(c: Cells) -> OutsideDiameterRow:
    """Return the outside diameter of one size."""
    thin, standard = c.above_zero("outside_mm"), c.above_zero_or_none("standard_wall_mm")
    if standard is not None and standard < thin:
        c.disagree("standard_wall_mm", f"got {standard:g}, below outside_mm {thin:g}")
    return OutsideDiameterRow(
        **c.provenance(),
        outside_m=thin * MILLI,
        standard_wall_m=None if standard is None else standard * MILLI,
    )


def wire_end(c: Cells) -> WireEndRow:
    """Return how the end of a wire is made for one contact family."""
    seal = c.text_or_empty("seal")
    lower, upper = c.above_zero_or_none("seal_lower_mm"), c.above_zero_or_none("seal_upper_mm")
    if (lower is None) != (upper is None) or (lower is not None and not seal):
        c.disagree("seal_lower_mm", "seal, seal_lower_mm and seal_upper_mm go together")
    if lower is not None and upper is not None and lower >= upper:
        c.disagree("seal_upper_mm", f"got {upper:g}, must be above {lower:g}")
    return WireEndRow(
        **c.provenance(),
        contact=c.text("contact"),
        area_upper_mm2=c.above_zero("area_upper_mm2"),
        strip_m=c.above_zero("strip_mm") * MILLI,
        seal=seal,
        seal_lower_m=None if lower is None else lower * MILLI,
        seal_upper_m=None if upper is None else upper * MILLI,
    )
