"""The routing drawing on paper: strips set on sheets, with title block and legend."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from circuitcheck.drawing.geometry import Box, Figure, box_around
from circuitcheck.drawing.layout.page import Page
from circuitcheck.drawing.layout.sheet import PAD_MM, Margin
from circuitcheck.drawing.legend import Legend
from circuitcheck.drawing.marks import NumberedMark
from circuitcheck.drawing.paper import A3, A4, PHONE, Paper
from circuitcheck.drawing.routing.branch_table import branch_table
from circuitcheck.drawing.routing.content import Content
from circuitcheck.drawing.routing.cutting import Cuts, Frame
from circuitcheck.drawing.routing.drawn import NOTHING, Strip, items_of, together
from circuitcheck.drawing.routing.faces import face
from circuitcheck.drawing.routing.legends import THICKNESS, Legends
from circuitcheck.drawing.routing.places import with_sheet
from circuitcheck.drawing.routing.placing import Looks
from circuitcheck.drawing.sheet import Item, Sheet
from circuitcheck.drawing.table_sheets import TablePage, table_pages
from circuitcheck.drawing.text_size import printable
from circuitcheck.drawing.title_block import title_block_of
from circuitcheck.model.connector import HALVES, Connector
from circuitcheck.record import record

DRAWING = "Routing drawing"
LONGEST_MM = 4000.0
"""Length that a strip for a telephone has at most."""
_GAP_MM = 6.0
_SCALES = (1.0, 0.7, 0.45, 0.25, 0.1)
_LONGEST_SHARE = 0.4
"""The longest branch takes so much of the width; more would leave no room for the others."""


@record
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
) -> list[RoutingPage | TablePage]:
    """Return all sheets: branches, connector faces, table of branches.

    Without `paper` A4 is taken where one sheet of it holds the branches, else A3. The faces stand
    with the branches where that takes no more sheets. Many failures have a sheet of their own.
    """
    legends, cuts = Legends(content, signs, judged), Cuts(Looks(content))
    size = paper or A4
    pages = _on(size, cuts, legends.drawing(size, faces=False))
    if paper is None and len(pages) > 1:
        size = A3
        pages = _on(size, cuts, legends.drawing(size, faces=False))
    faces = faces_of(content)
    if faces:
        apart = face_pages(content, faces, size, legends.faces())
        # More faces than one sheet holds found no room between the branches of any harness tried.
        with_faces = (
            _on(size, cuts, legends.drawing(size, faces=True), faces) if len(apart) == 1 else []
        )
        pages = with_faces if 0 < len(with_faces) <= len(pages) else [*pages, *apart]
    tables = [branch_table(content)]
    if signs and legends.is_apart(size):
        tables.insert(0, legends.failures())
    block = title_block_of(content.harness, "Tables of the routing drawing")
    return _numbered([*pages, *table_pages(tables, block, size, Legend((THICKNESS,)))])


def _numbered(pages: Sequence[RoutingPage | TablePage]) -> list[RoutingPage | TablePage]:
    """Count the sheets of all kinds through."""
    numbered = []
    for number, page in enumerate(pages, start=1):
        block = replace(page.margin.block, sheet=number, sheets=len(pages))
        numbered.append(replace(page, margin=replace(page.margin, block=block)))
    return numbered


def faces_of(content: Content) -> list[Strip]:
    """Return the faces of each connector, its two halves side by side."""
    strips = []
    for connector in content.harness.of_kind(Connector):
        plug, receptacle = (face(content, connector, half) for half in HALVES)
        beside = receptacle.moved(plug.box.right + _GAP_MM - receptacle.box.left, 0.0)
        strips.append(Strip(figures=(plug, beside)))
    return strips


def face_pages(
    content: Content, faces: Sequence[Strip], paper: Paper, legend: Legend
) -> list[RoutingPage]:
    """Return the sheets of connector faces, the two halves of each beside each other."""
    margin = Margin(paper, title_block_of(content.harness, "Connector faces"), legend)
    area = margin.area
    return _paged([_set(shelf, area) for shelf in _shelved(faces, area)], margin)


def _on(paper: Paper, cuts: Cuts, legend: Legend, more: Sequence[Strip] = ()) -> list[RoutingPage]:
    margin = Margin(paper, title_block_of(cuts.looks.content.harness, DRAWING), legend)
    return _paged(_with_sheets(_filled(cuts, margin.area, more)), margin)


def _paged(filled: list[Strip], margin: Margin) -> list[RoutingPage]:
    """Number the sheets; a strip for a telephone ends where its drawing ends."""
    pages = []
    for number, strip in enumerate(filled, start=1):
        block = replace(margin.block, sheet=number, sheets=len(filled))
        paper = margin.paper
        if paper.name == PHONE:
            spare = margin.area.bottom - strip.box.bottom - PAD_MM
            paper = replace(paper, height_mm=paper.height_mm - spare)
        if strip.box.right > margin.area.right:
            # One branch that is wider than the paper: the paper gives way.
            more = strip.box.right - margin.area.right + PAD_MM
            name = PHONE if paper.name == PHONE else "special size"
            paper = replace(paper, name=name, width_mm=paper.width_mm + more)
        pages.append(RoutingPage(strip, replace(margin, block=block, paper=paper)))
    return pages


def _filled(cuts: Cuts, area: Box, more: Sequence[Strip]) -> list[Strip]:
    """Return what stands on each sheet, at the largest scale that needs no cut, if there is one."""
    widest = _scale(cuts.looks.content, area)

    def at(part: float) -> tuple[list[_Shelf], bool]:
        cut = cuts.to(Frame(area.width, area.height, widest * part))
        filled = _shelved([*cut.strips, *more], area)
        return filled, cut.is_whole and len(filled) == 1

    filled, is_whole = at(_SCALES[-1])
    if not is_whole:
        filled = min(at(_SCALES[0])[0], filled, key=len)
    for part in _SCALES[:-1] if is_whole else ():
        larger, fits = at(part)
        if fits:
            filled = larger
            break
    return [_set(shelf, area) for shelf in filled]


def _scale(content: Content, area: Box) -> float:
    lengths = [b.length_m.nominal for b in content.branches if b.length_m is not None]
    if not lengths:
        lengths = [wire.length_m.nominal for wire in content.harness.wires.values()]
    return min(60.0, _LONGEST_SHARE * area.width / max([*lengths, 0.1]))


_Shelf = list[tuple[Strip, float, float]]
"""The strips of one sheet, and how far each is shifted. [mm]"""


def _shelved(strips: Iterable[Strip], area: Box) -> list[_Shelf]:
    """Set strips beside each other where they fit, else below, else on another sheet."""
    sheets: list[_Shelf] = [[]]
    x, y, deep = area.left, area.top, 0.0
    # Small pieces last: they fill what the large ones leave.
    for strip in sorted(strips, key=lambda one: one.box.height < area.height / 2.0):
        box = strip.box
        if x > area.left and x + box.width > area.right:
            x, y, deep = area.left, y + deep + _GAP_MM, 0.0
        if sheets[-1] and y + box.height > area.bottom:
            sheets.append([])
            x, y, deep = area.left, area.top, 0.0
        sheets[-1].append((strip, x - box.left, y - box.top))
        x, deep = x + box.width + _GAP_MM, max(deep, box.height)
    return sheets


def _set(shelf: _Shelf, area: Box) -> Strip:
    """Return the strips of one sheet at their places, in its middle."""
    box = box_around([strip.box.moved(dx, dy) for strip, dx, dy in shelf] or [NOTHING])
    right = area.left - box.left + max(0.0, area.width - box.width) / 2.0
    spare = area.height - box.height
    down = (
        area.top - box.top + (max(0.0, spare) / 2.0 if area.height < LONGEST_MM / 2.0 else PAD_MM)
    )
    return together(strip.moved(dx + right, dy + down) for strip, dx, dy in shelf)


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
