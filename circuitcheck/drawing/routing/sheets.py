"""The routing drawing on paper: strips set on sheets, with title block and legend."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from circuitcheck.drawing.geometry import Box, Figure
from circuitcheck.drawing.layout.page import Page
from circuitcheck.drawing.layout.sheet import Margin
from circuitcheck.drawing.legend import Legend
from circuitcheck.drawing.marks import NumberedMark
from circuitcheck.drawing.paper import A3, A4, Paper
from circuitcheck.drawing.routing.content import Content
from circuitcheck.drawing.routing.cutting import Frame, strips_of
from circuitcheck.drawing.routing.drawn import Strip, items_of, together
from circuitcheck.drawing.routing.places import with_sheet
from circuitcheck.drawing.routing.tree import trees_of
from circuitcheck.drawing.sheet import Item, Sheet
from circuitcheck.drawing.text_size import printable
from circuitcheck.drawing.title_block import title_block_of

DRAWING = "Routing drawing"
MEASURED = "Lengths along the bundle, in figures; the drawing is not to scale."
ASSUMED = "Routes assumed from zones: not measured. Lengths are those of the wires."
THICKNESS = "Ø of a bundle: estimate, 1.25 · root of the sum of the wires' Ø squared."
FAILING = "Failing, by the number of the finding; wires at the longest of their branches:"
_GAP_MM = 6.0
_SCALES = (1.0, 0.7, 0.45, 0.25, 0.1)
_LONGEST_SHARE = 0.4
"""The longest branch takes so much of the width; more would leave no room for the others."""


@dataclass(frozen=True)
class RoutingPage:
    """One sheet of the routing drawing: what is drawn, and the margin round it."""

    strip: Strip
    margin: Margin

    def page(self) -> Page:
        """Return the sheet as the overlap check reads it."""
        paper = self.margin.paper
        strokes, letterings = self.margin.drawn()
        lines = tuple(bundle.line for bundle in self.strip.bundles)
        return Page(
            paper.width_mm, paper.height_mm, paper.name, self.margin.area,
            lines, (), self.strip.figures, (), (), strokes, letterings,
        )  # fmt: skip

    def sheet(self, title: str) -> Sheet:
        """Return the sheet to be painted."""
        paper = self.margin.paper
        items = (*items_of(self.strip), Item(*self.margin.drawn()))
        return Sheet(paper.width_mm, paper.height_mm, items, printable(title))


def routing_pages(
    content: Content,
    signs: Sequence[NumberedMark],
    *,
    judged: bool,
    paper: Paper | None = None,
    date: str = "",
) -> list[RoutingPage]:
    """Return the sheets of the routing drawing.

    Without `paper` A4 is taken where one sheet of it holds all, else A3.
    """
    legend = _legend(content, signs, judged=judged)
    for size in (A4, A3) if paper is None else (paper,):
        pages = _on(size, content, legend, date)
        if len(pages) == 1:
            break
    return pages


def _legend(content: Content, signs: Sequence[NumberedMark], *, judged: bool) -> Legend:
    sentences = [ASSUMED if content.is_assumed else MEASURED, THICKNESS]
    loose = content.loose()
    if loose:
        sentences.append(f"In no branch: {', '.join(loose)}.")
    if signs:
        return Legend((*sentences, FAILING), tuple(signs))
    state = "No failure in the checks run." if judged else "Not judged: nothing is marked."
    return Legend((*sentences, state))


def _on(paper: Paper, content: Content, legend: Legend, date: str) -> list[RoutingPage]:
    block = title_block_of(content.harness, DRAWING, date=date)
    area = Margin(paper, block, legend).area
    filled = _with_sheets(_filled(content, area))
    count = len(filled)
    return [
        RoutingPage(strip, Margin(paper, replace(block, sheet=k, sheets=count), legend))
        for k, strip in enumerate(filled, start=1)
    ]


def _filled(content: Content, area: Box) -> list[Strip]:
    """Return what stands on each sheet, at the largest scale that needs no cut, if there is one."""
    widest = _scale(content, area)
    fewest: list[Strip] = []
    for part in _SCALES:
        roots = trees_of(content.harness, content.branches)
        strips = strips_of(list(roots), content, Frame(area.width, area.height, widest * part))
        filled = _shelved(strips, area)
        if len(strips) == len(roots) and len(filled) == 1:
            return filled
        if not fewest or len(filled) < len(fewest):
            fewest = filled
    return fewest


def _scale(content: Content, area: Box) -> float:
    lengths = [b.length_m.nominal for b in content.branches if b.length_m is not None]
    if not lengths:
        lengths = [wire.length_m.nominal for wire in content.harness.wires.values()]
    return min(60.0, _LONGEST_SHARE * area.width / max([*lengths, 0.1]))


def _shelved(strips: Iterable[Strip], area: Box) -> list[Strip]:
    """Set strips beside each other where they fit, else below, else on another sheet."""
    sheets: list[list[Strip]] = [[]]
    x, y, deep = area.left, area.top, 0.0
    for strip in strips:
        box = strip.box
        if x > area.left and x + box.width > area.right:
            x, y, deep = area.left, y + deep + _GAP_MM, 0.0
        if sheets[-1] and y + box.height > area.bottom:
            sheets.append([])
            x, y, deep = area.left, area.top, 0.0
        sheets[-1].append(strip.moved(x - box.left, y - box.top))
        x, deep = x + box.width + _GAP_MM, max(deep, box.height)
    return [_centred(together(sheet), area) for sheet in sheets]


def _centred(strip: Strip, area: Box) -> Strip:
    box = strip.box
    dx = area.left - box.left + max(0.0, area.width - box.width) / 2.0
    dy = area.top - box.top + max(0.0, area.height - box.height) / 2.0
    return strip.moved(dx, dy)


def _with_sheets(strips: list[Strip]) -> list[Strip]:
    """Tell at each circle on which sheet the drawing goes on, where that is another one."""
    on: dict[str, list[int]] = {}
    for number, strip in enumerate(strips, start=1):
        for figure in strip.figures:
            if figure.owner.startswith("mark "):
                on.setdefault(figure.owner, []).append(number)

    def told(figure: Figure, number: int) -> Figure:
        others = [other for other in on.get(figure.owner, ()) if other != number]
        return with_sheet(figure, others[0]) if others else figure

    return [
        replace(strip, figures=tuple(told(figure, number) for figure in strip.figures))
        for number, strip in enumerate(strips, start=1)
    ]
