"""Rows of wires, fuses, contacts, coils, batteries, supply and limits from their cells."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence

from circuitcheck.errors import LibraryError
from circuitcheck.model import library as m
from circuitcheck.model.tolerance_band import Band
from circuitcheck.read.library.library_cells import MILLI, Cells

SEALED = {"yes": True, "no": False, "": None}
WEAKEST_FIRST = ("memory", "common practice", "computed", "looked-up", m.GIVEN)
SYSTEMS = {
    "SAE": r"([0-9]{1,2}|[1-4]/0) AWG",
    "AWG": r"([0-9]{1,2}|[1-4]/0) AWG \(AWG area\)",
    "metric": r"[0-9]{1,3}(\.[0-9]{1,3})? mm2",
    "IEC 60228": r"[0-9]{1,3}(\.[0-9]{1,3})? mm2 \(IEC 60228 class 5\)",
}
"""How the sizes of each system are named; a harness file gives size and area standard."""


def conductor(c: Cells) -> m.ConductorRow:
    """Return one conductor size."""
    ends = ("resistance_lower_mohm_per_m", "resistance_mohm_per_m", "resistance_upper_mohm_per_m")
    system = c.word("system", tuple(SYSTEMS))
    if not re.fullmatch(SYSTEMS[system], c.text("name")):
        c.disagree("name", f"got {c.text('name')!r}, is not how a size of {system} is named")
    area_min, area = c.above_zero("area_min_mm2"), c.above_zero("area_mm2")
    if area_min > area:
        c.disagree("area_min_mm2", f"got {area_min:g}, above area_mm2 {area:g}")
    return m.ConductorRow(
        **c.provenance(),
        system=system,
        area_min_mm2=area_min,
        area_mm2=area,
        resistance_ohm_per_m=c.band(*ends, factor=MILLI),
    )


def insulation(c: Cells) -> m.InsulationRow:
    """Return one insulation class."""
    limit_c, fault_c = c.above_zero("temperature_c"), c.above_zero("short_circuit_c")
    if fault_c <= limit_c:
        c.disagree("short_circuit_c", f"got {fault_c:g}, must be above {limit_c:g}")
    return m.InsulationRow(
        **c.provenance(),
        temperature_c=limit_c,
        short_circuit_c=fault_c,
    )


def ampacity(c: Cells) -> m.AmpacityRow:
    """Return one ampacity."""
    return m.AmpacityRow(
        **c.provenance(),
        temperature_c=c.above_zero("temperature_c"),
        ambient_c=c.number("ambient_c"),
        current_a=c.above_zero("current_a"),
    )


def _factor(c: Cells, at: str) -> m.FactorRow:
    return m.FactorRow(
        **c.provenance(),
        at=c.number(at),
        factor=c.above_zero("factor"),
    )


def engine_space_factor(c: Cells) -> m.FactorRow:
    """Return the factor of one insulation class."""
    return _factor(c, "insulation_c")


def bundle_factor(c: Cells) -> m.FactorRow:
    """Return the factor of a number of conductors."""
    return _factor(c, "conductors_from")


def rerating(c: Cells) -> m.FactorRow:
    """Return one point of a re-rating curve."""
    return _factor(c, "temperature_c")


def fuse(c: Cells) -> m.FuseRow:
    """Return one fuse; its resistance runs from cold to hot at rated current."""
    style, rating = c.text("style"), c.above_zero("rating_a")
    if c.text("name") != f"{rating:g} A {style}":
        c.disagree("name", f"must be '{rating:g} A {style}'")
    cold, drop = c.above_zero("cold_mohm") * MILLI, c.above_zero("drop_at_rated_mv") * MILLI
    spread = c.above_zero("tolerance_percent") / 100.0
    if drop / rating < cold:
        c.disagree("drop_at_rated_mv", "hot resistance at rated current is below the cold one")
    return m.FuseRow(
        **c.provenance(),
        style=style,
        rating_a=rating,
        resistance_ohm=Band(cold * (1.0 - spread), cold, drop / rating * (1.0 + spread)),
        drop_at_rated_v=drop,
        melting_i2t_a2s=c.number_or_none("melting_i2t_a2s"),
        colour=c.text("colour"),
        clip=c.text("clip"),
        voltage_rating_v=c.above_zero_or_none("voltage_rating_v"),
        breaking_capacity_a=c.above_zero_or_none("breaking_capacity_a"),
    )


def contact(c: Cells) -> m.ContactRow:
    """Return one contact family."""
    sealed = c.text_or_empty("sealed")
    if sealed not in SEALED:
        c.disagree("sealed", f"got {sealed!r}, must be yes, no or empty")
    return m.ContactRow(
        **c.provenance(),
        kind=c.text("kind"),
        sealed=SEALED[sealed],
        resistance_ohm=c.band(
            "new_lower_mohm", "new_typical_mohm", "aged_upper_mohm", factor=MILLI
        ),
        rated_current_a=c.number_or_none("rated_current_a"),
        area_min_mm2=c.number_or_none("area_min_mm2"),
        area_max_mm2=c.number_or_none("area_max_mm2"),
        plating=c.text("plating"),
    )


def coil(c: Cells) -> m.CoilRow:
    """Return one solenoid coil."""
    ohm, spread = c.above_zero("resistance_ohm"), c.above_zero("tolerance_percent") / 100.0
    return m.CoilRow(
        **c.provenance(),
        rated_v=c.above_zero("rated_v"),
        resistance_ohm=Band(ohm * (1.0 - spread), ohm, ohm * (1.0 + spread)),
        thermal_resistance_k_per_w=c.three("thermal_resistance", "k_per_w"),
        thermal_time_constant_s=c.three("thermal_time_constant", "s"),
        inductance_h=c.three("inductance", "mh", factor=MILLI),
        temperature_class_c=c.above_zero("temperature_class_c"),
        duty=c.share("duty"),
        pull_in_fraction=c.share("pull_in_fraction"),
        highest_voltage_fraction=c.above_zero("highest_voltage_fraction"),
        drop_out_fraction=c.three("drop_out", "fraction"),
    )


def battery(c: Cells) -> m.BatteryRow:
    """Return one battery."""
    return m.BatteryRow(
        **c.provenance(),
        system_v=c.above_zero("system_v"),
        capacity_ah=c.above_zero("capacity_ah"),
        open_circuit_v=c.three("open_circuit", "v"),
        resistance_ohm=c.three("resistance", "mohm", factor=MILLI),
        cold_cranking_a=c.number_or_none("cold_cranking_a"),
        alternator_a=c.above_zero("alternator_a"),
    )


def supply(c: Cells) -> m.SupplyRow:
    """Return the supply in one state."""
    system_v, state = c.above_zero("system_v"), c.text("state")
    if c.text("name") != f"{system_v:g} V {state}":
        c.disagree("name", f"must be '{system_v:g} V {state}'")
    return m.SupplyRow(
        **c.provenance(),
        system_v=system_v,
        state=state,
        voltage_v=c.band("lower_v", "nominal_v", "upper_v"),
    )


def limit(c: Cells) -> m.LimitRow:
    """Return one limit."""
    return m.LimitRow(**c.provenance(), value=c.number("value"), unit=c.text("unit"))


def opening_point(c: Cells) -> m.FuseOpeningBand:
    """Read one line: one percent point of one style."""
    longest_s = c.number_or_none("max_s")
    return m.FuseOpeningBand(
        **c.provenance(),
        percents=(c.above_zero("percent"),),
        min_s=(c.above_zero("min_s"),),
        max_s=(math.inf if longest_s is None else longest_s,),
    )


def opening_bands(points: Sequence[m.FuseOpeningBand]) -> dict[str, m.FuseOpeningBand]:
    """Join the points of each style, ascending in percent; both edges must fall."""
    bands: dict[str, m.FuseOpeningBand] = {}
    for style in dict.fromkeys(point.name for point in points):
        own = sorted((p for p in points if p.name == style), key=lambda p: p.percents)
        percents = tuple(p.percents[0] for p in own)
        min_s, max_s = tuple(p.min_s[0] for p in own), tuple(p.max_s[0] for p in own)
        falling = all(
            percents[i] < percents[i + 1] and min_s[i] >= min_s[i + 1] and max_s[i] >= max_s[i + 1]
            for i in range(len(own) - 1)
        )
        if not falling or any(low > high for low, high in zip(min_s, max_s, strict=True)):
            raise LibraryError(
                f"library/fuse_opening_times.csv, {style}: percent must rise, min_s and max_s "
                "must fall, and min_s must not be above max_s."
            )
        notes = "; ".join(f"{p.percents[0]:g} %: {p.note}" for p in own if p.note)
        how = next((h for h in WEAKEST_FIRST if any(p.how == h for p in own)), own[0].how)
        bands[style] = m.FuseOpeningBand(
            name=style,
            percents=percents,
            min_s=min_s,
            max_s=max_s,
            source=own[0].source,
            how=how,
            note=notes,
        )
    return bands
