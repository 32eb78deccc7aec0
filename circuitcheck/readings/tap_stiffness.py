"""Whether a tap is stiff enough: its source resistance against what the wanted current may lose.

    R_highest = 3 % of the system voltage / I_wanted

Limit: row voltage_drop_critical_percent of library/limits.csv (panel feeders). Where the
uncertainty covers both sides of it, the load was too small to tell.
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.model.instrument import LOADED_VOLTMETER
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
from circuitcheck.readings.tap_load_reading import how_to_read, meter_range, not_told
from circuitcheck.units import text


def tap_resistance(readings: TapReadings, library: Library) -> SourceResistance | None:
    """Return the source resistance; None where the readings tell none."""
    if not_told(readings, library) is not None:
        return None
    chosen = meter_range(readings)
    assert chosen is not None
    assert readings.open_v is not None
    assert readings.loaded_v is not None
    assert readings.load is not None
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
    gap = not_told(readings, library)
    highest = highest_ohm(readings, library)
    if gap is not None or found is None:
        how = how_to_read(readings, library)
        return gap or TapAnswer(STIFF, UNKNOWN, "not measured under a known load", how)
    if highest is None or readings.wanted_a is None:
        shown = f"source resistance {resistance_words(found)}"
        return TapAnswer(STIFF, UNKNOWN, f"{shown}; no wanted current given", "give it")
    wanted, most = text(readings.wanted_a, "A"), text(highest * readings.wanted_a, "V")
    because = (
        f"source resistance {resistance_words(found)}: {_lost_words(readings, found)} lost at "
        f"{wanted}, allowed {most}"
    )
    if found.upper_ohm <= highest:
        return TapAnswer(STIFF, YES, because)
    if found.lower_ohm > highest:
        measure = "look for a bad joint between battery and tap, or take another tap"
        shown = f"too much voltage lost at {wanted}"
        return TapAnswer(STIFF, NO, because, measure, in_short=shown)
    because = f"{because}: this load is too small to tell"
    return TapAnswer(STIFF, UNKNOWN, because, _which_load(readings, library))


def resistance_words(found: SourceResistance) -> str:
    """Return a resistance with its expanded uncertainty, `38 mohm +/- 12 mohm`.

    Where no drop was seen, what it is at most.
    """
    if found.resistance_ohm <= 0.0:
        return f"at most {text(found.upper_ohm, 'ohm', digits=2)}"
    off = text(found.expanded_ohm, "ohm", digits=2)
    return f"{text(found.resistance_ohm, 'ohm')} +/- {off}"


def _lost_words(readings: TapReadings, found: SourceResistance) -> str:
    """Return what the wanted current loses, never more than there is to lose."""
    assert readings.wanted_a is not None
    assert readings.open_v is not None
    least, most = (end * readings.wanted_a for end in (found.lower_ohm, found.upper_ohm))
    whole = f"all of the {text(readings.open_v, 'V')}"
    if least >= readings.open_v:
        return whole
    highest = whole if most >= readings.open_v else text(most, "V")
    return f"up to {highest}" if least == 0.0 else f"{text(least, 'V')} to {highest}"


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
    chosen, found = meter_range(readings), tap_resistance(readings, library)
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
        "no bulb would tell on this range: read the drop in one piece, battery plus to tap with "
        "the load on, on the millivolt range; or take another tap"
    )
