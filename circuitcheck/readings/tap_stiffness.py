"""Whether a tap is stiff enough: its source resistance against what the wanted current may lose.

    R_highest = 3 % of the system voltage / I_wanted

Limit: row voltage_drop_critical_percent of library/limits.csv (panel feeders). Where the
uncertainty covers both sides of it, the load was too small to tell.
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.model.instrument import LOADED_VOLTMETER, MeterRange
from circuitcheck.model.library import Library
from circuitcheck.model.tap_readings import KnownLoad, TapReadings
from circuitcheck.model.tolerance_band import Band
from circuitcheck.readings.source_resistance import (
    SourceResistance,
    TapVolts,
    drop_resistance,
    expected_with,
    source_resistance,
)
from circuitcheck.readings.tap_answers import NO, STIFF, UNKNOWN, YES, TapAnswer
from circuitcheck.units import text

BOTH = "key on: tap to battery minus without, then with a 21 W or 55 W bulb, on one range"


def meter_range(readings: TapReadings) -> MeterRange | None:
    """Return the one range on which both readings were taken; None where it shows them not."""
    ranges = readings.meter.ranges
    if readings.range_v is not None:
        return next((r for r in ranges if r.full_scale == readings.range_v), None)
    volts = [v for v in (readings.open_v, readings.loaded_v) if v is not None]
    return readings.meter.range_for(max(volts, default=readings.system_v))


def tap_resistance(readings: TapReadings) -> SourceResistance | None:
    """Return the source resistance; None where the readings for it are not there."""
    chosen = meter_range(readings)
    if readings.open_v is None or readings.loaded_v is None or readings.load is None:
        return None
    if chosen is None or readings.loaded_v <= 0.0:
        return None
    if readings.drop_v is not None:
        millivolts = readings.meter.range_for(readings.drop_v)
        if millivolts is not None:
            return drop_resistance(
                readings.drop_v, millivolts, readings.loaded_v, chosen, readings.load
            )
    posts = None
    if readings.posts_open_v is not None and readings.posts_loaded_v is not None:
        posts = (readings.posts_open_v, readings.posts_loaded_v)
    return source_resistance(
        TapVolts(readings.open_v, readings.loaded_v, posts), chosen, readings.load
    )


def highest_ohm(readings: TapReadings, library: Library) -> float | None:
    """Return the source resistance at which the wanted current takes its whole allowance. [ohm]"""
    if readings.wanted_a is None:
        return None
    share = library.limit("voltage_drop_critical_percent").value / 100.0
    return share * readings.system_v / readings.wanted_a


def stiff(readings: TapReadings, library: Library, found: SourceResistance | None) -> TapAnswer:
    """Answer whether the wanted current loses no more than it may."""
    gap = _not_told(readings, found)
    highest = highest_ohm(readings, library)
    if gap is not None or found is None:
        return gap or TapAnswer(STIFF, UNKNOWN, "not measured under a known load", BOTH)
    if highest is None or readings.wanted_a is None:
        shown = f"source resistance {resistance_words(found)}"
        return TapAnswer(STIFF, UNKNOWN, f"{shown}; no wanted current given", "give it")
    wanted, most = text(readings.wanted_a, "A"), text(highest * readings.wanted_a, "V")
    ends = [text(end * readings.wanted_a, "V") for end in (found.lower_ohm, found.upper_ohm)]
    because = (
        f"source resistance {resistance_words(found)}: {ends[0]} to {ends[1]} lost at {wanted}, "
        f"at most {most}"
    )
    if found.upper_ohm <= highest:
        return TapAnswer(STIFF, YES, because)
    if found.lower_ohm > highest:
        measure = "look for a bad joint between battery and tap, or take another tap"
        return TapAnswer(STIFF, NO, because, measure)
    because = f"{because}: this load is too small to tell"
    return TapAnswer(STIFF, UNKNOWN, because, _which_load(readings, library))


def _not_told(readings: TapReadings, found: SourceResistance | None) -> TapAnswer | None:
    """Return why the readings tell no resistance; None where they do."""
    if readings.open_v is None or readings.loaded_v is None or readings.load is None:
        return TapAnswer(STIFF, UNKNOWN, "not measured under a known load", BOTH)
    if found is None:
        because = "the meter has no range that shows both readings, or nothing is left under load"
        return TapAnswer(STIFF, UNKNOWN, because, BOTH)
    if found.resistance_ohm < -found.expanded_ohm:
        because = "the voltage rose under load, which no circuit does"
        return TapAnswer(STIFF, UNKNOWN, because, f"read again; {BOTH}")
    return None


def resistance_words(found: SourceResistance) -> str:
    """Return a resistance with its expanded uncertainty, `38 mohm +/- 12 mohm`."""
    off = text(found.expanded_ohm, "ohm", digits=2)
    return f"{text(found.resistance_ohm, 'ohm')} +/- {off}"


def loads_to_try(readings: TapReadings, library: Library) -> Iterator[KnownLoad]:
    """Yield the bulbs of the library for this voltage, smallest first, then two of the largest."""
    rows = [
        row
        for row in library.instruments.values()
        if row.filament is not None and row.system_v == readings.system_v
        if row.kind == LOADED_VOLTMETER
    ]
    rows.sort(key=lambda row: row.filament.power_w if row.filament else 0.0)
    for row in rows:
        yield KnownLoad(row.name.split(" and ")[0], filament=row.filament)
    largest = rows[-1].filament
    if largest is not None:
        ohm = largest.rated_v / largest.current_a.nominal / 2.0
        name = f"two bulbs of {rows[-1].name.split(' bulb')[0]} side by side"
        yield KnownLoad(name, resistance_ohm=Band(0.9 * ohm, ohm, 1.1 * ohm))


def _which_load(readings: TapReadings, library: Library) -> str:
    """Say which load would settle it, were the resistance what it seems."""
    chosen, found = meter_range(readings), tap_resistance(readings)
    highest = highest_ohm(readings, library)
    assert chosen is not None
    assert found is not None
    assert highest is not None
    assert readings.open_v is not None
    seems = max(found.resistance_ohm, 0.0)
    for load in loads_to_try(readings, library):
        posts = not found.with_battery
        other = expected_with(seems, readings.open_v, load, chosen, posts=posts)
        if not other.lower_ohm <= highest <= other.upper_ohm:
            return f"read again with {load.name}: that would tell"
    return (
        "it is too near the limit for any bulb: read the drop in one piece, battery plus to tap "
        "with the load on, on the millivolt range; or take another tap"
    )
