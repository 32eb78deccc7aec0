"""Readings that could be asked for next, made from the harness: points that a person can reach.

In the position of the complaint and one or two others: voltage from each point to battery minus,
drop along each wire and joint, a bulb in place of the coil, ohms of the coil alone, a clamp, the
fuse looked at, clicks and lights. Points under a pierced wire come last of all and stand apart.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from circuitcheck.circuit.asked_for import asked_loads
from circuitcheck.circuit.build import build_network
from circuitcheck.circuit.topology import read_topology, wires_at
from circuitcheck.diagnosis.efforts import PIERCED, Efforts
from circuitcheck.diagnosis.loads import Coil, coils_of, lights_of
from circuitcheck.faults.full_network import FullNetwork
from circuitcheck.model.connector import Connector
from circuitcheck.model.fuse import Fuse
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.reading import Measurement, Situation
from circuitcheck.model.supply_tap import SupplyTap
from circuitcheck.readings.direct_feed import direct_feed
from circuitcheck.readings.pulled_coils import is_too_brief_to_read, pulled_coils, stays_on_too_long
from circuitcheck.record import record

VOLTMETER, OHMMETER, CLAMP = "digital voltmeter", "ohmmeter", "clamp ammeter"
TEST_LAMP, BULBS = (
    "test lamp",
    {12.0: "21 W bulb and voltmeter", 24.0: "21 W bulb and voltmeter, 24 V"},
)
CLICK, MOVES, BLADE, INDICATOR = "click", "valve moves", "steel blade", "indicator"
FUSE_LOOKED_AT, FUSE_MILLIVOLTS, FED_DIRECTLY = "fuse looked at", "fuse millivolts", "fed directly"
MOST_POINTS = 36
"""Points that are considered, nearest to the coil first."""
MOST_POSITIONS = 3
KEY_OFF = "key off"


@record
class CoilPlace:
    """A coil, the positions that ask for it (fewest buttons first), and its two ends."""

    coil: Coil
    positions: tuple[str, ...]
    feed: str
    back: str


def coil_places(full: FullNetwork) -> dict[str, CoilPlace]:
    """Return each coil that the file wires, with the positions that ask for it, key on first."""
    asked: dict[str, list[str]] = {}
    for name, position in list(full.positions.items())[: MOST_LOOKED_AT * 3]:
        if position.key == "key on":
            network = build_network(full.harness, full.library, position)
            for load in asked_loads(network):
                asked.setdefault(load.split("/")[0], []).append(name)
    return {
        coil.name: CoilPlace(coil, tuple(asked.get(coil.name, ())), *_ends(coil))
        for coil in coils_of(full.harness)
    }


MOST_LOOKED_AT = 64
"""Positions of each key state that are looked at for which coils they ask for."""


def _ends(coil: Coil) -> tuple[str, str]:
    if isinstance(coil, PullHoldCoil):
        return f"{coil.name}.hold", f"{coil.name}.common"
    minus = coil.plus == "2"
    ends = (f"{coil.name}.1", f"{coil.name}.2")
    return (ends[1], ends[0]) if minus else ends


class CandidateReadings:
    """Readings for some coils in some positions of one harness."""

    def __init__(self, full: FullNetwork, efforts: Efforts) -> None:
        self.full, self.harness, self.efforts = full, full.harness, efforts
        self.places = coil_places(full)
        battery = self.harness.battery.name
        self.plus, self.minus = f"{battery}.+", f"{battery}.-"
        self._topology = read_topology(self.harness)
        self._pulled: dict[str, tuple[PullHoldCoil, ...]] = {}

    def points(self, coils: Sequence[str]) -> tuple[str, ...]:
        """Return the terminals that wires land on, nearest to the coils first."""
        wired = list(wires_at(self.harness))
        way: dict[str, int] = {}
        for coil in coils:
            place = self.places[coil]
            for end in (place.feed, place.back):
                for terminal, owners in self._topology.ways_from(end).items():
                    way[terminal] = min(way.get(terminal, len(owners)), len(owners))
        near = sorted((t for t in wired if t in way), key=lambda t: way[t])
        # of the rest only what hangs on the same battery can matter
        return tuple(near[:MOST_POINTS])

    def positions(self, coils: Sequence[str], complained: Sequence[str]) -> tuple[str, ...]:
        """Return the positions of the complaint, one that asks for another coil, and key on."""
        others = [
            place.positions[0]
            for name, place in self.places.items()
            if name not in coils and place.positions
        ]
        at_rest = [name for name, p in self.full.positions.items() if p.key == "key on"][:1]
        return tuple(dict.fromkeys((*complained, *others, *at_rest)))[:MOST_POSITIONS]

    def all(self, coils: Sequence[str], complained: Sequence[str]) -> tuple[Measurement, ...]:
        """Return every reading to be considered, without repeats, swapped probes among them."""
        found: dict[tuple[str, frozenset[str], Situation], Measurement] = {}
        for one in self._made(coils, complained):
            points = frozenset((one.plus, one.minus))
            found.setdefault((one.instrument, points, one.situation), one)
        return tuple(found.values())

    def _made(self, coils: Sequence[str], complained: Sequence[str]) -> Iterator[Measurement]:
        points = self.points(coils)
        positions = self.positions(coils, complained)
        for fuse in self.harness.of_kind(Fuse):
            yield Measurement(FUSE_LOOKED_AT, fuse.name, "", Situation(positions[0]))
        for number, position in enumerate(positions):
            live = Situation(position)
            yield from self._seen(live)
            if not self._is_metered(live):
                continue
            yield from self._volts(points, live)
            if number == 0 or position in complained:
                yield from self._drops(points, coils, live)
        for name in coils:
            asked = [p for p in positions if p in self.places[name].positions]
            yield from self._unplugged(name, asked[:1])

    def _seen(self, live: Situation) -> Iterator[Measurement]:
        for name, place in self.places.items():
            yield Measurement(CLICK, name, "", live)
            if live.position in place.positions:
                yield Measurement(BLADE, name, "", live)
                yield Measurement(MOVES, name, "", live)
        for part in lights_of(self.harness):
            yield Measurement(INDICATOR, part.name, "", live)

    def _volts(self, points: Sequence[str], live: Situation) -> Iterator[Measurement]:
        yield Measurement(VOLTMETER, self.plus, self.minus, live)
        for point in points:
            if point != self.minus:
                yield Measurement(VOLTMETER, point, self.minus, live)

    def _drops(
        self, points: Sequence[str], coils: Sequence[str], live: Situation
    ) -> Iterator[Measurement]:
        """Along each wire and joint between two points, and along whole ways to the coils."""
        reached = set(points)
        for link in self._topology.links:
            if link.start in reached and link.end in reached:
                yield Measurement(VOLTMETER, link.start, link.end, live)
        for name in coils:
            place = self.places[name]
            yield Measurement(VOLTMETER, place.feed, place.back, live)
            yield Measurement(VOLTMETER, self.plus, place.feed, live)
            for part in self.harness.of_kind(Connector):
                for terminal in part.terminals:
                    point = f"{part.name}.{terminal}"
                    if point in reached and point in self._topology.feed:
                        yield Measurement(VOLTMETER, self.plus, point, live)
            for wire in self.harness.wires.values():
                if place.feed in (str(wire.start), str(wire.end)):
                    yield Measurement(CLAMP, wire.name, "", live)
        for fuse in self.harness.of_kind(Fuse):
            yield Measurement(FUSE_MILLIVOLTS, fuse.name, "", live)

    def _unplugged(self, name: str, asked: Sequence[str]) -> Iterator[Measurement]:
        place = self.places[name]
        bulb = BULBS[self.harness.system_v]
        off = frozenset({name})
        ends = (place.feed, place.back)
        wired = [end for end in ends if end in wires_at(self.harness)]
        if len(wired) < len(ends):  # grounded by its body: nothing to unplug on that side
            return
        for position in asked:
            live = Situation(position, unplugged=off)
            probed = (ends, (ends[0], self.minus), (self.plus, ends[1]))
            for plus, minus in probed if self._is_metered(live) else ():
                yield Measurement(VOLTMETER, plus, minus, live)
                yield Measurement(bulb, plus, minus, live)
            if direct_feed(self.harness, name).is_carried:
                yield Measurement(FED_DIRECTLY, name, "", live)
        # an ohmmeter stands no live circuit: a tap that the key leaves on comes off too
        live_taps = {
            tap.name for tap in self.harness.of_kind(SupplyTap) if tap.upstream.key != "on"
        }
        dead = Situation(KEY_OFF, unplugged=off | live_taps)
        yield Measurement(OHMMETER, ends[0], ends[1], dead)
        if isinstance(place.coil, PullHoldCoil) and "pull" in place.coil.terminals:
            yield Measurement(OHMMETER, f"{name}.pull", ends[1], dead)
        # what else is on the battery would be measured with it
        parted = replace(dead, unplugged=dead.unplugged | {self.harness.battery.name})
        yield Measurement(OHMMETER, ends[1], self.minus, parted)
        yield Measurement(OHMMETER, ends[0], self.minus, parted)

    def pulled(self, situation: Situation) -> tuple[PullHoldCoil, ...]:
        """Return the coils whose pull winding a situation feeds for longer than it may stay on."""
        position = self.full.positions.get(situation.position)
        if position is None:
            return ()
        if position.name not in self._pulled:
            network = build_network(self.harness, self.full.library, position)
            self._pulled[position.name] = pulled_coils(self.harness, network)
        on = self._pulled[position.name]
        return tuple(coil for coil in on if coil.name not in situation.unplugged)

    @property
    def brief_coils(self) -> tuple[PullHoldCoil, ...]:
        """The coils whose pull winding stays on with its feed and does not stand that."""
        coils = self.harness.of_kind(PullHoldCoil)
        return tuple(coil for coil in coils if stays_on_too_long(coil))

    def _is_metered(self, situation: Situation) -> bool:
        """Return whether a person may keep a situation for as long as a meter needs."""
        return not is_too_brief_to_read(self.pulled(situation))

    def is_last_resort(self, measurement: Measurement) -> bool:
        """Return whether a wire has to be pierced for a reading."""
        unplugged = measurement.situation.unplugged
        points = (measurement.plus, measurement.minus)
        return bool(measurement.minus) and any(
            self.efforts.place(point, unplugged) == PIERCED for point in points
        )
