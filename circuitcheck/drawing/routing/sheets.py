"""The routing drawing on paper: strips set on sheets, with title block and legend."""

from __future__ import annotations

from collections.abc import Sequence
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
from circuitcheck.drawing.routing.followed import Looks
from circuitcheck.drawing.routing.legends import THICKNESS, Legends
from circuitcheck.drawing.routing.places import with_sheet
from circuitcheck.drawing.routing.placing import Placing
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


_Shelf = list[tuple[int, float, float]]
"""What stands on one sheet: numbers of boxes, and how far each is shifted. [mm]"""
_Piece = Placing | Strip


@record
class _Filled:
    """What stands on which sheet; drawn only when asked for."""

    margin: Margin
    pieces: tuple[_Piece, ...]
    shelves: list[_Shelf]

    def pages(self) -> list[RoutingPage]:
        """Return the sheets, each circle with the sheet on which the drawing goes on."""
        drawn = _drawn(self.pieces, self.shelves, self.margin.area)
        return _paged(_with_sheets(drawn), self.margin)


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
    filled = _alone_on_one(cuts, legends) if paper is None else None
    if filled is None:
        size = paper or A3
        filled = _filled(cuts, _margin(content, size, legends.drawing(size, faces=False)))
    faces = faces_of(content)
    pages = []
    if faces:
        pages = face_pages(content, faces, size, legends.faces())
        # More faces than one sheet holds found no room between the branches of any harness tried.
        margin = _margin(content, size, legends.drawing(size, faces=True))
        if len(pages) == 1 and _may_hold(filled, faces, margin.area):
            beside = _filled(cuts, margin, faces)
            if len(beside.shelves) <= len(filled.shelves):
                filled, pages = beside, []
    pages = [*filled.pages(), *pages]
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
    shelves = _shelved([pair.box for pair in faces], margin.area)
    return _paged(_drawn(faces, shelves, margin.area), margin)


def _margin(content: Content, paper: Paper, legend: Legend) -> Margin:
    return Margin(paper, title_block_of(content.harness, DRAWING), legend)


def _alone_on_one(cuts: Cuts, legends: Legends) -> _Filled | None:
    """Return the branches on one sheet of A4, None where they need more."""
    margin = _margin(cuts.looks.content, A4, legends.drawing(A4, faces=False))
    area = margin.area
    if cuts.least_mm2(_SCALES[-1] * _scale(cuts.looks.content, area)) > area.width * area.height:
        return None
    filled = _filled(cuts, margin)
    return filled if len(filled.shelves) == 1 else None


def _may_hold(filled: _Filled, faces: Sequence[Strip], area: Box) -> bool:
    """Return whether faces can stand with the branches on as many sheets, by their areas alone."""
    needed = sum(one.box.width * one.box.height for one in (*filled.pieces, *faces))
    return needed <= len(filled.shelves) * area.width * area.height


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


def _filled(cuts: Cuts, margin: Margin, more: Sequence[Strip] = ()) -> _Filled:
    """Return what stands on each sheet, at the largest scale that needs no cut, if there is one."""
    area = margin.area
    widest = _scale(cuts.looks.content, area)

    def at(part: float) -> tuple[bool, _Filled]:
        cut = cuts.to(Frame(area.width, area.height, widest * part))
        pieces: tuple[_Piece, ...] = (*cut.pieces, *more)
        filled = _Filled(margin, pieces, _shelved([piece.box for piece in pieces], area))
        return cut.is_whole and len(filled.shelves) == 1, filled

    fits, smallest = at(_SCALES[-1])
    if not fits:
        return min(at(_SCALES[0])[1], smallest, key=lambda one: len(one.shelves))
    larger = (at(part) for part in _SCALES[:-1])
    return next((filled for fits, filled in larger if fits), smallest)


def _scale(content: Content, area: Box) -> float:
    lengths = [b.length_m.nominal for b in content.branches if b.length_m is not None]
    if not lengths:
        lengths = [wire.length_m.nominal for wire in content.harness.wires.values()]
    return min(60.0, _LONGEST_SHARE * area.width / max([*lengths, 0.1]))


def _shelved(boxes: Sequence[Box], area: Box) -> list[_Shelf]:
    """Set boxes beside each other where they fit, else below, else on another sheet."""
    sheets: list[_Shelf] = [[]]
    x, y, deep = area.left, area.top, 0.0
    # Small pieces last: they fill what the large ones leave.
    in_order = sorted(enumerate(boxes), key=lambda one: one[1].height < area.height / 2.0)
    for number, box in in_order:
        if x > area.left and x + box.width > area.right:
            x, y, deep = area.left, y + deep + _GAP_MM, 0.0
        if sheets[-1] and y + box.height > area.bottom:
            sheets.append([])
            x, y, deep = area.left, area.top, 0.0
        sheets[-1].append((number, x - box.left, y - box.top))
        x, deep = x + box.width + _GAP_MM, max(deep, box.height)
    return sheets


def _drawn(pieces: Sequence[_Piece], shelves: Sequence[_Shelf], area: Box) -> list[Strip]:
    """Return the pieces of each sheet drawn at their places, in its middle."""
    filled = []
    for shelf in shelves:
        box = box_around([pieces[k].box.moved(dx, dy) for k, dx, dy in shelf] or [NOTHING])
        right = area.left - box.left + max(0.0, area.width - box.width) / 2.0
        spare = max(0.0, area.height - box.height)
        down = area.top - box.top + (spare / 2.0 if area.height < LONGEST_MM / 2.0 else PAD_MM)
        filled.append(together(pieces[k].moved(dx + right, dy + down) for k, dx, dy in shelf))
    return filled


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
