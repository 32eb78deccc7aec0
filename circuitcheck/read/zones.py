"""Zones of a file, and the zone of each part and wire where the file leaves it open."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from circuitcheck.model.conditions import Zone
from circuitcheck.model.terminal import Terminal
from circuitcheck.model.tolerance_band import Band
from circuitcheck.read.forms.fields import Given
from circuitcheck.units import text

ANYWHERE = "anywhere"
"""The zone of a part whose place is not known: the extremes of all zones at once."""
AMBIENT_C = Band(-40.0, 15.0, 70.0)
"""Assumed air of an unknown zone: the operating range of ISO 15003 (from memory)."""
ENGINE_SPACE_AMBIENT_C = Band(-40.0, 32.5, 105.0)
"""Assumed air of an unknown zone in an engine space: code K of ISO 16750-4 (from memory)."""


def range_text(band: Band, unit: str) -> str:
    """Return `lower to upper` for an assumption; one value where both are the same."""
    if band.lower == band.upper:
        return text(band.lower, unit)
    return f"{text(band.lower, unit)} to {text(band.upper, unit)}"


def build_zone(name: str, given: Given) -> Zone:
    """Return one zone; an unknown ambient is taken as wide as the standards go."""
    engine_space = given.value("engine_space", bool, given.is_unknown("engine_space"))
    wet = given.value("wet", bool, given.is_unknown("wet"))
    for key in ("engine_space", "wet"):
        if given.is_unknown(key):
            given.assume(key, "yes")
    widest = ENGINE_SPACE_AMBIENT_C if engine_space else AMBIENT_C
    ambient = given.settled("ambient", Band, widest, range_text(widest, "degC"))
    return Zone(name, ambient, engine_space, wet)


def anywhere(zones: Mapping[str, Zone]) -> Zone:
    """Return the zone that holds the worst of all zones."""
    bands = [zone.ambient_c for zone in zones.values()] or [AMBIENT_C]
    return Zone(
        ANYWHERE,
        union(bands),
        any(zone.engine_space for zone in zones.values()),
        any(zone.wet for zone in zones.values()),
    )


def union(bands: list[Band]) -> Band:
    """Return the band from the lowest lower to the highest upper end."""
    return Band(
        min(band.lower for band in bands),
        sum(band.nominal for band in bands) / len(bands),
        max(band.upper for band in bands),
    )


def zones_seen_by_wires(
    wires: Iterable[tuple[Mapping[str, object], object]],
) -> dict[str, set[str]]:
    """Return, for each part, the zones in which wires with a stated route land on it.

    A wire is given by the values of its own fields and its route, if it has one.
    """
    seen: dict[str, set[str]] = {}
    for own, route in wires:
        if not isinstance(route, tuple):
            continue
        for terminal, zone in ((own.get("from"), route[0]), (own.get("to"), route[-1])):
            if isinstance(terminal, Terminal) and isinstance(zone, str):
                seen.setdefault(terminal.part, set()).add(zone)
    return seen


def zone_of_part(
    given: Given, zones: Mapping[str, Zone], seen: Mapping[str, set[str]], *, silent: bool
) -> str:
    """Return the zone a part sits in: as given, else where its wires land, else anywhere.

    `silent` leaves the record out: for parts to which the air temperature does nothing.
    """
    stated = given.optional("zone", str)
    if stated is not None:
        if stated not in zones:
            given.at("zone").problem(
                f"there is no [zone.{stated}]", given.place.hint(stated, zones) or zone_list(zones)
            )
        return stated
    landed = seen.get(given.subject, set()) & set(zones)
    if len(landed) == 1 and not given.is_unknown("zone"):
        zone = next(iter(landed))
        if not silent:
            given.assume("zone", f"{zone}, where its wires end")
        return zone
    if len(zones) == 1 and not given.is_unknown("zone"):
        return next(iter(zones))
    everywhere = anywhere(zones)
    if not silent or given.is_unknown("zone"):
        given.assume("zone", f"anywhere, air of {range_text(everywhere.ambient_c, 'degC')}")
    return ANYWHERE


def zone_list(zones: Mapping[str, Zone]) -> str:
    """Return the advice that names the zones of the file."""
    if not zones:
        return 'Add a zone, for example [zone.cab] with ambient = ["-10 degC", "45 degC"].'
    return f"Zones of the file: {', '.join(zones)}."
