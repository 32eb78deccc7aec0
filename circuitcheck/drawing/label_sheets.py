"""Labels on sheets, to be cut out and wrapped round wires: the words stand again and again.

Wrapped, a label shows about one turn of its length; its words come at least once in each turn.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from circuitcheck.drawing.geometry import THIN_MM, Box, Figure, Lettering
from circuitcheck.drawing.layout.sheet import Margin
from circuitcheck.drawing.legend import Legend
from circuitcheck.drawing.paper import Paper, outline_of
from circuitcheck.drawing.table_sheets import TablePage, numbered_margin
from circuitcheck.drawing.text_size import TEXT_MM, fitted, text_width_mm
from circuitcheck.drawing.title_block import TitleBlock
from circuitcheck.record import record

_PAD_MM = 1.5
_STEP_MM = 4.0
_WIDEST_MM = 60.0


@record
class Label:
    """Words for one end of a wire, and how long the label is round the wire. [mm]"""

    lines: tuple[str, ...]
    around_mm: float

    @property
    def shown(self) -> tuple[str, ...]:
        """The lines, none longer than a label can be."""
        return tuple(fitted(line, _WIDEST_MM - 2 * _PAD_MM) for line in self.lines)

    @property
    def width(self) -> float:
        """Length along the wire. [mm]"""
        return max(text_width_mm(line) for line in self.shown) + 2 * _PAD_MM

    @property
    def height(self) -> float:
        """Length round the wire; no less than its lines take once. [mm]"""
        return max(self.around_mm, len(self.lines) * _STEP_MM + _PAD_MM)

    def drawn(self, x: float, y: float) -> Figure:
        """Return the label from this upper left corner on, its words repeated to the foot."""
        box = Box(x, y, x + self.width, y + self.height)
        rows = int((self.height - _PAD_MM / 2.0) // _STEP_MM)
        texts = tuple(
            Lettering(
                x + _PAD_MM, y + 1.0 + TEXT_MM + k * _STEP_MM, self.shown[k % len(self.lines)]
            )
            for k in range(rows - rows % len(self.lines))
        )
        edge = replace(outline_of(box, THIN_MM), dashed=True)
        return Figure(self.lines[0], box, (edge,), texts, " ".join(self.shown))


def label_pages(
    labels: Sequence[Label], block: TitleBlock, paper: Paper, legend: Legend
) -> list[TablePage]:
    """Return the sheets of labels, in their order from left to right and downward."""
    margin = Margin(paper, block, legend)
    area = margin.area
    pages: list[list[Figure]] = [[]]
    x, y, deep = area.left, area.top, 0.0
    for label in labels:
        if x > area.left and x + label.width > area.right:
            x, y, deep = area.left, y + deep, 0.0
        if y > area.top and y + label.height > area.bottom:
            pages.append([])
            x, y, deep = area.left, area.top, 0.0
        pages[-1].append(label.drawn(x, y))
        x, deep = x + label.width, max(deep, label.height)
    count = len(pages)
    return [
        TablePage(tuple(figures), numbered_margin(margin, k, count, figures))
        for k, figures in enumerate(pages, start=1)
    ]
