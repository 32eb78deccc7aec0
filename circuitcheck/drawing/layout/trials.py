"""Sections that are tried for their room before the sheets are settled."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from circuitcheck.drawing.geometry import Box
from circuitcheck.drawing.layout.columns import columns_of
from circuitcheck.drawing.layout.cutting import Section, Units, sections_of
from circuitcheck.drawing.layout.diagram import MOST_LABEL_LINES, drawn_from, drawn_where
from circuitcheck.drawing.layout.lanes import Lanes, lanes_of
from circuitcheck.drawing.layout.layout import put_in_order
from circuitcheck.drawing.layout.least_room import least_unordered
from circuitcheck.drawing.layout.parting import Group
from circuitcheck.drawing.layout.reference_letters import letter
from circuitcheck.drawing.marks import Notes

_WIDER, _HIGHER = 1.02, 1.15
"""Ordered and with its lines a section is so much larger than its least room, or more; seen on
some 2000 sections of generated harnesses, of which 2 were smaller. One that is refused for this
although it would have room costs part of a sheet, nothing else."""
_MAY_ERR = 1.05
"""So much lower than expected two parts together may come out. (4 % of those that had room on one
sheet came out lower still.)"""


class Trials:
    """Sections that were tried for their room, each cut and laid out once."""

    def __init__(self, units: Units, notes: Notes, widest: str):
        self.units, self.notes, self.widest = units, notes, widest
        self._sections: dict[frozenset[int], Section] = {}
        self._unordered: dict[frozenset[int], Lanes] = {}
        self._lanes: dict[frozenset[int], Lanes] = {}
        self._least: dict[frozenset[int], Box] = {}
        self._largest: dict[frozenset[int], Box] = {}

    def section(self, group: Group) -> Section:
        """Return the section that has these units."""
        key = frozenset(group)
        if key not in self._sections:
            self._sections[key] = sections_of(self.units, [group])[0]
        return self._sections[key]

    def unordered(self, group: Group) -> Lanes:
        """Return its lanes in any order; references keep the widest room they may need."""
        key = frozenset(group)
        if key not in self._unordered:
            section = self.section(group)
            letter([section], self.widest)
            self._unordered[key] = lanes_of(columns_of(section.diagram))
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
        key = frozenset(group)
        if key not in self._least:
            lanes, notes = self.unordered(group), self._widest_notes(group)
            self._least[key] = least_unordered(lanes, notes, MOST_LABEL_LINES)
        return self._least[key]

    def together(self, first: Group, second: Group) -> Box:
        """Return the room that two parts together are expected to take at the least.

        What ordering them added to the least room of one of them, it adds to that of both.
        """
        both = self.least((*first, *second))
        taken = [(self.largest(part), self.least(part)) for part in (first, second)]
        width = max(large.width - least.width for large, least in taken)
        height = max(large.height - least.height for large, least in taken)
        return Box(0.0, 0.0, both.width + width, (both.height + height) / _MAY_ERR)

    def largest(self, group: Group) -> Box:
        """Return the section's room when it comes out as large as it can."""
        key = frozenset(group)
        if key not in self._largest:
            notes = self._widest_notes(group)
            self._largest[key] = drawn_from(self.lanes(group), notes, MOST_LABEL_LINES).box
        return self._largest[key]

    def has_room(self, group: Group, holds: Callable[[Box], bool]) -> bool:
        """Return whether the section has room even where it comes out as large as it can."""
        key = frozenset(group)
        if key not in self._largest:
            least = self.least(group)
            grown = Box(0.0, 0.0, _WIDER * least.width, _HIGHER * least.height)
            if not holds(grown):
                return False
            notes = self._widest_notes(group)
            drawn = drawn_where(holds, self.lanes(group), notes, MOST_LABEL_LINES)
            if drawn is None:
                return False
            self._largest[key] = drawn.box
        return holds(self._largest[key])

    def _widest_notes(self, group: Group) -> Notes:
        nodes = self.section(group).diagram.nodes
        return replace(self.notes, shown_in={n.family: (0, 9) for n in nodes if n.family})
