"""Sections that are tried for their room before the sheets are settled."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from circuitcheck.drawing.geometry import Box
from circuitcheck.drawing.layout.columns import columns_of
from circuitcheck.drawing.layout.cutting import Section, Units, section_of
from circuitcheck.drawing.layout.diagram import MOST_LABEL_LINES, room_where
from circuitcheck.drawing.layout.lanes import Lanes, lanes_of
from circuitcheck.drawing.layout.layout import put_in_order
from circuitcheck.drawing.layout.least_room import least_in, likely_height_mm
from circuitcheck.drawing.layout.parting import Group
from circuitcheck.drawing.layout.reference_letters import letter
from circuitcheck.drawing.layout.room import Room
from circuitcheck.drawing.marks import Notes

_WIDER, _HIGHER = 1.02, 1.15
"""Ordered and with its lines a section is so much larger than its least room, or more; seen on
some 2000 sections of generated harnesses, of which 2 were smaller. One that is refused for this
although it would have room costs part of a sheet, nothing else."""
_LOWER = 1.1
"""So much lower than expected a section may come out. (1 % of those that had room on a sheet came
out lower still: it costs part of a sheet.)"""
_CLEARLY, _GROWN = 0.8, 1.08
"""A section that is expected to take so much of a sheet's height, and grown so much in width, has
room on it, save a few (2 %), which are found out before they are drawn."""
_MAY_ERR, _MEAN_MAY_ERR = 1.05, 1.025
"""So much lower than expected two parts together may come out, and than the mean of what is
expected of them and of their layers. (2 % of some 730 that had room on one sheet came out lower
still.)"""
_FULL, _HIGH = 1.0, 1.2
"""Two parts that take more of a sheet's area or height between them are not tried on one. It could
be done: of some 450 pairs over the area 2 had room, of some 1000 over the height 19."""


class Trials:
    """Sections that were tried for their room, each cut and laid out once."""

    def __init__(self, units: Units, notes: Notes, widest: str):
        self.units, self.notes, self.widest = units, notes, widest
        self._pieces: dict[tuple[object, ...], Any] = {}
        self._sections: dict[frozenset[int], Section] = {}
        self._unordered: dict[frozenset[int], Lanes] = {}
        self._lanes: dict[frozenset[int], Lanes] = {}
        self._least: dict[frozenset[int], tuple[Box, float]] = {}
        self._largest: dict[frozenset[int], Box] = {}

    def section(self, group: Group) -> Section:
        """Return the section that has these units."""
        key = frozenset(group)
        if key not in self._sections:
            self._sections[key] = section_of(self.units, group)
        return self._sections[key]

    def unordered(self, group: Group) -> Lanes:
        """Return its lanes in any order; references keep the widest room they may need."""
        key = frozenset(group)
        if key not in self._unordered:
            section = self.section(group)
            letter([section], self.widest)
            self._unordered[key] = lanes_of(columns_of(section.diagram), self._pieces)
        return self._unordered[key]

    def lanes(self, group: Group) -> Lanes:
        """Return its lanes in their order."""
        key = frozenset(group)
        if key not in self._lanes:
            self._lanes[key] = self.unordered(group)
            put_in_order(self._lanes[key], self.notes)
        return self._lanes[key]

    def least(self, group: Group) -> Box:
        """Return a box that is no larger than the section's room."""
        return self._judged(group)[0]

    def _judged(self, group: Group) -> tuple[Box, float]:
        """Return the same and how high the section will likely be."""
        key = frozenset(group)
        if key not in self._least:
            room = Room(self.unordered(group), self.widest_notes(group), MOST_LABEL_LINES)
            self._least[key] = least_in(room), likely_height_mm(room)
        return self._least[key]

    def together(self, first: Group, second: Group) -> Box:
        """Return the room that two parts together are expected to take at the least.

        What ordering them added to the least room of one of them, it adds to that of both.
        """
        both, likely = self._judged((*first, *second))
        taken = [(self.largest(part), self.least(part)) for part in (first, second)]
        width = both.width + max(large.width - least.width for large, least in taken)
        height = both.height + max(large.height - least.height for large, least in taken)
        mean = (height + likely) / 2.0
        return Box(0.0, 0.0, width, max(height / _MAY_ERR, mean / _MEAN_MAY_ERR))

    def leave_room(self, first: Group, second: Group, width_mm: float, height_mm: float) -> bool:
        """Return whether two parts that have room may have it on one sheet, by what each takes."""
        boxes = self.largest(first), self.largest(second)
        area = sum(box.width * box.height for box in boxes)
        height = sum(box.height for box in boxes)
        return area <= _FULL * width_mm * height_mm and height <= _HIGH * height_mm

    def largest(self, group: Group) -> Box:
        """Return the section's room when it comes out as large as it can.

        That is what is expected as long as the section was not laid out.
        """
        key = frozenset(group)
        if key in self._largest:
            return self._largest[key]
        least, likely = self._judged(group)
        return Box(0.0, 0.0, _GROWN * least.width, likely)

    def clearly_has_room(self, group: Group, holds: Callable[[Box], bool]) -> bool:
        """Return whether the section very likely has room, without laying it out."""
        least, likely = self._judged(group)
        return holds(Box(0.0, 0.0, _GROWN * least.width, likely / _CLEARLY))

    def has_room(self, group: Group, holds: Callable[[Box], bool]) -> bool:
        """Return whether the section has room even where it comes out as large as it can."""
        key = frozenset(group)
        if key not in self._largest:
            least, likely = self._judged(group)
            high = max(_HIGHER * least.height, likely / _LOWER)
            grown = Box(0.0, 0.0, _WIDER * least.width, high)
            taken = None
            if holds(grown):
                taken = room_where(holds, self.lanes(group), self.widest_notes(group))
            if taken is None:
                self._forget(key)
                return False
            self._largest[key] = taken
        return holds(self._largest[key])

    def _forget(self, key: frozenset[int]) -> None:
        """Give free what was worked out for a section that is not asked for again."""
        for kept in (self._sections, self._unordered, self._lanes):
            kept.pop(key, None)

    def widest_notes(self, group: Group) -> Notes:
        """Return the notes with which the section's titles are as long as they can get."""
        nodes = self.section(group).diagram.nodes
        return replace(self.notes, shown_in={n.family: (0, 9) for n in nodes if n.family})
