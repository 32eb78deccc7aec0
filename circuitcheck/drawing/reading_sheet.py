"""The test sheet on A4 pages in portrait, to be filled in by hand.

Each part: heading, cautions and what is done in full width, then a row for each reading with a
box for what was measured. A row is never broken, and a heading never stands without its first row.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from circuitcheck.drawing.geometry import LINE_MM, THIN_MM, Box, Lettering, Stroke
from circuitcheck.drawing.paper import A4, Paper, frame_stroke, outline_of
from circuitcheck.drawing.sheet import Item, Sheet
from circuitcheck.drawing.text_size import HEADING_MM, TEXT_MM, printable, text_width_mm, wrapped
from circuitcheck.drawing.title_block import TitleBlock, title_block_of
from circuitcheck.model.harness import Harness
from circuitcheck.record import record

TITLE = "Test sheet"
CAUTION = (
    "Implement lowered and blocked, pressure released, nobody in the path. Key on with the engine "
    "off first. No ohmmeter on a live circuit."
)
PORTRAIT = A4.upright()
COLUMNS = ("No", "Read", "Must be", "Measured", "Note")
WIDTHS_MM = (9.0, 56.0, 37.0, 28.0, 0.0)
"""Widths of the columns; the note takes what is left."""
PAD_MM, STEP_MM, PART_MM, BEHIND_MM = 1.5, 4.2, 5.0, 3.0
ROW_ABOVE_MM, ROW_BELOW_MM = 1.9, 1.9
MEASURED = 3


@record
class PaperPart:
    """One part in plain text: title, cautions, what is done, rows of number, what, band, note."""

    title: str
    cautions: tuple[str, ...]
    do: tuple[str, ...]
    rows: tuple[tuple[str, str, str, str], ...]


@dataclass
class _Page:
    """One page under way."""

    y: float
    items: list[Item] = field(default_factory=list)


def reading_sheet_pages(
    harness: Harness, parts: Sequence[PaperPart], paper: Paper = PORTRAIT
) -> list[Sheet]:
    """Return the pages of all parts, each with the title block."""
    return _Layout(harness, paper).pages(parts)


class _Layout:
    def __init__(self, harness: Harness, paper: Paper) -> None:
        self.harness, self.paper = harness, paper
        self.block = title_block_of(harness, TITLE, caution=CAUTION)
        frame = paper.frame
        foot = self.block.box(paper).top
        self.area = Box(frame.left, frame.top, frame.right, foot).grown(-PAD_MM)
        rest = self.area.width - sum(WIDTHS_MM)
        self.widths = [width or rest for width in WIDTHS_MM]
        self.lefts = [self.area.left + sum(self.widths[:k]) for k in range(len(self.widths))]
        self.done: list[_Page] = [_Page(self.area.top)]

    @property
    def page(self) -> _Page:
        return self.done[-1]

    def pages(self, parts: Sequence[PaperPart]) -> list[Sheet]:
        for part in parts:
            self._part(part)
        count = len(self.done)
        return [self._sheet(page, n, count) for n, page in enumerate(self.done, start=1)]

    def _sheet(self, page: _Page, number: int, count: int) -> Sheet:
        block: TitleBlock = replace(self.block, sheet=number, sheets=count)
        strokes, letterings = block.drawn(self.paper)
        frame = Item((frame_stroke(self.paper), *strokes), letterings)
        title = printable(f"{TITLE}: {self.harness.circuit}, sheet {number} of {count}")
        width, height = self.paper.width_mm, self.paper.height_mm
        return Sheet(width, height, (*page.items, frame), title)

    def _part(self, part: PaperPart) -> None:
        head = [("Caution: ", words) for words in part.cautions] + [("", w) for w in part.do]
        lines = [self._wrapped(lead, words) for lead, words in head]
        tall = HEADING_MM + PART_MM + sum(map(len, lines)) * STEP_MM + self._row_mm(COLUMNS)
        first = self._row_mm(part.rows[0]) if part.rows else 0.0
        if self.page.y > self.area.top and self.page.y + tall + first > self.area.bottom:
            self.done.append(_Page(self.area.top))
        self._heading(part.title)
        for (lead, _), wrapped_lines in zip(head, lines, strict=True):
            self._paragraph(lead, wrapped_lines)
        self._columns()
        for row in part.rows:
            if self.page.y + self._row_mm(row) > self.area.bottom:
                self.done.append(_Page(self.area.top))
                self._heading(f"{part.title}, continued")
                self._columns()
            self._row(row)
        self.page.y += BEHIND_MM

    def _wrapped(self, lead: str, words: str) -> list[str]:
        room = self.area.width - 2 * PAD_MM - text_width_mm(lead, bold=True)
        return wrapped(words, room)

    def _heading(self, title: str) -> None:
        y = self.page.y + HEADING_MM + 2.0
        words = Lettering(self.area.left + PAD_MM, y, printable(title), "start", HEADING_MM, True)
        rule = Stroke(((self.area.left, y + 1.6), (self.area.right, y + 1.6)), LINE_MM)
        self.page.items.append(Item((rule,), (words,), printable(title)))
        self.page.y = y + 1.6 + 1.0

    def _paragraph(self, lead: str, lines: Sequence[str]) -> None:
        left = self.area.left + PAD_MM
        letterings = []
        if lead:
            letterings.append(Lettering(left, self.page.y + TEXT_MM + 1.0, lead.strip(), bold=True))
        left += text_width_mm(lead, bold=True) if lead else 0.0
        for line in lines:
            letterings.append(Lettering(left, self.page.y + TEXT_MM + 1.0, line))
            self.page.y += STEP_MM
        self.page.items.append(Item((), tuple(letterings)))

    def _columns(self) -> None:
        y = self.page.y + TEXT_MM + 2.4
        letterings = tuple(
            Lettering(left + PAD_MM, y, name, bold=True)
            for left, name in zip(self.lefts, COLUMNS, strict=True)
        )
        rule = Stroke(((self.area.left, y + 1.4), (self.area.right, y + 1.4)), LINE_MM)
        self.page.items.append(Item((rule,), letterings))
        self.page.y = y + 1.4

    def _cells(self, row: Sequence[str]) -> list[list[str]]:
        number, what, band, note = row[:4]
        cells = (number, what, band, "", note)
        return [
            wrapped(printable(cell), width - 2 * PAD_MM)
            for cell, width in zip(cells, self.widths, strict=True)
        ]

    def _row_mm(self, row: Sequence[str]) -> float:
        most = max(len(cell) for cell in self._cells(row))
        return ROW_ABOVE_MM + max(most, 1) * STEP_MM + ROW_BELOW_MM - (STEP_MM - TEXT_MM)

    def _row(self, row: Sequence[str]) -> None:
        tall, top = self._row_mm(row), self.page.y
        letterings = tuple(
            Lettering(left + PAD_MM, top + ROW_ABOVE_MM + TEXT_MM + n * STEP_MM, line)
            for left, lines in zip(self.lefts, self._cells(row), strict=True)
            for n, line in enumerate(lines)
        )
        left = self.lefts[MEASURED]
        box = Box(left + 0.8, top + 0.7, left + self.widths[MEASURED] - 0.8, top + tall - 0.7)
        rule = Stroke(((self.area.left, top + tall), (self.area.right, top + tall)), THIN_MM)
        strokes = (outline_of(box, THIN_MM), rule)
        self.page.items.append(Item(strokes, letterings, printable(row[1])))
        self.page.y += tall
