"""The test sheet of a harness: which readings, in which order, in which switch positions.

Order: supply off; key off; key on with nothing pressed; each position that works something, with as
few changes as there are coils and lamps; the same under load along the wires; engine running;
cranking. Within a position from the battery by tap, fuse and handle to the load, and back to minus.
A point is asked for where its band shares nothing with that of the step before, so that the reading
tells something; `every` asks for all points in all positions. Where a position feeds a pull winding
that may not stay on, nothing is read soaked, and no meter where its time is too short for one.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from circuitcheck.circuit.netlist import HOLDING, PULLING, WINDINGS, Network
from circuitcheck.circuit.positions import Position
from circuitcheck.faults.full_network import FullNetwork
from circuitcheck.model.harness import Harness
from circuitcheck.model.library import Library
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.reading import Situation
from circuitcheck.model.supply_tap import SupplyTap
from circuitcheck.model.tolerance_band import Band
from circuitcheck.readings import sheet_records as r
from circuitcheck.readings.pulled_coils import is_too_brief_to_read, pulled_coils
from circuitcheck.readings.sheet_bands import (
    ENGINE_OFF,
    RUNNING,
    solved_cold,
    solved_with,
    supplied_by,
)
from circuitcheck.readings.sheet_dead import coil_lines, first_fed, fuse_lines, path_line
from circuitcheck.readings.sheet_live import (
    Meters,
    across_lines,
    current_lines,
    drop_lines,
    look_ahead,
    point_lines,
    posts_line,
    return_lines,
    seen_lines,
    ways_in,
    works,
)
from circuitcheck.readings.sheet_positions import sheet_positions
from circuitcheck.readings.sheet_records import ReadingSheet, SheetLine, SheetStep
from circuitcheck.readings.sheet_walk import Way, newly_joined, stops_on
from circuitcheck.record import record
from circuitcheck.solve.position_solution import PositionSolution
from circuitcheck.solve.solution import COLD_START, HEAT_SOAKED
from circuitcheck.solve.worst_case import Solution

USUAL_AIR_C = 20.0
METERS = ("digital voltmeter", "clamp ammeter", "ohmmeter")


def expected_readings(
    harness: Harness, library: Library, *, air_c: float = USUAL_AIR_C, every: bool = False
) -> ReadingSheet:
    """Return the test sheet. `air_c` is the air in which coils are measured unplugged. [degC]"""
    plan = _Plan(harness, library, every)
    steps = [*plan.dead(air_c), *plan.key_off(), *plan.key_on(), *plan.pressed()]
    steps += [*plan.drops(), *plan.running(), *plan.cranking()]
    return ReadingSheet(
        harness,
        tuple(step for step in steps if step.lines),
        air_c,
        every,
        METERS,
    )


@record
class _Visit:
    """One position with what it works."""

    solved: PositionSolution
    ways: tuple[Way, ...]
    pulled: tuple[PullHoldCoil, ...] = ()

    @property
    def name(self) -> str:
        return self.solved.position.name

    @property
    def is_metered(self) -> bool:
        """Whether the position may be held for as long as a meter needs."""
        return not is_too_brief_to_read(self.pulled)


class _Plan:
    def __init__(self, harness: Harness, library: Library, every: bool) -> None:
        self.harness, self.library, self.every = harness, library, every
        self.meters = Meters(*(library.instrument(name) for name in METERS))
        alone = supplied_by(harness, ENGINE_OFF)
        self.positions = sheet_positions(alone, library, every=every)
        self.cold = solved_cold(harness, library, ENGINE_OFF, self.positions.all)
        self.rest = self._visit(self.cold, self.positions.rest)
        self.chosen = [self._visit(self.cold, one) for one in self.positions.pressed]
        self.landed = tuple(
            dict.fromkeys(
                str(end) for wire in harness.wires.values() for end in (wire.start, wire.end)
            )
        )
        self.points = self._points()

    def _visit(self, solution: Solution, position: Position, state: str = COLD_START) -> _Visit:
        solved = _settled(solution, position.name, state)
        return _Visit(solved, ways_in(solved), pulled_coils(self.harness, solved.network))

    def _points(self) -> tuple[str, ...]:
        """Points to stop at, in the order of the walk."""
        ways = [way for visit in (self.rest, *self.chosen) for way in visit.ways]
        walked = [
            name
            for side in ([w.feed for w in ways], [w.back for w in ways])
            for terminals in side
            for name in (terminals if self.every else stops_on(self.harness, terminals))
            if "/" not in name
        ]
        others = self.landed if self.every else ()
        taps = [tap.name for tap in self.harness.of_kind(SupplyTap)]
        return tuple(dict.fromkeys((*taps, *walked, *others)))

    def _step(
        self, stage: str, visit: _Visit, lines: Iterator[SheetLine] | list[SheetLine],
        engine: str = ENGINE_OFF,
    ) -> SheetStep:  # fmt: skip
        on = works(self.harness, visit.ways)
        asked = [line for line in lines if visit.is_metered or line.kind == r.SEEN]
        pulled = tuple(coil.name for coil in visit.pulled)
        return SheetStep(stage, visit.name, engine, (), on, tuple(asked), pulled)

    def dead(self, air_c: float) -> Iterator[SheetStep]:
        """Supply off: fuses, coils unplugged, then the way to minus with the fuses out."""
        ohms = list(coil_lines(self.harness, self.meters.ohms, air_c))
        off = tuple(dict.fromkeys(line.of for line in ohms))
        lines = (*fuse_lines(self.harness), *ohms)
        rest = self.positions.key_off.name
        yield SheetStep(r.WIRED, rest, ENGINE_OFF, off, (), lines)
        fed = first_fed(self.harness)
        if fed is None:
            return
        out = frozenset(fed[1]) | frozenset(tap.name for tap in self.harness.of_kind(SupplyTap))
        full = FullNetwork(self.harness, self.library)
        for visit in (self.rest, *self.chosen):
            name = self._key_off_name(visit.solved.position)
            at = Situation(name, unplugged=out)
            line = path_line(full, self.meters.ohms, at, fed[0])
            yield SheetStep(r.WIRED, name, ENGINE_OFF, tuple(sorted(out)), (), (line,))

    def _key_off_name(self, position: Position) -> str:
        return position.name.replace("key on", "key off", 1)

    def key_off(self) -> Iterator[SheetStep]:
        """Key off: posts and taps, and whatever is live all the same."""
        name = self.positions.key_off.name
        solved = _settled(self.cold, name, COLD_START)
        live = solved.network.live
        visit = self._visit(self.cold, self.positions.key_off) if live else _Visit(solved, ())
        taps = [tap.name for tap in self.harness.of_kind(SupplyTap)]
        points = self.points if self.every else taps
        lines = [posts_line(self.harness, solved, self.meters)]
        lines += point_lines(self.harness, solved, points, self.meters)
        if visit.ways or self.every:
            lines += seen_lines(self.harness, visit.solved)
        yield self._step(r.KEY_OFF, visit, lines)

    def key_on(self) -> Iterator[SheetStep]:
        """Key on, nothing pressed: what has come live since, and that nothing works unasked."""
        visit = self.rest
        name = self.positions.key_off.name
        before = _settled(self.cold, name, COLD_START).network
        yield self._step(r.KEY_ON, visit, self._live_lines(visit, before))

    def pressed(self) -> Iterator[SheetStep]:
        """Each position that works something."""
        before = self.rest.solved.network
        for visit in self.chosen:
            measured = self._measured(visit)
            look_ahead(self.harness, visit.solved, measured, each=self.every)
            lines = list(self._live_lines(visit, before))
            lines += across_lines(visit.solved, measured, self.meters)
            lines += return_lines(self.harness, visit.solved, measured, self.meters)
            lines += self._currents(visit, "cold")
            yield self._step(r.PRESSED, visit, lines)

    def _measured(self, visit: _Visit) -> tuple[Way, ...]:
        """Return the ways that are measured along: of a light it is enough that it is seen."""
        return tuple(way for way in visit.ways if self.every or way.role in WINDINGS)

    def _currents(self, visit: _Visit, state: str) -> Iterator[SheetLine]:
        return current_lines(self.harness, visit.solved, visit.ways, self.meters, state)

    def _live_lines(self, visit: _Visit, before: Network) -> Iterator[SheetLine]:
        yield from seen_lines(self.harness, visit.solved)
        yield posts_line(self.harness, visit.solved, self.meters)
        new = newly_joined(before, visit.solved.network)
        # what is read across a load and along its return says all of its fed terminal
        ends = {end for way in self._measured(visit) for end in (way.fed, way.returned)}
        points = (
            self.points
            if self.every
            else [name for name in self.points if name in new and name not in ends]
        )
        yield from point_lines(self.harness, visit.solved, points, self.meters)

    def drops(self) -> Iterator[SheetStep]:
        """Drops along the wires with the load on; a stretch that two ways share comes once."""
        for visit in self.chosen:
            lines: dict[tuple[str, str], SheetLine] = {}
            for way in self._measured(visit):
                for line in drop_lines(
                    self.harness, visit.solved, way, self.meters, each=self.every
                ):
                    lines.setdefault((line.plus, line.minus), line)
            yield self._step(r.LOADED_DROP, visit, list(lines.values()))

    def running(self) -> Iterator[SheetStep]:
        """Engine running: posts, and each load cold and warm."""
        solution = solved_with(self.harness, self.library, RUNNING)
        for visit in self.chosen:
            position = visit.solved.position
            cold = self._visit(solution, position)
            lines = [posts_line(self.harness, cold.solved, self.meters)]
            across = list(across_lines(cold.solved, self._measured(cold), self.meters))
            amps = list(self._currents(cold, "cold"))
            if cold.pulled:  # a winding that may not stay on gets no chance to soak
                lines += [*(replace(line, coil_state="cold") for line in across), *amps]
            else:
                warm = self._visit(solution, position, HEAT_SOAKED)
                soaked = across_lines(warm.solved, self._measured(warm), self.meters)
                lines += _both(across, list(soaked))
                # on for minutes, a coil is anywhere between cold and as hot as its duty makes it
                lines += [*amps, *_both(list(self._currents(warm, "warm")), amps)]
            yield self._step(r.RUNNING, visit, lines, engine=RUNNING)

    def cranking(self) -> Iterator[SheetStep]:
        """Cranking: whether the tap stays live."""
        position = self.positions.cranking
        if position is None or self.harness.conditions.cranking_v is None:
            return
        # pull windings are on, as at the moment of cranking
        solved = self.cold.of(position.name, COLD_START, PULLING)
        visit = _Visit(solved, (), pulled_coils(self.harness, solved.network))
        taps = [tap.name for tap in self.harness.of_kind(SupplyTap)]
        lines = [posts_line(self.harness, visit.solved, self.meters)]
        lines += point_lines(self.harness, visit.solved, taps, self.meters)
        yield self._step(r.CRANKING, visit, lines, engine="cranking")


def _both(first: Sequence[SheetLine], second: Sequence[SheetLine]) -> Iterator[SheetLine]:
    """Yield lines with a band wide enough for both of two states."""
    others = {(line.plus, line.minus): line.expected for line in second}
    for line in first:
        one, other = line.expected, others.get((line.plus, line.minus))
        if one is None or other is None:
            yield line
            continue
        low, high = min(one.lower, other.lower), max(one.upper, other.upper)
        yield replace(line, expected=Band(low, one.nominal, high))


def _settled(solution: Solution, name: str, state: str) -> PositionSolution:
    """Return a position as it is after a moment: pull windings that something cuts out are off."""
    try:
        return solution.of(name, state, HOLDING)
    except KeyError:
        return solution.of(name, state, PULLING)
