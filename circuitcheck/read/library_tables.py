"""The library folder to one Library: every cell checked, every row with its source."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Callable, Sequence
from functools import cache, partial
from pathlib import Path
from typing import TypeVar

from circuitcheck.errors import LibraryError
from circuitcheck.model import library as m
from circuitcheck.model.tolerance_band import Band
from circuitcheck.read import library_parts as parts
from circuitcheck.read.library_cells import MILLI, Cells, read_sources, read_table

SEALED = {"yes": True, "no": False, "": None}
WEAKEST_FIRST = ("memory", "common practice", "computed", "looked-up")

R = TypeVar("R", bound=m.Row)


def library_path() -> Path:
    """Return the folder of the tables: inside an installed package, else beside it."""
    package = Path(__file__).resolve().parents[1]
    installed = package / "library"
    return installed if installed.is_dir() else package.parent / "library"


@cache
def read_library(folder: Path | None = None) -> m.Library:
    """Read and check all tables once; LibraryError names file, line and column of a fault."""
    root = folder if folder is not None else library_path()
    sources = read_sources(root / "sources.toml")

    def table(name: str, make: Callable[[Cells], R]) -> tuple[R, ...]:
        return read_table(root / f"{name}.csv", sources, make)

    ratings = table("contact_ratings", parts.contact_rating)
    by_group = _grouped(ratings, lambda row: row.group)
    cavities = table("socket_cavities", parts.socket_cavity)
    by_socket = _grouped(cavities, lambda row: row.socket)
    return m.Library(
        sources=sources,
        conductors=_by_name(table("conductors", _conductor)),
        insulations=_by_name(table("insulation", _insulation)),
        ampacities=table("ampacity", _ampacity),
        engine_space_factors=table("engine_space_factor", _engine_space_factor),
        bundle_factors=table("bundle_factor", _bundle_factor),
        fuses=_by_name(table("fuses", _fuse)),
        fuse_opening_bands=_opening_bands(table("fuse_opening_times", _opening_point)),
        fuse_rerating=table("fuse_rerating", _rerating),
        contacts=_by_name(table("contacts", _contact)),
        coils=_by_name(table("coils", _coil)),
        batteries=_by_name(table("batteries", _battery)),
        supplies=_by_name(table("supply", _supply)),
        limits=_by_name(table("limits", _limit)),
        contact_ratings=ratings,
        relays=_by_name(table("relays", partial(parts.relay, ratings=by_group))),
        pull_hold_coils=_by_name(table("pull_hold_coils", parts.pull_hold_coil)),
        converters=_by_name(table("converters", parts.converter)),
        switches=_by_name(table("switches", partial(parts.switch, ratings=by_group))),
        lamps=_by_name(table("lamps", parts.lamp)),
        leds=_by_name(table("leds", parts.led)),
        diodes=_by_name(table("diodes", parts.diode)),
        suppressors=_by_name(table("suppressors", parts.suppressor)),
        sockets=_by_name(table("sockets", partial(parts.socket, cavities=by_socket))),
        materials=_by_name(table("materials", parts.material)),
        frame_bonds=_by_name(table("frame_bonds", parts.frame_bond)),
        plating_pairs=_by_name(table("plating_pairs", parts.plating_pair)),
    )


def _grouped(rows: Sequence[R], key: Callable[[R], str]) -> dict[str, tuple[R, ...]]:
    groups: dict[str, tuple[R, ...]] = defaultdict(tuple)
    for row in rows:
        groups[key(row)] += (row,)
    return dict(groups)


def _by_name(rows: Sequence[R]) -> dict[str, R]:
    return {row.name: row for row in rows}


def _conductor(c: Cells) -> m.ConductorRow:
    ends = ("resistance_lower_mohm_per_m", "resistance_mohm_per_m", "resistance_upper_mohm_per_m")
    area_min, area = c.above_zero("area_min_mm2"), c.above_zero("area_mm2")
    if area_min > area:
        raise c.fail("area_min_mm2", f"got {area_min:g}, above area_mm2 {area:g}")
    return m.ConductorRow(
        **c.provenance(),
        system=c.text("system"),
        area_min_mm2=area_min,
        area_mm2=area,
        resistance_ohm_per_m=c.band(*ends, factor=MILLI),
    )


def _insulation(c: Cells) -> m.InsulationRow:
    limit_c, fault_c = c.above_zero("temperature_c"), c.above_zero("short_circuit_c")
    if fault_c <= limit_c:
        raise c.fail("short_circuit_c", f"got {fault_c:g}, must be above {limit_c:g}")
    return m.InsulationRow(
        **c.provenance(),
        temperature_c=limit_c,
        short_circuit_c=fault_c,
    )


def _ampacity(c: Cells) -> m.AmpacityRow:
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


def _engine_space_factor(c: Cells) -> m.FactorRow:
    return _factor(c, "insulation_c")


def _bundle_factor(c: Cells) -> m.FactorRow:
    return _factor(c, "conductors_from")


def _rerating(c: Cells) -> m.FactorRow:
    return _factor(c, "temperature_c")


def _fuse(c: Cells) -> m.FuseRow:
    style, rating = c.text("style"), c.above_zero("rating_a")
    if c.text("name") != f"{rating:g} A {style}":
        raise c.fail("name", f"must be '{rating:g} A {style}'")
    cold, drop = c.above_zero("cold_mohm") * MILLI, c.above_zero("drop_at_rated_mv") * MILLI
    spread = c.above_zero("tolerance_percent") / 100.0
    if drop / rating < cold:
        raise c.fail("drop_at_rated_mv", "hot resistance at rated current is below the cold one")
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


def _contact(c: Cells) -> m.ContactRow:
    sealed = c.text_or_empty("sealed")
    if sealed not in SEALED:
        raise c.fail("sealed", f"got {sealed!r}, must be yes, no or empty")
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


def _coil(c: Cells) -> m.CoilRow:
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


def _battery(c: Cells) -> m.BatteryRow:
    return m.BatteryRow(
        **c.provenance(),
        system_v=c.above_zero("system_v"),
        capacity_ah=c.above_zero("capacity_ah"),
        open_circuit_v=c.three("open_circuit", "v"),
        resistance_ohm=c.three("resistance", "mohm", factor=MILLI),
        cold_cranking_a=c.number_or_none("cold_cranking_a"),
        alternator_a=c.above_zero("alternator_a"),
    )


def _supply(c: Cells) -> m.SupplyRow:
    system_v, state = c.above_zero("system_v"), c.text("state")
    if c.text("name") != f"{system_v:g} V {state}":
        raise c.fail("name", f"must be '{system_v:g} V {state}'")
    return m.SupplyRow(
        **c.provenance(),
        system_v=system_v,
        state=state,
        voltage_v=c.band("lower_v", "nominal_v", "upper_v"),
    )


def _limit(c: Cells) -> m.LimitRow:
    return m.LimitRow(**c.provenance(), value=c.number("value"), unit=c.text("unit"))


def _opening_point(c: Cells) -> m.FuseOpeningBand:
    """Read one line: one percent point of one style."""
    longest_s = c.number_or_none("max_s")
    return m.FuseOpeningBand(
        **c.provenance(),
        percents=(c.above_zero("percent"),),
        min_s=(c.above_zero("min_s"),),
        max_s=(math.inf if longest_s is None else longest_s,),
    )


def _opening_bands(points: Sequence[m.FuseOpeningBand]) -> dict[str, m.FuseOpeningBand]:
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
