"""Lines of a test sheet with the supply on: volts along the way, clicks, current, drops."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise

from circuitcheck.circuit.netlist import WINDINGS
from circuitcheck.model.converter import Converter
from circuitcheck.model.harness import Harness
from circuitcheck.model.indicator import IndicatorLamp, LedIndicator
from circuitcheck.model.instrument import InstrumentRow
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.relay import Relay
from circuitcheck.model.solenoid_coil import SolenoidCoil
from circuitcheck.model.splice import Splice
from circuitcheck.model.tolerance_band import Band
from circuitcheck.readings.sheet_bands import under_posts, volts_between, with_meter
from circuitcheck.readings.sheet_records import AMPERES, DROP, NO, SEEN, VOLTS, YES, SheetLine
from circuitcheck.readings.sheet_walk import Way, is_point, loads_of, stops_on, ways
from circuitcheck.record import record
from circuitcheck.solve.position_solution import PositionSolution

CLICKS = (SolenoidCoil, PullHoldCoil, Relay)
STRAY_V = 0.1
"""What a meter may show at a point that nothing feeds; common practice, no source."""
LEAST_CLAMPED_A = 0.4
"""Less than about twice its own error a clamp does not tell from nothing; common practice."""
NEAR_SHARE = 0.25
"""A point further under the posts hangs on a load or a converter: the distance tells nothing."""
LIGHTS = (IndicatorLamp, LedIndicator)


@record
class Meters:
    """Instruments that the sheet is written for."""

    volts: InstrumentRow
    clamp: InstrumentRow
    ohms: InstrumentRow


def ways_in(solved: PositionSolution) -> tuple[Way, ...]:
    """Return the ways of the loads that a position asks for and that carry current."""
    carrying = set(solved.carrying())
    return ways(solved.network, [name for name in solved.asked_for if name in carrying])


def works(harness: Harness, found: Sequence[Way]) -> tuple[str, ...]:
    """Return the coils that a position works, in file order."""
    owners = {way.owner for way in found if way.role in WINDINGS}
    return tuple(name for name in harness.parts if name in owners)


def seen_lines(harness: Harness, solved: PositionSolution) -> Iterator[SheetLine]:
    """Yield which coils click and which stay silent, which indicators are lit and which dark.

    What carries current that nobody asked for is left out: the file's own checks are about it.
    """
    carrying = set(solved.carrying())
    loads = list(loads_of(solved.network))
    on = {load.owner for load in loads if load.name in solved.asked_for and load.name in carrying}
    unclear = {load.owner for load in loads if load.name in carrying} - on
    for name, part in harness.parts.items():
        if isinstance(part, (*CLICKS, *LIGHTS)) and name not in unclear:
            yield SheetLine(SEEN, name, name, "", "", None, YES if name in on else NO)


def posts_line(harness: Harness, solved: PositionSolution, meters: Meters) -> SheetLine:
    """Return the reading of the battery posts, under load."""
    plus, minus = posts(harness)
    (band,) = volts_between(solved, [(plus, minus)], meters.volts)
    return SheetLine(VOLTS, harness.battery.name, plus, minus, "V", band)


def posts(harness: Harness) -> tuple[str, str]:
    """Return the battery's two terminals."""
    name = harness.battery.name
    return f"{name}.+", f"{name}.-"


def point_lines(
    harness: Harness, solved: PositionSolution, points: Iterable[str], meters: Meters
) -> Iterator[SheetLine]:
    """Yield the voltage of each point to battery minus, and how far it may lie under the posts."""
    plus, minus = posts(harness)
    names = [name for name in points if name not in (plus, minus)]
    bands = volts_between(solved, [(name, minus) for name in names], meters.volts)
    distances = solved.between_many_v([(plus, name) for name in names]) if names else []
    for name, band, below in zip(names, bands, distances, strict=True):
        if band is not None:
            of = name.partition(".")[0]
            is_dead = abs(band.upper) < STRAY_V / 10.0
            seen = Band(band.lower, band.nominal, STRAY_V) if is_dead else band
            is_near = below.upper < NEAR_SHARE * harness.system_v
            under = under_posts(below, meters.volts, seen.upper) if is_near else None
            yield SheetLine(VOLTS, of, name, minus, "V", seen, under_battery_v=under)


def across_lines(
    solved: PositionSolution, found: Sequence[Way], meters: Meters
) -> Iterator[SheetLine]:
    """Yield the voltage across each load that the position works, from its fed terminal."""
    pairs = [(way.fed, way.returned) for way in found]
    for way, band in zip(found, volts_between(solved, pairs, meters.volts), strict=True):
        if band is not None and all("/" not in end for end in (way.fed, way.returned)):
            through = (*way.feed_names, *way.back_names)
            yield SheetLine(VOLTS, way.owner, way.fed, way.returned, "V", band, through=through)


def return_lines(
    harness: Harness, solved: PositionSolution, found: Sequence[Way], meters: Meters
) -> Iterator[SheetLine]:
    """Yield the whole drop of each load's return, from its terminal to battery minus."""
    minus = posts(harness)[1]
    stops = {way.returned: way for way in found if "/" not in way.returned}
    bands = volts_between(solved, [(name, minus) for name in stops], meters.volts)
    for (name, way), band in zip(stops.items(), bands, strict=True):
        if band is not None and name != minus:
            yield SheetLine(VOLTS, way.owner, name, minus, "V", band, through=way.back_names)


def current_lines(
    harness: Harness, solved: PositionSolution, found: Sequence[Way], meters: Meters, state: str
) -> Iterator[SheetLine]:
    """Yield the current of each winding, by a clamp round the last wire that feeds it."""
    for way in found:
        wires = [name for name in way.feed_names if name in harness.wires]
        if way.role in WINDINGS and wires:
            amps = solved.current_a(wires[-1])
            if amps.smallest() < LEAST_CLAMPED_A:
                continue
            band = with_meter(amps if amps.nominal >= 0.0 else amps.negated(), meters.clamp)
            if band is not None:
                yield SheetLine(AMPERES, way.owner, wires[-1], "", "A", band, coil_state=state)


def stretches(
    harness: Harness, way: Way, *, each: bool
) -> Iterator[tuple[str, str, tuple[str, ...]]]:
    """Yield both ends of each stretch of a way, in the direction of the current, and its branches.

    A stretch lies between two stops of a person; with `each` it is every wire and joint alone.
    """
    for terminals, names in ((way.feed, way.feed_names), (way.back, way.back_names)):
        stops = terminals if each else stops_on(harness, terminals)
        for plus, minus in pairwise(name for name in stops if is_point(harness, name)):
            first, last = terminals.index(plus), terminals.index(minus)
            if any(isinstance(harness.parts.get(n), Converter) for n in names[first:last]):
                continue
            splices = (t for t in terminals[first + 1 : last] if _is_splice(harness, t))
            yield plus, minus, (*names[first:last], *splices)


def drop_lines(
    harness: Harness, solved: PositionSolution, way: Way, meters: Meters, *, each: bool
) -> Iterator[SheetLine]:
    """Yield the drop along each stretch of a way."""
    found = list(stretches(harness, way, each=each))
    bands = volts_between(solved, [(plus, minus) for plus, minus, _ in found], meters.volts)
    for (plus, minus, through), band in zip(found, bands, strict=True):
        if band is not None:
            yield SheetLine(DROP, way.owner, plus, minus, "V", band, through=through)


def look_ahead(
    harness: Harness, solved: PositionSolution, found: Sequence[Way], *, each: bool
) -> None:
    """Work out in one batch what the lines along ways will ask for one after another."""
    plus, minus = posts(harness)
    pairs = [(plus, minus)]
    for way in found:
        pairs += [(way.fed, way.returned), (way.returned, minus)]
        pairs += [(first, last) for first, last, _ in stretches(harness, way, each=each)]
    solved.between_many_v(list(dict.fromkeys(pairs)))


def _is_splice(harness: Harness, terminal: str) -> bool:
    return isinstance(harness.parts.get(terminal), Splice)
