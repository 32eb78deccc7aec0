"""What a routing drawing says in words: of each branch, of each place, of what sits on a branch."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import cached_property

from circuitcheck.drawing.layout.sleeves import length_text
from circuitcheck.drawing.marks import Notes
from circuitcheck.drawing.text_size import shortened
from circuitcheck.formulas.bundle_diameter import bundle_diameter_m
from circuitcheck.model.assumed_branches import branches_of, is_named
from circuitcheck.model.branch import Branch, Grommet, Inline
from circuitcheck.model.connector import Connector
from circuitcheck.model.fuse import Fuse
from circuitcheck.model.harness import Harness
from circuitcheck.model.library import Library
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.solenoid_coil import SolenoidCoil
from circuitcheck.model.ways import Way, place_of, wire_ways, wires_in
from circuitcheck.model.workshop import outside_m
from circuitcheck.record import record

MM = 1000.0
NAME_LETTERS = 16
JACKET_M = 0.0008
"""Wall of a cable's jacket: common practice, no source."""
_MOST_NAMED = 6


@record
class Content:
    """A harness with its branches, the ways of its wires and the notes on what fails."""

    harness: Harness
    library: Library
    notes: Notes

    @cached_property
    def branches(self) -> tuple[Branch, ...]:
        """Branches of the file, or those assumed."""
        return branches_of(self.harness)

    @cached_property
    def is_assumed(self) -> bool:
        """Whether the file gives no branches."""
        return not self.harness.branches

    @cached_property
    def ways(self) -> Mapping[str, Way]:
        """Way of each wire that lies in the branches."""
        named = {branch.name: branch for branch in self.branches}
        return wire_ways(replace(self.harness, branches=named))

    @cached_property
    def _in_sections(self) -> Mapping[tuple[str, int], tuple[str, ...]]:
        return wires_in(self.ways.values())

    def loose(self) -> tuple[str, ...]:
        """Return the wires that lie in no branch."""
        return tuple(name for name in self.harness.wires if name not in self.ways)

    @cached_property
    def _in_branches(self) -> Mapping[str, tuple[tuple[str, ...], ...]]:
        """Wires of each section, by branch."""
        found: dict[str, list[tuple[str, ...]]] = {}
        for (branch, _), wires in self._in_sections.items():
            found.setdefault(branch, []).append(wires)
        return {branch: tuple(sections) for branch, sections in found.items()}

    def wires_of(self, branch: Branch) -> tuple[str, ...]:
        """Return the wires that lie in a branch, in file order."""
        found = {wire for wires in self._in_branches.get(branch.name, ()) for wire in wires}
        return tuple(sorted(found, key=self._order.__getitem__))

    @cached_property
    def _order(self) -> Mapping[str, int]:
        return {name: number for number, name in enumerate(self.harness.wires)}

    def diameter_m(self, branch: Branch) -> float | None:
        """Return the outside diameter of the bundle where it is thickest, None if not known. [m]"""
        thickest: float | None = None
        for wires in self._in_branches.get(branch.name, ()):
            size = self._bundle_m(wires)
            if size is None:
                return None
            thickest = max(thickest or 0.0, size)
        return thickest

    def _bundle_m(self, wires: Sequence[str]) -> float | None:
        """Return the diameter of wires laid together; cores of a cable lie in its jacket. [m]"""
        cores: dict[str, list[float]] = {}
        for name in wires:
            wire = self.harness.wires[name]
            size = outside_m(wire, self.library)
            if size is None:
                return None
            cores.setdefault(wire.cable or "", []).append(size)
        round_ones = cores.pop("", [])
        round_ones += [bundle_diameter_m(of) + 2.0 * JACKET_M for of in cores.values()]
        return bundle_diameter_m(round_ones)

    def _counted(self, branch: Branch) -> str:
        """Return how many wires lie together where the branch is fullest, and in which cables."""
        fullest = max(self._in_branches.get(branch.name, ()), key=len, default=())
        cables = dict.fromkeys(self.harness.wires[name].cable for name in fullest)
        said = _count(len(fullest), "wire") if fullest else "no wire"
        if len(self.wires_of(branch)) > len(fullest) > 1:
            said = f"up to {said}"
        named = [shortened(cable, 10) for cable in cables if cable is not None]
        return f"{said} (cable {', '.join(named)})" if named else said

    def fails_in(self, branch: Branch) -> tuple[tuple[str, int], ...]:
        """Return wires that fail with their signs, each in the longest of its branches."""
        found = []
        for name in self.wires_of(branch):
            number = self.notes.get(name)
            if number is not None and self._shown_on(name) == branch.name:
                found.append((name, number))
        return tuple(found)

    def _shown_on(self, wire: str) -> str:
        sections = self.ways[wire].sections
        lengths: dict[str, float] = {}
        for section in sections:
            length_m = section.length_m.nominal if section.length_m else 0.0
            lengths[section.branch] = lengths.get(section.branch, 0.0) + length_m
        return max(lengths, key=lambda name: lengths[name])

    def length_words(self, branch: Branch) -> str:
        """Return the length along the branch in figures; of an assumed one nothing."""
        if branch.length_m is None:
            return "" if branch.assumed else "? m"
        shown = length_text(branch.length_m.nominal, self.notes)
        exact = branch.length_m.lower == branch.length_m.upper
        return shown if exact else f"about {shown}"

    def branch_lines(self, branch: Branch) -> list[str]:
        """Return what is written below a branch: wires and thickness, covering, clips."""
        words = [] if branch.assumed else [shortened(branch.name, NAME_LETTERS)]
        words.append(self._counted(branch))
        size = self.diameter_m(branch)
        if size is not None:
            words.append(f"Ø {size * MM:.1f} mm")
        lines = [" · ".join(words)]
        if branch.assumed and self.wires_of(branch):
            lines.append(self._lengths(branch))
        lines += self._covering(branch, size)
        lines += self._clips(branch)
        return lines

    def _lengths(self, branch: Branch) -> str:
        """Return the lengths of the wires in an assumed branch: the little that is known of it."""
        wires = [n for n in self.wires_of(branch) if not self.notes.is_unknown(n, "length")]
        lengths = [self.harness.wires[name].length_m.nominal for name in wires]
        if not lengths:
            return "lengths not known"
        least, most = (length_text(end, self.notes) for end in (min(lengths), max(lengths)))
        alone = least == most
        if alone and len(lengths) == 1:
            return f"{least} long"
        return f"each {least} long" if alone else f"{least} to {most} long"

    def _covering(self, branch: Branch, size: float | None) -> list[str]:
        covering = branch.covering
        if covering is None or covering.kind == "none":
            return []
        if covering.size_m is None:
            return [covering.kind]
        lines = [f"{covering.kind} {covering.size_m * MM:g} mm"]
        if size is not None and size > covering.size_m:
            lines.append("too narrow for the bundle")
        return lines

    def _clips(self, branch: Branch) -> list[str]:
        places = branch.clip_places_m
        if branch.clips.every_m is not None:
            return [f"{_count(len(places), 'clip')}, every {self._short(branch.clips.every_m)}"]
        if not places:
            return []
        if len(places) > 3:
            return [f"{len(places)} clips"]
        return ["clips at " + ", ".join(f"{place:g}" for place in places) + " m"]

    def _short(self, length_m: float) -> str:
        return self.notes.in_units(f"{length_m:.2f} m")

    def zone_words(self, zone: str) -> str:
        """Return the band's heading: `cab: -10 to 45 °C`."""
        found = self.harness.zones.get(zone)
        if found is None:
            return shortened(zone, NAME_LETTERS)
        band = found.ambient_c
        ends = [self.notes.in_units(f"{end:g} degC") for end in (band.lower, band.upper)]
        ends = [end.replace(" degC", " °C").replace(" degF", " °F") for end in ends]
        unit = ends[0][-3:]
        said = f"{shortened(zone, NAME_LETTERS)}: {ends[0].removesuffix(unit)} to {ends[1]}"
        said = said.replace(" -", " −")
        extra = [word for word, yes in (("engine", found.engine_space), ("wet", found.wet)) if yes]
        return ", ".join([said, *(word for word in extra if word != zone)])

    def inline_lines(self, inline: Inline, branch: Branch) -> list[str]:
        """Return what is written above a part that sits on a branch."""
        part = self.harness.parts.get(inline.part)
        lines = [shortened(inline.part, NAME_LETTERS)]
        if isinstance(part, Fuse):
            lines.append(f"{part.row.rating_a:g} A")
        elif part is not None and part.kind != "splice":
            lines.append(part.kind)
        if inline.at_m is not None:
            lines.append(f"at {self._short(inline.at_m)}")
        elif not branch.assumed:
            lines.append("at ? m")
        return lines

    def grommet_lines(self, grommet: Grommet) -> list[str]:
        """Return what is written above a grommet."""
        hole = "" if grommet.hole_m is None else f", hole {grommet.hole_m * MM:g} mm"
        return [
            shortened(grommet.panel, 24),
            f"grommet{hole}",
            f"at {self._short(grommet.at_m)}",
        ]

    def place_lines(self, place: str) -> list[str]:
        """Return what is written in the box of a place: name, kind, what it moves, its wires."""
        name, _, half = place.partition(".")
        part = self.harness.parts.get(name)
        if part is None:
            return [shortened(place, NAME_LETTERS)] if is_named(place) else []
        shown = shortened(name, NAME_LETTERS)
        if isinstance(part, Connector):
            said = part.socket or _count(part.cavities, "cavity", "cavities")
            lines = [f"{shown} {half}", said]
        elif isinstance(part, Fuse):
            lines = [shown, f"fuse {part.row.rating_a:g} A"]
        else:
            lines = [shown, part.kind]
        if isinstance(part, SolenoidCoil | PullHoldCoil) and part.moves.movement:
            lines.append(part.moves.movement)
        wires = self._landing(place)
        if not wires:
            return lines
        many = len(wires) > _MOST_NAMED
        return [*lines, f"{len(wires)} wires" if many else " ".join(wires)]

    def _landing(self, place: str) -> list[str]:
        return [shortened(name, 10) for name in self._landed.get(place, ())]

    @cached_property
    def _landed(self) -> Mapping[str, tuple[str, ...]]:
        """Wires that land at each place, in file order."""
        found: dict[str, dict[str, None]] = {}
        for wire in self.harness.wires.values():
            for end in (wire.start, wire.end):
                found.setdefault(place_of(end, self.harness.parts), {})[wire.name] = None
        return {place: tuple(names) for place, names in found.items()}


def _count(number: int, one: str, many: str = "") -> str:
    return f"1 {one}" if number == 1 else f"{number} {many or one + 's'}"
