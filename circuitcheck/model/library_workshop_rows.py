"""Rows a workshop works by: how thick a wire is outside, how its end is stripped and sealed."""

from __future__ import annotations

from circuitcheck.model.library_rows import Row
from circuitcheck.record import record


@record(kw_only=True)
class OutsideDiameterRow(Row):
    """Highest outside diameter of a wire with a thin wall of insulation; the name is its size.

    `standard_wall_m` is that of a wire with a standard wall, None where no source gives it.
    """

    outside_m: float
    standard_wall_m: float | None


@record(kw_only=True)
class WireEndRow(Row):
    """How a wire's end is made for one contact family, up to one area; the name says both.

    `seal` says what keeps water out, empty where nothing does; it fits wires from `seal_lower_m`
    to `seal_upper_m` outside.
    """

    contact: str
    area_upper_mm2: float
    strip_m: float
    seal: str
    seal_lower_m: float | None
    seal_upper_m: float | None
