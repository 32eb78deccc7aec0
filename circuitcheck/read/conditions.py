"""Supply and use from their tables; supply left out comes from the library."""

from __future__ import annotations

from circuitcheck.model.conditions import Conditions, Use
from circuitcheck.model.library import Library
from circuitcheck.model.tolerance_band import Band
from circuitcheck.read.forms.fields import Given
from circuitcheck.read.zones import range_text

HOUR_S = 3600.0
CLAMPED = "clamped"
LEAST_SHARE, MOST_SHARE = 0.25, 1.5
"""Share of system voltage: the deepest dip while cranking and the failed regulator of
ISO 16750-2 (3 V and 18 V at 12 V, 6 V and 36 V at 24 V)."""


def build_conditions(given: Given, library: Library, system_v: float) -> Conditions:
    """Return the supply ranges; each that is left out or unknown is recorded."""
    engine_off = _supply(given, "supply_engine_off", library, system_v, "engine off")
    charging = _supply(given, "supply_charging", library, system_v, "charging")
    cranking = _supply(given, "supply_cranking", library, system_v, "cranking")
    clamped = given.value("load_dump", str, CLAMPED) == CLAMPED
    return Conditions(engine_off, charging, cranking, clamped)


def _supply(
    given: Given, key: str, library: Library, system_v: float, state: str
) -> tuple[float, float]:
    row = library.supply(system_v, state)
    band = given.settled(
        key, Band, row.voltage_v, f"{range_text(row.voltage_v, 'V')} (library supply `{row.name}`)"
    )
    if not LEAST_SHARE * system_v <= band.lower <= band.upper <= MOST_SHARE * system_v:
        given.at(key).problem(
            f"{range_text(band, 'V')} is no supply of a {system_v:g} V system",
            f"Between {LEAST_SHARE * system_v:g} V and {MOST_SHARE * system_v:g} V, at the posts.",
        )
    return band.lower, band.upper


def build_use(given: Given) -> Use:
    """Return how the circuit is worked; what is not known counts as held without pause."""
    for key in ("longest_press", "presses_per_hour"):
        if not given.has(key):
            given.assume(key, "held without pause")
    life_s = given.optional("service_life", float)
    return Use(
        given.optional("longest_press", float),
        given.optional("presses_per_hour", float),
        None if life_s is None else life_s / HOUR_S,
        given.optional("longest_release", float),
    )
