"""Whether the readings without and with a load can be made into a resistance at all.

A source never has less than no resistance, and never loses more than its open voltage. Readings
that would say so are told as what they are: no load, a load that was not carried, a slip.
"""

from __future__ import annotations

from circuitcheck.model.instrument import LOADED_VOLTMETER, MeterRange
from circuitcheck.model.library import Library
from circuitcheck.model.tap_readings import TapReadings
from circuitcheck.readings.source_resistance import load_current_a
from circuitcheck.readings.tap_answers import NO, STIFF, UNKNOWN, TapAnswer
from circuitcheck.readings.tap_switching import is_dead
from circuitcheck.units import text

CARRIED_SHARE = 0.5
"""A load that pulls the tap below this share of its open voltage is not carried; common practice,
no source."""
FULL_SHARE = 1.05
"""A battery just off its charger reads so much above a full one; common practice, no source."""
AGAIN = "take both again, one after the other, on one range"


def meter_range(readings: TapReadings) -> MeterRange | None:
    """Return the one range on which both readings were taken; None where it shows them not."""
    ranges = readings.meter.ranges
    if readings.range_v is not None:
        return next((r for r in ranges if r.full_scale == readings.range_v), None)
    volts = [v for v in (readings.open_v, readings.loaded_v) if v is not None]
    return readings.meter.range_for(max(volts, default=readings.system_v))


def how_to_read(readings: TapReadings, library: Library) -> str:
    """Return how the two readings are taken, with the bulbs that fit the machine."""
    bulbs = sorted(
        (row.filament.power_w, row.name.split(" and ")[0])
        for row in library.instruments.values()
        if row.kind == LOADED_VOLTMETER and row.system_v == readings.system_v and row.filament
    )
    named = " or ".join(name for _, name in bulbs[-2:])
    return f"key on: tap to battery minus without, then with a {named}, on one range"


def not_told(readings: TapReadings, library: Library) -> TapAnswer | None:
    """Return what the readings say instead of a resistance; None where they give one."""
    opened, loaded, load = readings.open_v, readings.loaded_v, readings.load
    how = how_to_read(readings, library)
    if load is not None and not load.is_load:
        drawn = text(load_current_a(load, readings.system_v), "A")
        because = f"the {load.name} is no load: it draws {drawn}, which any bad joint carries"
        return TapAnswer(STIFF, UNKNOWN, because, how)
    if opened is None or loaded is None or load is None:
        return TapAnswer(STIFF, UNKNOWN, "not measured under a known load", how)
    chosen = meter_range(readings)
    if chosen is None:
        because = "the meter has no range that shows both readings"
        return TapAnswer(STIFF, UNKNOWN, because, how)
    if is_dead(readings, opened):
        because = "dead before the load was on"
        return TapAnswer(STIFF, UNKNOWN, because, "find out first why it is dead")
    return (
        _charged(readings, library, chosen)
        or _rose(readings, chosen)
        or _not_carried(readings)
        or _strange_drop(readings, library, chosen)
    )


def _charged(readings: TapReadings, library: Library, chosen: MeterRange) -> TapAnswer | None:
    """An alternator holds its voltage: what the load alone takes cannot be seen beside it."""
    assert readings.open_v is not None
    if readings.open_v <= _most_v(readings, library) + chosen.limit(readings.open_v):
        return None
    because = f"{text(readings.open_v, 'V')} is more than any battery has at rest"
    return TapAnswer(STIFF, UNKNOWN, because, f"engine and charger off, {AGAIN}")


def _most_v(readings: TapReadings, library: Library) -> float:
    return FULL_SHARE * library.supply(readings.system_v, "engine off").voltage_v.upper


def _rose(readings: TapReadings, chosen: MeterRange) -> TapAnswer | None:
    """A rise beyond the digits of the readings; a gain common to them makes none."""
    opened, loaded = readings.open_v, readings.loaded_v
    assert opened is not None
    assert loaded is not None
    digits = chosen.digits * chosen.resolution
    if loaded - opened > 2.0 * digits:
        rise = text(loaded - opened, "V")
        because = (
            f"the voltage rose under load, by {rise}, which no load does: the battery was being "
            "charged, or the readings are mixed up"
        )
        return TapAnswer(STIFF, UNKNOWN, because, f"engine and charger off, {AGAIN}")
    if readings.posts_open_v is None or readings.posts_loaded_v is None:
        return None
    at_posts = readings.posts_open_v - readings.posts_loaded_v
    if at_posts - (opened - loaded) > 4.0 * digits:
        because = (
            f"the posts fell by {text(at_posts, 'V')} and the tap behind them only by "
            f"{text(opened - loaded, 'V')}, which no wiring does: the readings are mixed up"
        )
        return TapAnswer(STIFF, UNKNOWN, because, "take all four again, on one range")
    return None


def _not_carried(readings: TapReadings) -> TapAnswer | None:
    opened, loaded, load = readings.open_v, readings.loaded_v, readings.load
    assert opened is not None
    assert loaded is not None
    assert load is not None
    if loaded >= CARRIED_SHARE * opened:
        return None
    return TapAnswer(
        STIFF,
        NO,
        f"{text(opened, 'V')} fell to {text(loaded, 'V')} under load ({load.name}): the load is "
        "not carried, nothing but a trickle is behind the tap",
        "look for a bad joint, a blown fuse or a feed through another consumer; or choose another "
        "circuit",
        in_short="it does not carry the load",
    )


def _strange_drop(readings: TapReadings, library: Library, chosen: MeterRange) -> TapAnswer | None:
    """The drop read in one piece, added to the loaded reading, is the battery's voltage then."""
    if readings.drop_v is None:
        return None
    assert readings.loaded_v is not None
    assert readings.open_v is not None
    assert readings.load is not None
    posts_v = readings.loaded_v + readings.drop_v
    worst_ohm = max(
        row.resistance_ohm.upper
        for row in library.batteries.values()
        if row.system_v == readings.system_v
    )
    off_v = 2.0 * chosen.limit(readings.open_v)
    sag_v = worst_ohm * load_current_a(readings.load, readings.loaded_v)
    shown = (
        f"{text(readings.loaded_v, 'V')} under load and a drop of {text(readings.drop_v, 'V')} "
        f"make {text(posts_v, 'V')} at the battery"
    )
    again = "take the drop and the loaded reading again"
    if posts_v > _most_v(readings, library) + off_v:
        return TapAnswer(
            STIFF, UNKNOWN, f"{shown}, more than any battery has", f"engine off, {again}"
        )
    if posts_v < readings.open_v - sag_v - off_v:
        because = f"{shown}, which had at least {text(readings.open_v, 'V')} without"
        return TapAnswer(STIFF, UNKNOWN, because, f"read the posts under load; {again}")
    return None
