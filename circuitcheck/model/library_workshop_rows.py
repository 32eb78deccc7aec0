"""Rows a workshop works by: how thick a wire is outside, how its end is stripped and sealed."""

from __future__ import annotations

from dataclasses import dataclass

from circuitcheck.model.library_rows import Row


@dataclass(frozen=True, kw_only=True)
class OutsideDiameterRow(Row):
    """Outside diameter of a wire with thin-wall insulation; the name is its size."""

    outside_m: float


@dataclass(frozen=True, kw_only=True)
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
