"""The way of each wire through the branches: which pieces of which branch, and how long in all."""

from __future__ import annotations

import heapq
from collections.abc import Iterable, Mapping

from circuitcheck.model.branch import Branch
from circuitcheck.model.connector import Connector
from circuitcheck.model.harness import Harness, Part
from circuitcheck.model.terminal import Terminal
from circuitcheck.model.tolerance_band import Band
from circuitcheck.model.wire import Wire
from circuitcheck.record import record

UNMEASURED_M = 1.0
"""Stands for the length of a branch that is not measured when the shorter way is looked for."""


@record
class Section:
    """A piece of a branch between two neighbouring places on it; `index` counts from its start.

    `length_m` is None where the branch, or a part on it, is not measured.
    """

    branch: str
    index: int
    start: str
    end: str
    length_m: Band | None


@record
class Way:
    """The sections that one wire runs through, in order; no section where both ends are one place.

    `length_m` is their sum, None where one of them is not measured.
    """

    wire: str
    sections: tuple[Section, ...]

    @property
    def branches(self) -> tuple[str, ...]:
        """Names of the branches, in order, each once."""
        return tuple(dict.fromkeys(section.branch for section in self.sections))

    @property
    def length_m(self) -> Band | None:
        """Sum of the sections. [m]"""
        bands = [s.length_m for s in self.sections if s.length_m is not None]
        if len(bands) < len(self.sections):
            return None
        return Band(
            sum(band.lower for band in bands),
            sum(band.nominal for band in bands),
            sum(band.upper for band in bands),
        )


def place_of(terminal: Terminal, parts: Mapping[str, Part]) -> str:
    """Return the place of a terminal: its part, of a connector the half (`X1.plug`)."""
    part = parts.get(terminal.part)
    if isinstance(part, Connector):
        return f"{terminal.part}.{terminal.name.partition('.')[0]}"
    return terminal.part


def sections_of(branch: Branch) -> tuple[Section, ...]:
    """Return the sections of a branch, from its start to its end.

    Parts without a measured place come in the order they are listed; a branch with such a part
    has no measured sections.
    """
    inline = branch.inline
    whole = branch.length_m
    measured = whole is not None and all(one.at_m is not None for one in inline)
    if measured:
        inline = tuple(sorted(inline, key=lambda one: one.at_m or 0.0))
    places = [branch.start, *(one.part for one in inline), branch.end]
    marks = [0.0, *(one.at_m or 0.0 for one in inline)]
    lengths: list[Band | None] = []
    for index in range(len(places) - 1):
        if whole is None or not measured:
            lengths.append(None)
        elif index < len(inline):
            lengths.append(Band.exact(marks[index + 1] - marks[index]))
        else:
            # The tolerance of a branch lies in its last piece: parts sit where they are said to.
            rest = marks[-1]
            lengths.append(
                Band(
                    max(whole.lower - rest, 0.0),
                    max(whole.nominal - rest, 0.0),
                    max(whole.upper - rest, 0.0),
                )
            )
    return tuple(
        Section(branch.name, index, places[index], places[index + 1], length)
        for index, length in enumerate(lengths)
    )


def wire_ways(harness: Harness) -> dict[str, Way]:
    """Return the way of each wire whose two ends the branches join; others have none.

    A wire goes the way that its `way` names, else the shortest.
    """
    sections = [s for branch in harness.branches.values() for s in sections_of(branch)]
    whole = _near(sections)
    found = {}
    for wire in harness.wires.values():
        near = _near(s for s in sections if s.branch in wire.way) if wire.way else whole
        passed = _between(near, wire, harness.parts)
        if passed is not None:
            found[wire.name] = Way(wire.name, passed)
    return found


def way_through(wire: Wire, sections: Iterable[Section], parts: Mapping[str, Part]) -> Way | None:
    """Return the way of one wire along these sections, None where they do not join its ends."""
    passed = _between(_near(sections), wire, parts)
    return None if passed is None else Way(wire.name, passed)


Near = Mapping[str, list[tuple[Section, str]]]
"""Sections that leave each place, with the place that each leads to."""


def _near(sections: Iterable[Section]) -> Near:
    near: dict[str, list[tuple[Section, str]]] = {}
    for section in sections:
        near.setdefault(section.start, []).append((section, section.end))
        near.setdefault(section.end, []).append((section, section.start))
    return near


def _between(near: Near, wire: Wire, parts: Mapping[str, Part]) -> tuple[Section, ...] | None:
    return _shortest(near, place_of(wire.start, parts), place_of(wire.end, parts))


def _shortest(near: Near, start: str, end: str) -> tuple[Section, ...] | None:
    """Return the sections of the shortest way (Dijkstra), fewest first where lengths are alike."""
    waiting: list[tuple[float, int, int, str]] = [(0.0, 0, 0, start)]
    came: dict[str, tuple[Section, str]] = {}
    best: dict[str, tuple[float, int]] = {start: (0.0, 0)}
    done: set[str] = set()
    count = 0
    while waiting:
        length, steps, _, place = heapq.heappop(waiting)
        if place == end:
            return _back(came, start, end)
        if place in done:
            continue
        done.add(place)
        for section, other in near.get(place, []):
            more = UNMEASURED_M if section.length_m is None else section.length_m.nominal
            ahead = (length + more, steps + 1)
            if other not in best or ahead < best[other]:
                best[other], came[other] = ahead, (section, place)
                count += 1
                heapq.heappush(waiting, (*ahead, count, other))
    return None


def _back(came: Mapping[str, tuple[Section, str]], start: str, end: str) -> tuple[Section, ...]:
    """Return the sections passed, from where each place was reached."""
    passed: list[Section] = []
    place = end
    while place != start:
        section, place = came[place]
        passed.append(section)
    return tuple(reversed(passed))


def wires_in(ways: Iterable[Way]) -> dict[tuple[str, int], tuple[str, ...]]:
    """Return the wires that lie in each section, by branch and index of the section."""
    found: dict[tuple[str, int], list[str]] = {}
    for way in ways:
        for section in way.sections:
            found.setdefault((section.branch, section.index), []).append(way.wire)
    return {key: tuple(names) for key, names in found.items()}
