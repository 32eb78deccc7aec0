"""A reading to be taken as a person is told it: state of the machine, instrument, both points."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Sequence

from circuitcheck.documents.plain_text import Page
from circuitcheck.documents.point_text import point_text, subject_text
from circuitcheck.documents.pulled_coil_text import pulled_words
from circuitcheck.documents.quantity_text import quantity_text
from circuitcheck.model import instrument as i
from circuitcheck.model.harness import Harness
from circuitcheck.model.library import Library
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.reading import Measurement, Situation
from circuitcheck.model.solenoid_coil import SolenoidCoil
from circuitcheck.readings.direct_feed import direct_feed
from circuitcheck.readings.pulled_coils import burns_fed_directly

QUESTIONS = {
    "click": "Does {at} click?",
    "valve moves": "Does the valve of {at} move?",
    "steel blade": "Is a steel blade pulled at the end of coil {at}?",
    "fed directly": "Fed directly, plus on {plus}, minus on {minus}: does {at} click?",
    "indicator": "Is {at} lit?",
    "fuse looked at": "Is the element of fuse {at} whole?",
    "warm joint": "Is {at} warmer than its neighbours?",
}
LIVE = (
    "Implement lowered and blocked, pressure released, nobody in the path. Key on with the engine "
    "off first."
)
DIRECTLY = "Only through a fused lead of 5 A or less, straight from the battery."
NOT_DIRECTLY = "Do not feed it directly: {at} takes up to {amps}, more than a lead of 5 A carries."
OHMS = "No ohmmeter on a live circuit: key off first."
OHMS_TO_MINUS = "No ohmmeter on a live circuit: key off and the battery's minus clamp off first."
MOVING = ("click", "valve moves", "steel blade", "fed directly")


def caution_text(
    measurement: Measurement,
    harness: Harness,
    library: Library,
    pulled: Sequence[PullHoldCoil] = (),
) -> tuple[str, ...]:
    """Return the cautions that belong to one reading.

    `pulled` are the coils whose pull winding it has on for longer than that may stay on.
    """
    is_metered = library.instrument(measurement.instrument).kind != i.OBSERVATION
    limits = (pulled_words(coil, is_metered=is_metered) for coil in pulled)
    return (*_cautions(measurement, harness, library), *limits)


def _cautions(measurement: Measurement, harness: Harness, library: Library) -> Iterator[str]:
    row = library.instrument(measurement.instrument)
    situation = measurement.situation
    if row.kind == i.OHMMETER:
        is_off = harness.battery.name in situation.unplugged
        yield OHMS_TO_MINUS if is_off else OHMS
        return
    if row.name == "fed directly":
        feed = direct_feed(harness, measurement.plus)
        amps = quantity_text(feed.most_a, "A")
        yield DIRECTLY if feed.is_carried else NOT_DIRECTLY.format(at=measurement.plus, amps=amps)
    if situation.position != "key off" or row.name in MOVING:
        yield LIVE
    coil = harness.parts.get(measurement.plus)
    if row.name == "fed directly" and isinstance(coil, PullHoldCoil) and burns_fed_directly(coil):
        yield pulled_words(coil, is_metered=False, is_fed_directly=True)
    if row.name in MOVING and isinstance(coil, SolenoidCoil | PullHoldCoil):
        hazard = coil.moves.hazard
        if hazard not in ("none", "unknown"):
            yield f"{coil.name} {coil.moves.movement}: {hazard}."


def measurement_lines(
    measurement: Measurement, harness: Harness, library: Library
) -> Iterator[tuple[str, str]]:
    """Yield what is to be done as pairs of a word and a text, in order."""
    row = library.instrument(measurement.instrument)
    yield "Position", situation_text(measurement.situation)
    off, battery = measurement.situation.unplugged, harness.battery.name
    if battery in off:
        yield "Take off", "the battery's minus clamp; back on after the reading"
    if off - {battery}:
        yield "Unplug", ", ".join(sorted(off - {battery}))
    if row.kind == i.OBSERVATION:
        yield "Look", _question(measurement, harness, row.name, row.note)
        return
    yield "Use", row.name
    if not measurement.minus:
        yield "At", subject_text(harness, measurement.plus)
        return
    red, black = ("Red probe", "Black probe") if row.kind != i.OHMMETER else ("Probe", "Probe")
    sides = _sides(measurement, harness, row.kind)
    yield red, _probed(harness, measurement.plus, off) + sides[0]
    yield black, _probed(harness, measurement.minus, off) + sides[1]


def _probed(harness: Harness, terminal: str, off: Collection[str]) -> str:
    """Return where a probe goes: with the battery's minus off, on its clamp, not on the post."""
    battery = harness.battery.name
    if battery in off and terminal == f"{battery}.-":
        return "the minus clamp taken off"
    return point_text(harness, terminal)


def _question(measurement: Measurement, harness: Harness, name: str, otherwise: str) -> str:
    asked = QUESTIONS.get(name)
    at = subject_text(harness, measurement.plus)
    if asked is None:
        return f"{at}: {otherwise}"
    if name != "fed directly":
        return asked.format(at=at)
    feed = direct_feed(harness, measurement.plus)
    return asked.format(at=at, plus=" and ".join(feed.plus), minus=" and ".join(feed.minus))


def _sides(measurement: Measurement, harness: Harness, kind: str) -> tuple[str, str]:
    """Say which side is meant of a part that is off: the part's own, or the plug's."""
    off = measurement.situation.unplugged - {harness.battery.name}
    points = (measurement.plus, measurement.minus)
    owners = [point.partition(".")[0] for point in points]
    own = kind == i.OHMMETER and owners[0] == owners[1] and owners[0] in off
    said = [
        "" if owner not in off else ", on the part itself" if own else ", in the plug pulled off"
        for owner in owners
    ]
    return said[0], said[1]


def _off_text(off: Collection[str], harness: Harness) -> str:
    """Return what is off, in a few words: `VL unplugged, battery's minus off`."""
    battery = harness.battery.name
    parts = sorted(name for name in off if name != battery)
    said = [f"{', '.join(parts)} unplugged"] if parts else []
    return ", ".join([*said, "battery's minus off"] if battery in off else said)


def other_than_text(measurement: Measurement, before: Measurement, harness: Harness) -> str:
    """Return in what a reading at the same points differs from one before."""
    at, then, said = measurement.situation, before.situation, []
    if at.position != then.position:
        said.append(f"position {at.position}")
    if at.unplugged != then.unplugged:
        said.append(_off_text(at.unplugged, harness) or "nothing unplugged")
    if measurement.instrument != before.instrument:
        said.append(measurement.instrument)
    return ", ".join(said)


def situation_text(situation: Situation) -> str:
    """Return the state of the machine: `key on, left, engine off`."""
    words = f"{situation.position}, engine {situation.engine}"
    if situation.supply_v is not None:
        words += f", battery {quantity_text(situation.supply_v, 'V')}"
    return words


def value_text(value: float, measurement: Measurement, library: Library) -> str:
    """Return a value of an instrument as people say it: `11.8 V`, `OL`, `yes`, `dim`."""
    row = library.instrument(measurement.instrument)
    if row.kind == i.OBSERVATION:
        return "yes" if value > 0.5 else "no"
    if row.kind in (i.LAMP_BY_EYE, i.LED_TESTER):
        return min(i.LEVELS, key=lambda word: abs(i.LEVELS[word] - value))
    if math.isinf(value):
        return "OL"
    # what a meter shows on its finest range as nothing
    if abs(value) < NOTHING[row.unit]:
        value = 0.0
    return quantity_text(value, row.unit)


def as_shown(value: float, row: i.InstrumentRow) -> float:
    """Return a value as a meter shows it, on the finest range that holds it."""
    if not row.ranges or math.isinf(value):
        return value
    digit = (row.range_for(value) or row.ranges[-1]).resolution
    return round(value / digit) * digit


NOTHING = {"V": 5e-4, "A": 5e-3, "ohm": 0.05}


def range_text(lower: float, upper: float, measurement: Measurement, library: Library) -> str:
    """Return a stretch of values: `9.1 V to 11.8 V`, `12.4 V`, `no`; as finely as a meter shows."""
    row = library.instrument(measurement.instrument)
    ends = [as_shown(end, row) for end in (lower, upper)]
    low, high = (value_text(end, measurement, library) for end in ends)
    return low if low == high else f"{low} to {high}"


def taken_text(measurement: Measurement, harness: Harness, library: Library) -> str:
    """Return a reading in one line, for a list: `digital voltmeter X1.plug.2 to BAT.-`."""
    row = library.instrument(measurement.instrument)
    if row.kind == i.OBSERVATION:
        return _question(measurement, harness, row.name, row.name)
    off = _off_text(measurement.situation.unplugged, harness)
    unplugged = f", {off}" if off else ""
    between = (
        f"{measurement.plus} to {measurement.minus}" if measurement.minus else measurement.plus
    )
    return f"{row.name}, {between}{unplugged}"


def say_measurement(
    page: Page,
    measurement: Measurement,
    harness: Harness,
    library: Library,
    pulled: Sequence[PullHoldCoil] = (),
) -> None:
    """Write what is to be done, cautions first; always in full, for each step is done alone."""
    for caution in caution_text(measurement, harness, library, pulled):
        page.say(caution, first="! ", colour="yellow")
    for word, text in measurement_lines(measurement, harness, library):
        page.say(text, first=f"{word}: ", rest="  ")
