"""Branches from their fields, and what they say of parts, zones and wires that must be so."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from typing import TypeVar

from circuitcheck.model.branch import (
    NO_CLIPS,
    USUAL_SLACK,
    Branch,
    Clips,
    Covering,
    Grommet,
    Inline,
    Slack,
)
from circuitcheck.model.connector import HALVES
from circuitcheck.model.harness import Harness, Part
from circuitcheck.model.tolerance_band import Band
from circuitcheck.model.ways import sections_of, way_through, wire_ways, wires_in
from circuitcheck.model.wire import Wire
from circuitcheck.read.forms.fields import Given
from circuitcheck.read.parts.part_context import PartContext
from circuitcheck.read.reading import Place, Reading
from circuitcheck.read.tables import WireGiven
from circuitcheck.read.wires import Landing
from circuitcheck.read.zones import range_text
from circuitcheck.record import record

T = TypeVar("T")
_SAME_M = 1e-9


def build_slack(given: Given) -> Slack:
    """Return how much longer a wire is cut than it lies."""
    usual = USUAL_SLACK
    return Slack(
        given.value("along", float, usual.share),
        given.value("each_end", float, usual.each_end_m),
        given.has("along") or given.has("each_end"),
    )


def build_branches(
    tables: Mapping[str, Given], parts: Mapping[str, Landing], context: PartContext
) -> dict[str, Branch]:
    """Return the branches whose ends exist; every other one is reported."""
    ends = Counter(
        str(end)
        for given in tables.values()
        for end in (given.values.get("from"), given.values.get("to"))
    )
    reader = _Reader(parts, context, ends)
    built = {name: reader.branch(name, given) for name, given in tables.items()}
    _refuse_two_places(tables, built)
    return {name: branch for name, branch in built.items() if branch is not None}


@record
class _Reader:
    """Reads one branch after the other; `ends` counts how often each place ends a branch."""

    parts: Mapping[str, Landing]
    context: PartContext
    ends: Mapping[str, int]

    def branch(self, name: str, given: Given) -> Branch | None:
        """Return one branch; None where anything of it was refused."""
        places = [self._end(given, key) for key in ("from", "to")]
        zone = self._zone(given)
        length = given.optional("length", Band)
        if given.is_unknown("length"):
            given.assume("length", "not measured")
        longest_m = None if length is None else length.upper
        record = Branch(
            name=name,
            start=given.value("from", str, ""),
            end=given.value("to", str, ""),
            length_m=length,
            zone=zone,
            covering=_covering(given),
            clips=_clips(given, longest_m),
            grommets=_along(given, "grommets", longest_m, _grommet),
            inline=_along(given, "inline", longest_m, self._inline),
        )
        if given.broken or not all(places):
            return None
        if record.start == record.end:
            given.at("to").problem(f"both ends are at {record.end}", "Give two different places.")
            return None
        return record

    def _end(self, given: Given, key: str) -> bool:
        """Report an end that is neither a part nor a place where branches meet."""
        place = given.optional(key, str)
        if place is None:
            return False
        name, _, half = place.partition(".")
        found = self.parts.get(name)
        at = given.at(key)
        if found is None:
            return self._breakout(at, place, name, half)
        if found.kind == "connector" and not half:
            halves = " or ".join(f'"{name}.{word}"' for word in HALVES)
            at.problem(f"{name} is a connector and has two halves", f"Write {halves}.")
            return False
        if half and found.kind not in ("connector", "part"):
            at.problem(f"{name} is a {found.kind} and has no halves", f'Write "{name}".')
            return False
        return True

    def _breakout(self, at: Place, place: str, name: str, half: str) -> bool:
        """Report a name that no part bears and where no other branch meets this one."""
        if half or self.ends.get(place, 0) < 2:
            at.problem(
                f'there is no part "{name}", and no other branch meets at it',
                at.hint(name, self.parts) or "Name a part, or a breakout where branches meet.",
            )
            return False
        return True

    def _zone(self, given: Given) -> str:
        context = self.context
        stated = given.optional("zone", str)
        if stated is not None:
            context.check_zone(given.at("zone"), stated)
            return stated
        ends = [given.value(key, str, "").partition(".")[0] for key in ("from", "to")]
        zones = {self.parts[name].zone for name in ends if name in self.parts}
        if len(context.zones) == 1:
            zones = set(context.zones)
        if len(zones) == 1 and not given.is_unknown("zone"):
            return next(iter(zones))
        given.assume("zone", "anywhere: the extremes of all zones")
        return context.anywhere

    def _inline(self, given: Given) -> Inline:
        name = given.value("part", str, "")
        if name and name not in self.parts:
            given.at("part").problem(
                f'there is no part "{name}"',
                given.place.hint(name, self.parts) or f"Add [part.{name}], or name another.",
            )
        elif name and self.parts[name].kind == "connector":
            given.at("part").problem(
                f"{name} is a connector", "End one branch at its plug, another at its receptacle."
            )
        if given.is_unknown("at"):
            given.assume("at", "not measured")
        return Inline(name, given.optional("at", float))


def _covering(given: Given) -> Covering | None:
    table = given.optional("covering", Given)
    if table is None:
        if given.is_unknown("covering"):
            given.assume("covering", "not given")
        return None
    if table.is_unknown("size"):
        table.assume("size", "not given")
    return Covering(table.value("kind", str, "none"), table.optional("size", float))


def _clips(given: Given, longest_m: float | None) -> Clips:
    table = given.optional("clips", Given)
    if table is None:
        return NO_CLIPS
    if table.has("every") == table.has("at") and not table.broken:
        table.place.problem("clips take either `every` or `at`", "Give one of the two.")
    places = tuple(place for place in table.value("at", tuple, ()) if isinstance(place, float))
    for index, place in enumerate(places):
        _check_within(table.at("at").inside(index), place, longest_m)
    return Clips(table.optional("every", float), tuple(sorted(places)))


def _grommet(given: Given) -> Grommet:
    if given.is_unknown("hole"):
        given.assume("hole", "not given")
    return Grommet(
        given.value("at", float, 0.0), given.value("panel", str, ""), given.optional("hole", float)
    )


def _along(
    given: Given, key: str, longest_m: float | None, make: Callable[[Given], T]
) -> tuple[T, ...]:
    """Return what sits on a branch; whatever lies beyond its end is reported."""
    made = []
    for table in given.value(key, tuple, ()):
        if isinstance(table, Given):
            made.append(make(table))
            at_m = table.optional("at", float)
            if at_m is not None:
                _check_within(table.at("at"), at_m, longest_m)
    return tuple(made)


def _check_within(at: Place, place_m: float, longest_m: float | None) -> None:
    if longest_m is not None and place_m > longest_m + _SAME_M:
        shown = range_text(Band.exact(place_m), "m")
        whole = range_text(Band.exact(longest_m), "m")
        at.problem(f"{shown} lies beyond the branch", f"The branch is {whole} long.")


def _refuse_two_places(tables: Mapping[str, Given], built: Mapping[str, Branch | None]) -> None:
    """Report a part that sits on two branches, or on one and at the end of another."""
    ends = {end for branch in built.values() if branch for end in (branch.start, branch.end)}
    sits: dict[str, str] = {}
    for name, branch in built.items():
        for index, one in enumerate(branch.inline if branch else ()):
            at = tables[name].at("inline").inside(index).inside("part")
            if one.part in sits or one.part in ends:
                where = (
                    f"on branch {sits[one.part]}" if one.part in sits else "at an end of a branch"
                )
                at.problem(f"{one.part} already sits {where}", "Give each part one place.")
            sits[one.part] = name


def bundled_by_branches(
    harness: Harness, given: Iterable[WireGiven], reading: Reading
) -> dict[str, Wire]:
    """Return the wires, each with as many together as lie in the fullest piece of its way.

    What a wire's own `bundled` says, and the cores of a cable, stay; so does a wire that lies in no
    branch.
    """
    wires = dict(harness.wires)
    if not harness.branches:
        return wires
    open_ones = {w.name: w for w in given if w.cable is None and "bundled" not in w.own.values}
    ways = wire_ways(harness)
    together = wires_in(ways.values())
    for name, way in ways.items():
        if name not in open_ones or not way.sections:
            continue
        fullest = max(way.sections, key=lambda s: len(together[s.branch, s.index]))
        count = len(together[fullest.branch, fullest.index])
        for taken in [a for a in reading.assumptions if (a.subject, a.key) == (name, "bundled")]:
            del reading.assumptions[taken]
        said = f"{count} wires together" if count > 1 else "alone"
        open_ones[name].own.assume("bundled", f"{said} in branch {fullest.branch}")
        wires[name] = replace(wires[name], bundled=count)
    return wires


def check_ways(
    reading: Reading,
    wires: Mapping[str, Wire],
    branches: Mapping[str, Branch],
    parts: Mapping[str, Part],
) -> None:
    """Report every `way` that names no branch, or that does not lead from end to end."""
    written = reading.source.tables.get("branch", {})
    named = tuple(written) if isinstance(written, dict) else ()
    for wire in wires.values():
        if not wire.way:
            continue
        table = ("cable", wire.cable) if wire.cable else ("wire", wire.name)
        at = Place(reading, (*table, "way"))
        for name in wire.way:
            if name not in named:
                known = f"Branches: {', '.join(named)}." if named else f"Add [branch.{name}]."
                at.problem(f'there is no branch "{name}"', at.hint(name, named) or known)
        if any(name not in branches for name in wire.way):
            continue
        sections = [s for name in wire.way for s in sections_of(branches[name])]
        way = way_through(wire, sections, parts)
        if way is None or way.branches != wire.way:
            at.problem(
                f"these branches do not lead from {wire.start} to {wire.end} in this order",
                "Name every branch from one end to the other, or leave `way` out.",
            )
