"""What is left of a tap: what its fuse, wire and key contact carry, less what they carry already.

    spare = min(0.75 I_fuse f(T_air), I_z of the machine's wire, I_key contact) - I_present

The present load counts at its upper limit of error and at the highest charging voltage; fuse and
wire lie in the hottest air. Limits: row fuse_continuous_share of library/limits.csv; ampacity.csv.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from circuitcheck.formulas.ampacity import ambient_factor
from circuitcheck.formulas.fuse_opening import rerated_a
from circuitcheck.model.library import Library
from circuitcheck.model.supply_tap import ELECTRONIC_FUSE
from circuitcheck.model.tap_readings import TapReadings
from circuitcheck.model.tolerance_band import Band
from circuitcheck.readings.fuse_current import fuse_current_a
from circuitcheck.readings.meter_error import limit_of_error
from circuitcheck.readings.tap_answers import NO, ROOM, UNKNOWN, YES, TapAnswer
from circuitcheck.record import record
from circuitcheck.units import text

MACHINE_FUSE, MACHINE_WIRE, KEY_CONTACT = "fuse", "wire", "key contact"
READ_PRESENT = (
    "read the present load, all its consumers on: clamp meter round the wire, or millivolts "
    "across the machine's fuse"
)

READ_CLOSER = "read the present load more closely: by clamp, or a meter with a millivolt range"


@record
class Carrier:
    """One thing upstream that limits the current: what it may carry, and why. [A]

    `what` is one of MACHINE_FUSE, MACHINE_WIRE, KEY_CONTACT.
    `guessed` says what would settle it where it was taken at its worst, not known.
    """

    what: str
    name: str
    most_a: float
    because: str
    source: str
    guessed: str = ""


@record
class Spare:
    """What limits the current, what flows already, what is left; `missing` says what is not known.

    `present_a` is as read, with its limits; `highest_a` the same at the highest voltage.
    """

    carriers: tuple[Carrier, ...]
    present_a: Band | None
    highest_a: Band | None
    missing: tuple[str, ...]

    @property
    def least(self) -> Carrier | None:
        """What limits the current most."""
        return min(self.carriers, key=lambda one: one.most_a, default=None)

    @property
    def spare_a(self) -> float | None:
        """What is left for an add-on, below 0 where it is overloaded; None where not known."""
        if self.missing or self.highest_a is None or self.least is None:
            return None
        return self.least.most_a - self.highest_a.upper


def tap_spare(readings: TapReadings, library: Library) -> Spare:
    """Return what is left of a tap."""
    missing: list[str] = []
    carriers = tuple(_carriers(readings, library, missing))
    present = _present(readings, missing)
    if present is None:
        return Spare(carriers, None, None, tuple(missing))
    at_highest = present.scaled(_up_to_highest(readings, library))
    return Spare(carriers, present, at_highest, tuple(missing))


def _up_to_highest(readings: TapReadings, library: Library) -> float:
    """Return by what share the present load grows to the highest charging voltage.

    A tap that was dead or weak when its voltage was read says nothing of the voltage at which the
    load was.
    """
    lowest = library.supply(readings.system_v, "engine off").voltage_v.lower
    highest = library.supply(readings.system_v, "charging").voltage_v.upper
    return max(1.0, highest / max(readings.open_v or lowest, 0.9 * lowest))


def room(readings: TapReadings, spare: Spare) -> TapAnswer:
    """Answer whether the wanted current fits into what is left."""
    least, left = spare.least, spare.spare_a
    if left is None or least is None or spare.highest_a is None:
        return TapAnswer(ROOM, UNKNOWN, "not all is known", "; ".join(spare.missing))
    because = (
        f"{text(max(0.0, left), 'A')} left: {least.name} carries {text(least.most_a, 'A')}, "
        f"{text(spare.highest_a.upper, 'A')} are taken at the highest voltage"
    )
    if readings.wanted_a is None:
        return TapAnswer(ROOM, UNKNOWN, f"{because}; no wanted current given", "give it")
    because = f"{text(readings.wanted_a, 'A')} wanted, {because}"
    if readings.wanted_a <= left:
        return TapAnswer(ROOM, YES, because)
    if least.guessed:
        others = [one.most_a for one in spare.carriers if not one.guessed]
        if readings.wanted_a <= min(others, default=math.inf) - spare.highest_a.upper:
            return TapAnswer(ROOM, UNKNOWN, f"{because}, at the worst", least.guessed)
    if readings.wanted_a <= least.most_a - spare.highest_a.lower:
        because += f", but it may be as little as {text(spare.highest_a.lower, 'A')}"
        return TapAnswer(ROOM, UNKNOWN, because, READ_CLOSER)
    shown = f"no room for {text(readings.wanted_a, 'A')}"
    return TapAnswer(ROOM, NO, because, "choose a circuit with more left", in_short=shown)


def _present(readings: TapReadings, missing: list[str]) -> Band | None:
    """Return what the tap carries already, with its limits of error."""
    by_clamp, gaps = _by_clamp(readings), len(missing)
    by_fuse = _by_fuse(readings, missing)
    if len(missing) > gaps:
        return None
    if by_clamp is None or by_fuse is None:
        if by_clamp is None and by_fuse is None:
            missing.append(READ_PRESENT)
        return by_clamp or by_fuse
    if by_clamp.upper < by_fuse.lower or by_fuse.upper < by_clamp.lower:
        clamp, fuse = (text(one.nominal, "A") for one in (by_clamp, by_fuse))
        missing.append(f"the clamp says {clamp}, the fuse millivolts {fuse}: read both again")
        return None
    return by_clamp


def _by_clamp(readings: TapReadings) -> Band | None:
    if readings.present_load_a is None:
        return None
    amps = abs(readings.present_load_a)
    off = limit_of_error(readings.clamp, amps) if readings.clamp is not None else 0.0
    return Band(max(0.0, amps - off), amps, amps + off)


def _by_fuse(readings: TapReadings, missing: list[str]) -> Band | None:
    if readings.fuse_drop_v is None or readings.fuse is None:
        return None
    chosen = readings.meter.range_for(readings.fuse_drop_v)
    off = chosen.limit(readings.fuse_drop_v) if chosen else 0.0
    try:
        return fuse_current_a(readings.fuse, readings.fuse_drop_v, off)
    except ValueError as error:
        missing.append(str(error))
        return None


def _carriers(readings: TapReadings, library: Library, missing: list[str]) -> Iterator[Carrier]:
    if ELECTRONIC_FUSE in (readings.feeds or ()):
        missing.append("what an electronic fuse lets through is not covered")
    elif readings.fuse is None:
        fitted = "prove it again with the fuse that is fitted first"
        missing.append(fitted if readings.fuse_known else "which fuse of the machine feeds it")
    if readings.conductor is None:
        missing.append("the size of the machine's wire")
    if readings.air_c is None:
        missing.append("the hottest air of fuse and wire")
    else:
        if readings.fuse is not None:
            yield from _fuse(readings, library, missing)
        if readings.conductor is not None:
            yield from _wire(readings, library, missing)
    if readings.key_contact_a is not None:
        because = "rating of the key contact"
        yield Carrier(KEY_CONTACT, "the key contact", readings.key_contact_a, because, "as given")


def _fuse(readings: TapReadings, library: Library, missing: list[str]) -> Iterator[Carrier]:
    fuse, air_c = readings.fuse, readings.air_c
    assert fuse is not None
    assert air_c is not None
    points = sorted(
        (point.at, point.factor)
        for point in library.fuse_rerating
        if fuse.style.endswith(point.name.split(" at ")[0])
    )
    if not points or not points[0][0] <= air_c <= points[-1][0]:
        missing.append(f"what a {fuse.style} fuse is worth in air of {air_c:g} degC: data sheet")
        return
    worth = rerated_a(fuse.rating_a, air_c, *zip(*points, strict=True))
    share = library.limit("fuse_continuous_share")
    because = f"{100.0 * share.value:g} % of {text(worth, 'A')}, its worth in air of {air_c:g} degC"
    yield Carrier(MACHINE_FUSE, f"fuse {fuse.name}", share.value * worth, because, share.source)


def _wire(readings: TapReadings, library: Library, missing: list[str]) -> Iterator[Carrier]:
    conductor, air_c = readings.conductor, readings.air_c
    insulation = readings.insulation or library.insulation("unknown")
    assert conductor is not None
    assert air_c is not None
    row = library.ampacity_row(conductor.name, insulation.name)
    if row is None:
        missing.append(f"an ampacity of {conductor.name}, {insulation.name}: the library has none")
        return
    factor = in_air = min(1.0, ambient_factor(row.temperature_c, air_c, row.ambient_c))
    because = f"{text(row.current_a, 'A')} in air of {row.ambient_c:g} degC, here {air_c:g} degC"
    if readings.engine_space is not False:
        engine = library.engine_space_factor(insulation.name)
        if engine is None:
            missing.append(f"a factor for {insulation.name} in an engine space")
            return
        factor = min(factor, engine.factor)
        because += ", engine space"
    guesses = []
    if readings.insulation is None:
        guesses.append("read the insulation class printed on the wire; the lowest is taken")
    if readings.engine_space is None and factor < in_air:
        guesses.append("see whether the wire passes the engine space; it is taken to")
    shown = readings.insulation.name if readings.insulation else "insulation unknown"
    yield Carrier(
        MACHINE_WIRE,
        f"wire {conductor.name}, {shown}",
        row.current_a * factor,
        because,
        row.source,
        "; ".join(guesses),
    )
