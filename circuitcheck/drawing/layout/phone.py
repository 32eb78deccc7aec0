"""The wiring diagram for a telephone: parts under one another on one narrow strip.

Each part is as wide as the strip and no higher than a screen; a line that goes on in another part
ends at a flag, as on paper.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from circuitcheck.drawing.geometry import LINE_MM, Box, Figure, Lettering, Stroke, box_around
from circuitcheck.drawing.layout.asked import Asked, asked_for
from circuitcheck.drawing.layout.cutting import units_of
from circuitcheck.drawing.layout.diagram import MOST_LABEL_LINES, drawn_from, drawn_where
from circuitcheck.drawing.layout.lanes import Lanes
from circuitcheck.drawing.layout.page import Drawn, Page
from circuitcheck.drawing.layout.parting import Group, parted
from circuitcheck.drawing.layout.reference_letters import letter
from circuitcheck.drawing.layout.references import OWNER
from circuitcheck.drawing.layout.sheet import PAD_MM, Margin, page_of
from circuitcheck.drawing.layout.sheets import frames_on_several, going_on, notes_by_section
from circuitcheck.drawing.layout.trials import Trials
from circuitcheck.drawing.marks import InUnits, Mark, Notes
from circuitcheck.drawing.paper import PHONE_MM, phone_paper
from circuitcheck.drawing.position_values import PositionValues
from circuitcheck.drawing.text_size import HEADING_MM
from circuitcheck.model.harness import Harness

PART_HIGH_MM = 240.0
_HEAD_MM, _AFTER_MM = 9.0, 7.0
FLAGS = "A flag with a letter: the line goes on at the flag with the same letter."


def layout_phone(
    harness: Harness,
    marks: Iterable[Mark] | None = None,
    in_units: InUnits = str,
    values: PositionValues | None = None,
) -> Page:
    """Return the wiring diagram as one strip, 160 mm wide and as long as it needs.

    With `values` it shows one switch position.
    """
    return phone_page(asked_for(harness, marks, in_units, values))


def phone_page(asked: Asked) -> Page:
    """Return what is asked for as one strip."""
    trials = Trials(units_of(asked.whole), asked.notes, _WIDEST)
    room = Margin(phone_paper(1000.0), asked.block, asked.legend(asked.whole)).area.width
    groups = parted(trials.units, _Screen(trials, room))
    sections = [trials.section(group) for group in groups]
    lanes = [trials.lanes(group) for group in groups]
    letter(sections, _WIDEST, lanes)
    notes = notes_by_section(lanes, asked.notes)
    parts = [_drawn(*each, room) for each in zip(lanes, notes, strict=True)]
    drawn = _strip(_with_places(parts), room)
    several = any(section.leaving for section in sections)
    before = [*([FLAGS] if several else []), *frames_on_several(sections, "in all parts")]
    margin = Margin(phone_paper(1000.0), asked.block, asked.legend(asked.whole, before))
    height = drawn.box.height + 1000.0 - margin.area.height
    wide = max(PHONE_MM, drawn.box.width + 2.0 * (PAD_MM + margin.paper.margin_mm))
    return page_of(drawn, replace(margin, paper=replace(phone_paper(height), width_mm=wide)))


class _Screen:
    """The screen for which a strip is parted: as wide as the strip, as high as is read at once."""

    def __init__(self, trials: Trials, width_mm: float):
        self.trials, self.width_mm = trials, width_mm

    def fits(self, group: Group) -> bool:
        """Return whether units have room on one screen."""
        return not self._too_many(group) and self.trials.has_room(group, self._holds)

    def may_fit(self, group: Group) -> bool:
        """Return whether units have room on one screen; they are few, so that it is tried."""
        return self.fits(group)

    def leaves_room(self, first: Group, second: Group) -> bool:
        """Return whether two parts may have room on one screen, by what each of them takes."""
        return self.trials.leave_room(first, second, self.width_mm, PART_HIGH_MM)

    def may_join(self, first: Group, second: Group) -> bool:
        """Return whether two parts may have room on one screen together."""
        if self._too_many((*first, *second)):
            return False
        return self._holds(self.trials.together(first, second))

    def _too_many(self, group: Group) -> bool:
        return self.trials.units.wires(group) > _MOST_WIRES

    def _holds(self, box: Box) -> bool:
        return box.width <= self.width_mm and box.height <= PART_HIGH_MM


_WIDEST = "part 88"
_MOST_WIRES = 24
"""More have no room on one screen, so that they are not tried."""


def _drawn(lanes: Lanes, notes: Notes, room: float) -> Drawn:
    for label_lines in (1, 2):
        drawn = drawn_where(lambda box: box.width <= room, lanes, notes, label_lines)
        if drawn is not None:
            return drawn
    return drawn_from(lanes, notes, MOST_LABEL_LINES)


def _with_places(parts: Sequence[Drawn]) -> list[Drawn]:
    """Write over each reference in which part the other one of its letter stands."""
    at: dict[str, list[int]] = {}
    for number, part in enumerate(parts, start=1):
        for figure in part.figures:
            if figure.owner.startswith(OWNER):
                at.setdefault(figure.owner, []).append(number)

    def placed(figure: Figure, number: int) -> Figure:
        if not figure.owner.startswith(OWNER):
            return figure
        (other,) = [place for place in at[figure.owner] if place != number]
        return going_on(figure, f"part {other}")

    return [
        replace(part, figures=tuple(placed(figure, number) for figure in part.figures))
        for number, part in enumerate(parts, start=1)
    ]


def _strip(parts: Sequence[Drawn], room: float) -> Drawn:
    """Return the parts under one another, each with its number over it."""
    wide = max(room, *(part.box.width for part in parts))
    whole = Drawn((), (), (), (), ())
    y = 0.0
    for number, part in enumerate(parts, start=1):
        box = part.box
        head = y + (_HEAD_MM if len(parts) > 1 else 0.0)
        placed = _apart(part, number).moved((wide - box.width) / 2.0 - box.left, head - box.top)
        figures = placed.figures
        if len(parts) > 1:
            said = f"Part {number} of {len(parts)}"
            figures = (*figures, _part_heading(said, y, wide, ruled=number > 1))
        whole = Drawn(
            (*whole.lines, *placed.lines),
            (*whole.dots, *placed.dots),
            (*whole.figures, *figures),
            (*whole.outlines, *placed.outlines),
            (*whole.loops, *placed.loops),
        )
        y = head + box.height + _AFTER_MM
    return whole


def _apart(part: Drawn, number: int) -> Drawn:
    """Name the nets of one part so that they are joined to none of another."""
    lines = tuple(
        replace(line, net=frozenset(f"part {number}: {net}" for net in line.net))
        for line in part.lines
    )
    return replace(part, lines=lines)


def _part_heading(said: str, y: float, wide: float, *, ruled: bool) -> Figure:
    text = Lettering(0.0, y + HEADING_MM + 1.2, said, "start", HEADING_MM)
    rule = Stroke(((0.0, y), (wide, y)), LINE_MM)
    # As wide as the strip, so that whatever is set in the middle of it is set with its rules.
    body = box_around([text.box, Box(0.0, y, wide, y)])
    return Figure("", body, (rule,) if ruled else (), (text,))
