"""A table on sheets of paper: columns as wide as their words ask, rows broken over the sheets."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from circuitcheck.drawing.geometry import LINE_MM, THIN_MM, Box, Figure, Lettering, Stroke
from circuitcheck.drawing.layout.page import Page
from circuitcheck.drawing.layout.sheet import PAD_MM, Margin
from circuitcheck.drawing.legend import Legend
from circuitcheck.drawing.paper import PHONE, Paper
from circuitcheck.drawing.sheet import Item, Sheet
from circuitcheck.drawing.text_size import HEADING_MM, TEXT_MM, printable, text_width_mm, wrapped
from circuitcheck.drawing.title_block import TitleBlock

LINE_STEP_MM = 3.8
_CELL_MM = 1.4
"""Clear room on both sides of a cell."""
_ABOVE_MM, _BELOW_MM = 1.1, 1.5
_TITLE_MM = HEADING_MM + 4.0
_LEAST_COLUMN_MM = 6.0


NO_LEGEND = Legend(())


@dataclass(frozen=True)
class Table:
    """A heading, the names of the columns, and rows of as many cells; all plain text."""

    heading: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]

    def used(self) -> Table:
        """Return the table without the columns in which no row says anything."""
        keep = [k for k in range(len(self.columns)) if any(row[k].strip() for row in self.rows)]
        if not self.rows:
            keep = list(range(len(self.columns)))
        return Table(
            self.heading,
            tuple(self.columns[k] for k in keep),
            tuple(tuple(row[k] for k in keep) for row in self.rows),
        )


@dataclass(frozen=True)
class TablePage:
    """One sheet of tables: figures, one for each row, and the margin round them."""

    figures: tuple[Figure, ...]
    margin: Margin

    def page(self) -> Page:
        """Return the sheet as the overlap check reads it."""
        paper = self.margin.paper
        strokes, letterings = self.margin.drawn()
        return Page(
            paper.width_mm, paper.height_mm, paper.name, self.margin.area,
            (), (), self.figures, (), (), strokes, letterings,
        )  # fmt: skip

    def sheet(self, title: str) -> Sheet:
        """Return the sheet to be painted."""
        paper = self.margin.paper
        items = [Item(figure.strokes, figure.letterings, figure.title) for figure in self.figures]
        items.append(Item(*self.margin.drawn()))
        return Sheet(paper.width_mm, paper.height_mm, tuple(items), printable(title))


def table_pages(
    tables: Sequence[Table], block: TitleBlock, paper: Paper, legend: Legend = NO_LEGEND
) -> list[TablePage]:
    """Return the sheets of one table after another; a row is never broken over two sheets."""
    margin = Margin(paper, block, legend)
    area = margin.area
    pages: list[list[Figure]] = [[]]
    y = area.top
    for table in tables:
        laid = _Laid(table.used(), area)
        for index, lines in enumerate(laid.rows):
            needed = laid.height(lines)
            new_table = index == 0
            head = laid.head_height(with_title=new_table)
            begins = new_table or y == area.top
            if y > area.top and y + needed + (head if begins else 0.0) > area.bottom:
                pages.append([])
                y, begins = area.top, True
            if begins:
                pages[-1] += laid.head(y, with_title=new_table)
                y += head
            pages[-1].append(laid.row(lines, y, table.rows[index][0]))
            y += needed
        y += _TITLE_MM
    count = len(pages)
    return [
        TablePage(tuple(figures), _margin(margin, k, count, figures))
        for k, figures in enumerate(pages, start=1)
    ]


def _margin(margin: Margin, sheet: int, sheets: int, figures: Sequence[Figure]) -> Margin:
    """Number the sheet; a strip for a telephone is cut where its table ends."""
    numbered = replace(margin, block=replace(margin.block, sheet=sheet, sheets=sheets))
    if margin.paper.name != PHONE or not figures:
        return numbered
    lowest = max(figure.box.bottom for figure in figures)
    spare = margin.area.bottom - lowest - PAD_MM
    return replace(numbered, paper=replace(margin.paper, height_mm=margin.paper.height_mm - spare))


class _Laid:
    """A table in a width: how wide each column is, and every cell in lines."""

    def __init__(self, table: Table, area: Box):
        self.table, self.area = table, area
        self.widths = _widths(table, area.width)
        self.lefts = [area.left + sum(self.widths[:k]) for k in range(len(self.widths))]
        self.heads = [self._lines(name, k) for k, name in enumerate(table.columns)]
        self.rows = [[self._lines(cell, k) for k, cell in enumerate(row)] for row in table.rows]

    def _lines(self, cell: str, column: int) -> list[str]:
        return wrapped(cell, self.widths[column] - 2 * _CELL_MM)

    @staticmethod
    def height(lines: Sequence[Sequence[str]]) -> float:
        """Return the height of one row. [mm]"""
        most = max((len(cell) for cell in lines), default=1)
        return _ABOVE_MM + max(most, 1) * LINE_STEP_MM + _BELOW_MM

    def head_height(self, *, with_title: bool) -> float:
        """Return the height of the names of the columns, with the table's heading. [mm]"""
        return self.height(self.heads) + (_TITLE_MM if with_title else 0.0)

    def head(self, y: float, *, with_title: bool) -> list[Figure]:
        """Return heading and names of the columns from y on."""
        figures = []
        if with_title:
            words = Lettering(
                self.area.left + _CELL_MM,
                y + HEADING_MM + 1.0,
                self.table.heading,
                "start",
                HEADING_MM,
            )
            figures.append(Figure("heading", Box(words.x, y, words.x, y), (), (words,)))
            y += _TITLE_MM
        return [*figures, self._figure(self.heads, y, "", LINE_MM)]

    def row(self, lines: Sequence[Sequence[str]], y: float, title: str) -> Figure:
        """Return one row from y on, with the rule below it."""
        return self._figure(lines, y, printable(title), THIN_MM)

    def _figure(self, lines: Sequence[Sequence[str]], y: float, title: str, rule: float) -> Figure:
        foot = y + self.height(lines)
        right = self.area.left + sum(self.widths)
        words = [
            Lettering(self.lefts[k] + _CELL_MM, y + _ABOVE_MM + TEXT_MM + n * LINE_STEP_MM, line)
            for k, cell in enumerate(lines)
            for n, line in enumerate(cell)
        ]
        strokes = (Stroke(((self.area.left, foot), (right, foot)), rule),)
        return Figure(
            title or "head", Box(self.area.left, foot, right, foot), strokes, tuple(words), title
        )


def _widths(table: Table, room: float) -> list[float]:
    """Return the width of each column: its longest cell, less where the room is short.

    Down to its longest word a column gives way in proportion to what it could give.
    """
    columns = list(zip(table.columns, *table.rows, strict=True))
    pad = 2 * _CELL_MM + 0.3
    wanted = [max(text_width_mm(printable(cell)) for cell in cells) + pad for cells in columns]
    least = [
        max(
            [
                _LEAST_COLUMN_MM,
                *(text_width_mm(w) + pad for c in cells for w in printable(c).split()),
            ]
        )
        for cells in columns
    ]
    wanted = [max(pair) for pair in zip(wanted, least, strict=True)]
    if sum(wanted) <= room:
        return wanted
    if sum(least) >= room:
        return [width * room / sum(least) for width in least]
    share = (room - sum(least)) / (sum(wanted) - sum(least))
    return [low + (high - low) * share for low, high in zip(least, wanted, strict=True)]
