"""A conductor row in another metal than plain copper."""

from __future__ import annotations

from dataclasses import replace

from circuitcheck.formulas.wire_resistance import COPPER_ZERO_C
from circuitcheck.model.library_part_rows import MaterialRow
from circuitcheck.model.library_rows import ConductorRow
from circuitcheck.model.tolerance_band import Band

COLDEST_C, HOTTEST_C = -60.0, 250.0
"""Between these every conductor of a solution stays."""


def in_material(row: ConductorRow, material: MaterialRow) -> ConductorRow:
    """Return the row with the resistance of the same area in another metal, ohm per metre.

        R = f R_copper,   f (Z + T) / (Z + 20) <= f' (Z_cu + T) / (Z_cu + 20) for T in range

    All that follows takes resistance to rise with temperature as that of copper does. Where the
    metal rises otherwise, the band is widened by the most that this is off between COLDEST_C and
    HOTTEST_C, so that it holds at every temperature.
    """
    off = [
        (material.zero_c + t) / (material.zero_c + 20.0) * (COPPER_ZERO_C + 20.0)
        / (COPPER_ZERO_C + t)
        for t in (COLDEST_C, HOTTEST_C)
    ]  # fmt: skip
    copper, factor = row.resistance_ohm_per_m, material.resistance_factor
    return replace(
        row,
        resistance_ohm_per_m=Band(
            copper.lower * factor.lower * min(1.0, *off),
            copper.nominal * factor.nominal,
            copper.upper * factor.upper * max(1.0, *off),
        ),
    )
