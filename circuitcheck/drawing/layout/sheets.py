"""A long harness on several sheets: cut into sections, each laid out by itself, with references.

A line that goes on elsewhere ends at a flag; the flag at its other end bears the same letter, and
over each stand the sheet and the zone of the other.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from circuitcheck.drawing.geometry import Box, Figure
from circuitcheck.drawing.layout.asked import Asked, asked_for
from circuitcheck.drawing.layout.cutting import FRAME, Section, units_of
from circuitcheck.drawing.layout.diagram import MOST_LABEL_LINES, drawn_from, drawn_where
from circuitcheck.drawing.layout.graph import Diagram
from circuitcheck.drawing.layout.lanes import Lanes
from circuitcheck.drawing.layout.layout import lanes_in_order
from circuitcheck.drawing.layout.page import Drawn, Page
from circuitcheck.drawing.layout.parting import Group, parted
from circuitcheck.drawing.layout.reference_letters import letter
from circuitcheck.drawing.layout.references import OWNER
from circuitcheck.drawing.layout.sheet import (
    Margin,
    margin_for,
    page_of,
)
from circuitcheck.drawing.layout.trials import Trials
from circuitcheck.drawing.legend import Legend
from circuitcheck.drawing.marks import InUnits, Mark, Notes
from circuitcheck.drawing.paper import A3, A4, Paper, zone_at
from circuitcheck.drawing.position_values import PositionValues
from circuitcheck.drawing.text_size import printable, shortened
from circuitcheck.model.harness import Harness

_WIDEST = "sheet 88, H88"
FLAGS = (
    "A flag with a letter: the line goes on at the flag with the same letter, on the sheet and in "
    "the zone that stand over it."
)


def layout_sheets(
    harness: Harness,
    marks: Iterable[Mark] | None = None,
    in_units: InUnits = str,
    paper: Paper | None = None,
    values: PositionValues | None = None,
) -> tuple[Page, ...]:
    """Return the wiring diagram on as many sheets of this paper as it needs.

    Without `paper` it is one sheet of A4 or A3 where that has room for it, else several of A3.
    With `values` it shows one switch position.
    """
    asked = asked_for(harness, marks, in_units, values)
    papers = (A4, A3) if paper is None else (paper,)
    return _on_one_sheet(asked, papers) or _Sheets(asked, papers[-1]).pages()


def _margin(asked: Asked, paper: Paper, shown: Diagram, before: Sequence[str] = ()) -> Margin:
    return Margin(paper, asked.block, asked.legend(shown, before))


def _on_one_sheet(asked: Asked, papers: Sequence[Paper]) -> tuple[Page, ...]:
    """Return the whole on one sheet of the first size that holds it; nothing where none does."""
    margins = [_margin(asked, paper, asked.whole) for paper in papers]
    wires = sum(edge.wire is not None for edge in asked.whole.edges)
    margins = [margin for margin in margins if not too_many(wires, margin.area)]
    if not margins:
        return ()
    lanes = lanes_in_order(asked.drafted(), asked.notes)
    for margin in margins:
        drawn = drawn_to_fit(lanes, asked.notes, margin)
        if margin.holds(drawn.box):
            return (page_of(drawn, margin),)
    return ()


def drawn_to_fit(lanes: Lanes, notes: Notes, margin: Margin) -> Drawn:
    """Return the diagram with its labels on as few lines as fit the sheet, or on three."""
    for label_lines in (1, 2):
        drawn = drawn_where(margin.holds, lanes, notes, label_lines)
        if drawn is not None:
            return drawn
    return drawn_from(lanes, notes, MOST_LABEL_LINES)


_LEAST_WIRE_MM2, _LEAST_CUT_MM2 = 2000.0, 2500.0
"""Room below which a wire with its share of symbols is not tried: on one sheet, and in a section,
which has references too and its labels on three lines.

A rule of thumb: a sample of generated harnesses was tried, nothing more. A section that is refused
wrongly costs part of a sheet; nothing ever overlaps for it.
"""


def too_many(wires: int, area: Box, least_mm2: float = _LEAST_WIRE_MM2) -> bool:
    """Return whether so many wires have no room on the sheet, without laying them out."""
    return wires * least_mm2 > area.width * area.height


class _Sheets:
    """Cuts, lays out and letters; one use only."""

    def __init__(self, asked: Asked, paper: Paper):
        self.asked, self.paper = asked, paper
        self.trials = Trials(units_of(asked.whole), asked.notes, _WIDEST)
        self.margins: dict[Legend, Margin] = {}
        self.bare = self._with_legend(asked.legend(Diagram(asked.harness, (), ())))

    def pages(self) -> tuple[Page, ...]:
        """Return all sheets."""
        groups = parted(self.trials.units, self)
        sections = [self.trials.section(group) for group in groups]
        lanes = [self.trials.lanes(group) for group in groups]
        letter(sections, _WIDEST, lanes)
        frames = frames_on_several(sections)
        pages = []
        for at, notes in enumerate(notes_by_section(lanes, self.asked.notes)):
            section = sections[at]
            block = replace(self.asked.block, sheet=at + 1, sheets=len(sections))
            said = [FLAGS] if section.leaving or section.entering else []
            margin = _margin(self.asked, self.paper, section.diagram, [*said, *frames])
            margin = replace(margin, block=block, zones=True)
            drawn = drawn_to_fit(lanes[at], notes, margin)
            if not margin.holds(drawn.box):
                margin = replace(margin_for(drawn.box, block, margin.legend), zones=True)
            pages.append(page_of(drawn, margin))
        return _with_places(pages, self.paper)

    def fits(self, group: Group) -> bool:
        """Return whether units have room on one sheet."""
        if self._too_many(group):
            return False
        return self.trials.has_room(group, self._tried(group).holds)

    def may_fit(self, group: Group) -> bool:
        """Return whether units have room on one sheet, where that is clear told at once."""
        if self._too_many(group):
            return False
        holds = self._tried(group).holds
        return self.trials.clearly_has_room(group, holds) or self.trials.has_room(group, holds)

    def may_join(self, first: Group, second: Group) -> bool:
        """Return whether two parts may have room on one sheet together."""
        both = (*first, *second)
        if self._too_many(both):
            return False
        return self._tried(both).holds(self.trials.together(first, second))

    def _too_many(self, group: Group) -> bool:
        """Return whether units have too many wires even for a sheet on which nothing fails."""
        return too_many(self.trials.units.wires(group), self.bare.area, _LEAST_CUT_MM2)

    def _tried(self, group: Group) -> Margin:
        """Return the sheet with the longest legend that these units may need."""
        shown = self.trials.section(group).diagram
        return self._with_legend(self.asked.legend(shown, [FLAGS, "frame " * 12]))

    def _with_legend(self, legend: Legend) -> Margin:
        """Return the sheet with this legend; most sections have the same, which is set once."""
        if legend not in self.margins:
            self.margins[legend] = Margin(self.paper, self.asked.block, legend)
        return self.margins[legend]

    def leaves_room(self, first: Group, second: Group) -> bool:
        """Return whether two parts may have room on one sheet, by what each of them takes."""
        area = self.bare.area
        return self.trials.leave_room(first, second, area.width, area.height)


def notes_by_section(lanes: Sequence[Lanes], notes: Notes) -> list[Notes]:
    """Return the notes of each section: pieces of one part are counted over all of them."""
    stacks: list[dict[str, set[str]]] = []
    for one in lanes:
        found: dict[str, set[str]] = {}
        for layer in one.layers:
            for slot in layer:
                if slot.node is not None and slot.node.family:
                    found.setdefault(slot.node.family, set()).add(slot.group)
        stacks.append(found)
    total: dict[str, int] = {}
    for found in stacks:
        for family, groups in found.items():
            total[family] = total.get(family, 0) + len(groups)
    made, before = [], dict.fromkeys(total, 0)
    for found in stacks:
        shown_in = {family: (before[family], total[family]) for family in found}
        made.append(replace(notes, shown_in=shown_in))
        for family, groups in found.items():
            before[family] += len(groups)
    return made


def frames_on_several(sections: Sequence[Section], called: str = "on all sheets") -> list[str]:
    """Sentences about the frames that several sheets show."""
    shown: dict[str, int] = {}
    for section in sections:
        for node in section.diagram.nodes:
            if node.kind == FRAME and node.part is not None:
                shown[node.part.name] = shown.get(node.part.name, 0) + 1
    names = [shortened(name, 16) for name, count in shown.items() if count > 1]
    if not names:
        return []
    said = ", ".join(names[:4]) + (" and others" if len(names) > 4 else "")
    return [f"Each frame is one and the same {called}: {printable(said)}."]


def _with_places(pages: Sequence[Page], paper: Paper) -> tuple[Page, ...]:
    """Write over each reference where the other one of its letter stands."""
    at: dict[str, list[tuple[int, str]]] = {}
    for number, page in enumerate(pages, start=1):
        sheet = replace(paper, width_mm=page.width_mm, height_mm=page.height_mm)
        for figure in page.figures:
            if figure.owner.startswith(OWNER):
                x = (figure.body.left + figure.body.right) / 2.0
                zone = zone_at(sheet, (x, (figure.body.top + figure.body.bottom) / 2.0))
                at.setdefault(figure.owner, []).append((number, zone))

    def placed(figure: Figure, number: int) -> Figure:
        if not figure.owner.startswith(OWNER):
            return figure
        (other, zone), *_ = [place for place in at[figure.owner] if place[0] != number]
        return going_on(figure, f"sheet {other}, {zone}")

    return tuple(
        replace(page, figures=tuple(placed(figure, number) for figure in page.figures))
        for number, page in enumerate(pages, start=1)
    )


def going_on(figure: Figure, where: str) -> Figure:
    """Return the figure of a reference with the place at which its line goes on."""
    letter_, place = figure.letterings
    return replace(
        figure,
        letterings=(letter_, replace(place, text=where)),
        title=f"goes on at {letter_.text}, {where}",
    )
