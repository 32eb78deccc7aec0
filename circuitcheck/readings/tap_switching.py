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
        return TapAnswer(MAY_BE_TAPPED, NO, because, "choose another circuit")
    named = ", ".join(feeds) or "nothing else"
    return TapAnswer(MAY_BE_TAPPED, YES, f"it feeds {named}, none of the kinds that never may")


def live(readings: TapReadings, library: Library) -> TapAnswer:
    """Answer whether the tap has the battery's voltage with the key on."""
    volts = readings.open_v
    if volts is None:
        measure = "tap to battery minus, key on, engine off, nothing added"
        return TapAnswer(LIVE, UNKNOWN, "not measured", measure)
    least = library.supply(readings.system_v, "engine off").voltage_v.lower
    shown = text(volts, "V")
    if volts >= WEAK_SHARE * least:
        return TapAnswer(LIVE, YES, f"{shown} with the key on")
    if volts < DEAD_SHARE * readings.system_v:
        return TapAnswer(LIVE, NO, f"only {shown}: dead", "see whether its fuse is whole")
    because = f"{shown}, less than the {least:g} V of an empty battery"
    return TapAnswer(LIVE, NO, because, "read the battery posts; look for a bad joint upstream")


def key_switched(readings: TapReadings) -> TapAnswer:
    """Answer whether the key switches it off."""
    measure = "tap to battery minus with the key off, with the load still on"
    return _dead_or_live(readings, KEY_SWITCHED, readings.key_off_v, "with the key off", measure)


def _dead_or_live(
    readings: TapReadings, question: str, volts: float | None, state: str, measure: str
) -> TapAnswer:
    if volts is None:
        return TapAnswer(question, UNKNOWN, "not measured", measure)
    shown = f"{text(volts, 'V')} {state}"
    if abs(volts) < DEAD_SHARE * readings.system_v:
        return TapAnswer(question, YES, f"{shown}: dead, the key switches it")
    if volts >= LIVE_SHARE * readings.system_v:
        because = f"{shown}: live. Only for what springs back by itself and moves no machine part"
        return TapAnswer(question, NO, because)
    because = f"{shown}: neither dead nor live; a meter alone on a floating point shows anything"
    return TapAnswer(question, UNKNOWN, because, measure)


def while_cranking(readings: TapReadings) -> TapAnswer:
    """Answer whether it stays live while cranking."""
    measure = "tap to battery minus while an assistant cranks, with the load still on"
    volts = readings.cranking_v
    if volts is None:
        return TapAnswer(CRANKING, UNKNOWN, "not measured", measure)
    shown = f"{text(volts, 'V')} while cranking"
    if abs(volts) < DEAD_SHARE * readings.system_v:
        return TapAnswer(CRANKING, NO, f"{shown}: goes dead")
    if volts >= LIVE_SHARE * readings.system_v:
        return TapAnswer(CRANKING, YES, f"{shown}: stays live")
    return TapAnswer(CRANKING, UNKNOWN, f"{shown}: neither dead nor live", measure)
