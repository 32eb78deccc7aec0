"""What a tap feeds and when it is live, from readings in the key's positions.

A tap is dead below 8 % of the system voltage with a load on, live above 50 %; between the two
something feeds it back, or the meter floats. Common practice, no source.
"""

from __future__ import annotations

from circuitcheck.model.library import Library
from circuitcheck.model.supply_tap import NEVER_TAP
from circuitcheck.model.tap_readings import TapReadings
from circuitcheck.readings.tap_answers import (
    CRANKING,
    KEY_SWITCHED,
    LIVE,
    MAY_BE_TAPPED,
    NO,
    UNKNOWN,
    YES,
    TapAnswer,
)
from circuitcheck.units import text

DEAD_SHARE, LIVE_SHARE = 0.08, 0.5
WEAK_SHARE = 0.95
"""A tap below this share of the weakest supply hangs on a bad joint or an empty battery;
common practice, no source."""
UNSWITCHED = "what springs back by itself and moves no machine part"
"""What may hang on a tap that the key does not switch: the rule of the check `tap may be used`."""


def may_be_tapped(readings: TapReadings) -> TapAnswer:
    """Answer whether the circuit is one of the kinds that never may be tapped."""
    feeds = readings.feeds
    if feeds is None:
        return TapAnswer(
            MAY_BE_TAPPED,
            UNKNOWN,
            "not known what else hangs on it",
            "pull the machine's fuse and see what stops working",
        )
    never = [feed for feed in feeds if feed in NEVER_TAP]
    if never:
        because = "; ".join(f"{feed}: {NEVER_TAP[feed]}" for feed in never)
        shown = f"it shares its circuit with the {' and the '.join(never)}"
        return TapAnswer(MAY_BE_TAPPED, NO, because, "choose another circuit", in_short=shown)
    named = ", ".join(feeds) or "nothing else"
    return TapAnswer(MAY_BE_TAPPED, YES, f"it feeds {named}, none of the kinds that never may")


def live(readings: TapReadings, library: Library) -> TapAnswer:
    """Answer whether the tap has the battery's voltage with the key on."""
    volts = readings.open_v
    if volts is None:
        measure = "tap to battery minus, key on, engine off, nothing added"
        return TapAnswer(LIVE, UNKNOWN, "not measured", measure)
    battery_v = library.supply(readings.system_v, "engine off").voltage_v
    shown = text(volts, "V")
    if volts >= WEAK_SHARE * battery_v.lower:
        return TapAnswer(LIVE, YES, f"{shown} with the key on")
    if is_dead(readings, volts):
        measure = "see whether its fuse is whole"
        shown = f"only {shown}: dead"
        return TapAnswer(LIVE, NO, shown, measure, in_short="dead with the key on")
    return TapAnswer(
        LIVE,
        NO,
        f"{shown}, less than the {battery_v.lower:g} V of an empty battery",
        "read the battery posts; look for a bad joint upstream",
        in_short="too low with the key on",
    )


def is_dead(readings: TapReadings, volts: float) -> bool:
    """Return whether a voltage at the tap is that of a dead one."""
    return abs(volts) < DEAD_SHARE * readings.system_v


def key_switched(readings: TapReadings) -> TapAnswer:
    """Answer whether the key switches it off."""
    measure = "tap to battery minus with the key off, with the load still on"
    volts = readings.key_off_v
    if volts is None:
        return TapAnswer(KEY_SWITCHED, UNKNOWN, "not measured", measure)
    shown = f"{text(volts, 'V')} with the key off"
    if is_dead(readings, volts):
        return TapAnswer(KEY_SWITCHED, YES, f"{shown}: dead, the key switches it")
    if volts >= LIVE_SHARE * readings.system_v:
        because = f"{shown}: live. What is left on drains the battery or moves with the key out"
        measure = f"choose a circuit that the key switches, or hang on only {UNSWITCHED}"
        return TapAnswer(KEY_SWITCHED, NO, because, measure, condition=UNSWITCHED)
    because = f"{shown}: neither dead nor live; a meter alone on a floating point shows anything"
    return TapAnswer(KEY_SWITCHED, UNKNOWN, because, measure)


def while_cranking(readings: TapReadings) -> TapAnswer:
    """Answer whether it stays live while cranking."""
    measure = "tap to battery minus while an assistant cranks, with the load still on"
    volts = readings.cranking_v
    if volts is None:
        return TapAnswer(CRANKING, UNKNOWN, "not measured", measure)
    shown = f"{text(volts, 'V')} while cranking"
    if is_dead(readings, volts):
        return TapAnswer(CRANKING, NO, f"{shown}: goes dead, and lets go what is held by it")
    if volts >= LIVE_SHARE * readings.system_v:
        return TapAnswer(CRANKING, YES, f"{shown}: stays live")
    return TapAnswer(CRANKING, UNKNOWN, f"{shown}: neither dead nor live", measure)
