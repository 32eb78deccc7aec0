"""A table on sheets of paper: columns as wide as their words ask, rows broken over the sheets."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from circuitcheck.drawing.geometry import LINE_MM, THIN_MM, Box, Figure, Lettering, Stroke
from circuitcheck.drawing.layout.page import Page
from circuitcheck.drawing.layout.sheet import PAD_MM, Margin
from circuitcheck.drawing.legend import Legend
from circuitcheck.drawing.paper import PHONE, Paper
from circuitcheck.drawing.sheet import Item, Sheet
from circuitcheck.drawing.text_size import (
    HEADING_MM,
    TEXT_MM,
    fitted,
    printable,
    text_ascent_mm,
    text_descent_mm,
    text_width_mm,
    wrapped,
)
from circuitcheck.drawing.title_block import TitleBlock
from circuitcheck.record import record

LINE_STEP_MM = 3.8
_CELL_MM = 1.4
"""Clear room on both sides of a cell."""
_ABOVE_MM, _BELOW_MM = 1.7, 0.9
_TITLE_MM = HEADING_MM + 4.0
_LEAST_COLUMN_MM = 6.0


NO_LEGEND = Legend(())


@record
class Table:
    """A heading, the names of the columns, and rows of as many cells; all plain text."""

    heading: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]

    def used(self) -> Table:
        """Return the table without the columns in which no row says anything."""
        keep = [k for k in range(len(self.columns)) if any(row[k].strip() for row in self.rows)]
        if not keep:
            keep = list(range(len(self.columns)))
        return Table(
            self.heading,
            tuple(self.columns[k] for k in keep),
            tuple(tuple(row[k] for k in keep) for row in self.rows),
        )


@record
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
        if not table.rows:
            pages[-1] += laid.head(y, with_title=True)
            y += laid.head_height(with_title=True)
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
        TablePage(tuple(figures), numbered_margin(margin, k, count, figures))
        for k, figures in enumerate(pages, start=1)
    ]


def numbered_margin(margin: Margin, sheet: int, sheets: int, figures: Sequence[Figure]) -> Margin:
    """Number the sheet; a strip for a telephone is cut where its table ends."""
    numbered = replace(margin, block=replace(margin.block, sheet=sheet, sheets=sheets))
    if margin.paper.name != PHONE or not figures:
        return numbered
    lowest = max(figure.box.bottom for figure in figures)
    spare = margin.area.bottom - lowest - PAD_MM
    return replace(numbered, paper=replace(margin.paper, height_mm=margin.paper.height_mm - spare))


class _Laid:
    """A table in a width: how wide each column is, and every cell in lines.

    Where the room does not take the longest words side by side, each row becomes a block: its
    first cell over the others, each behind the name of its column.
    """

    def __init__(self, table: Table, area: Box):
        self.table, self.area = table, area
        self.widths = _widths(table, area.width)
        self.is_blocks = not self.widths
        if self.is_blocks:
            names = max(text_width_mm(printable(name)) for name in table.columns)
            label = min(names, area.width / 3.0) + 2 * _CELL_MM
            self.widths = [label, area.width - label]
        self.lefts = [area.left + sum(self.widths[:k]) for k in range(len(self.widths))]
        # Sentences alone have no names of columns, and stand without them.
        self.is_headed = not self.is_blocks and any(table.columns)
        self.heads = self._cells(table.columns) if self.is_headed else []
        self.rows = [self._block(row) if self.is_blocks else self._cells(row) for row in table.rows]

    def _cells(self, cells: Sequence[str]) -> list[list[str]]:
        return [_lines(cell, self.widths[k] - 2 * _CELL_MM) for k, cell in enumerate(cells)]

    def _block(self, row: Sequence[str]) -> list[list[str]]:
        """Return two columns of lines: names of columns, and what the row says."""
        names, said = [], []
        for name, cell in zip(self.table.columns, row, strict=True):
            if cell.strip():
                lines = _lines(cell, self.widths[1] - 2 * _CELL_MM)
                label = _lines(name, self.widths[0] - 2 * _CELL_MM)
                high = max(len(lines), len(label))
                names += [*label, *[""] * (high - len(label))]
                said += [*lines, *[""] * (high - len(lines))]
        return [names, said]

    @staticmethod
    def height(lines: Sequence[Sequence[str]]) -> float:
        """Return the height of one row. [mm]"""
        most = max((len(cell) for cell in lines), default=1)
        return _ABOVE_MM + max(most, 1) * _step(lines) + _BELOW_MM

    def head_height(self, *, with_title: bool) -> float:
        """Return the height of the names of the columns, with the table's heading. [mm]"""
        names = self.height(self.heads) if self.is_headed else 0.0
        return names + (_TITLE_MM if with_title else 0.0)

    def head(self, y: float, *, with_title: bool) -> list[Figure]:
        """Return heading and names of the columns from y on."""
        figures = []
        if with_title:
            x, base = self.area.left + _CELL_MM, y + HEADING_MM + 1.0
            shown = fitted(self.table.heading, self.area.width - 2 * _CELL_MM, HEADING_MM)
            words = Lettering(x, base, shown, "start", HEADING_MM)
            figures.append(Figure("heading", Box(words.x, y, words.x, y), (), (words,)))
            y += _TITLE_MM
        if not self.is_headed:
            return figures
        return [*figures, self._figure(self.heads, y, "", LINE_MM)]

    def row(self, lines: Sequence[Sequence[str]], y: float, title: str) -> Figure:
        """Return one row from y on, with the rule below it."""
        return self._figure(lines, y, printable(title), THIN_MM)

    def _figure(self, lines: Sequence[Sequence[str]], y: float, title: str, rule: float) -> Figure:
        foot = y + self.height(lines)
        right, step = self.area.left + sum(self.widths), _step(lines)
        words = [
            Lettering(self.lefts[k] + _CELL_MM, y + _ABOVE_MM + TEXT_MM + n * step, line)
            for k, cell in enumerate(lines)
            for n, line in enumerate(cell)
            if line
        ]
        strokes = (Stroke(((self.area.left, foot), (right, foot)), rule),)
        body = Box(self.area.left, foot, right, foot)
        return Figure(title or "head", body, strokes, tuple(words), title)


_GLUE = "¦"
_UNITS = re.compile(r"(?<=[0-9]) (?=(?:mm²?|mm2|m|cm|in|ft|A|V|W|AWG|%|°C|°F)(?![A-Za-z]))")


def _step(lines: Sequence[Sequence[str]]) -> float:
    """Return the distance from line to line: more where signs rise above a capital. [mm]"""
    rises = max((text_ascent_mm(line) for cell in lines for line in cell), default=0.0)
    return max(LINE_STEP_MM, rises + text_descent_mm("g") + 0.1)


def _glued(cell: str) -> str:
    """Return printable text in which a number and its unit hang together as one word."""
    return _UNITS.sub(_GLUE, printable(cell).replace(_GLUE, "|"))


def _lines(cell: str, width: float) -> list[str]:
    return [line.replace(_GLUE, " ") for line in wrapped(_glued(cell), width)]


def _widths(table: Table, room: float) -> list[float]:
    """Return the width of each column: its longest cell, less where the room is short.

    Down to its longest word a column gives way in proportion to what it could give; none where
    the longest words have no room.
    """
    columns = list(zip(table.columns, *table.rows, strict=True))
    pad = 2 * _CELL_MM + 0.3
    wanted = [max(text_width_mm(_glued(cell)) for cell in cells) + pad for cells in columns]
    words = [[word for cell in cells for word in _glued(cell).split()] for cells in columns]
    least = [max([_LEAST_COLUMN_MM, *(text_width_mm(word) + pad for word in of)]) for of in words]
    wanted = [max(pair) for pair in zip(wanted, least, strict=True)]
    if sum(wanted) <= room:
        return wanted
    if sum(least) > room:
        return []
    share = (room - sum(least)) / max(sum(wanted) - sum(least), 1e-9)
    return [low + (high - low) * share for low, high in zip(least, wanted, strict=True)]
