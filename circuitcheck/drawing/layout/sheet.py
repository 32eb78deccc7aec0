"""The diagram set on paper: its size, frame, title block and the legend of what fails."""

from __future__ import annotations

import math
from functools import cached_property

from circuitcheck.drawing.geometry import LINE_MM, Box, Lettering, Stroke
from circuitcheck.drawing.layout.page import Drawn, Page
from circuitcheck.drawing.legend import Legend
from circuitcheck.drawing.paper import A_SERIES, Paper, frame_stroke, zone_marks
from circuitcheck.drawing.text_size import printable
from circuitcheck.drawing.title_block import TitleBlock
from circuitcheck.record import record

PAD_MM = 2.0
_LEAST_LEGEND_MM = 70.0


@record
class Margin:
    """One size of paper with title block and legend: beside each other where both have room.

    `zones` are named along the frame where a sheet refers to another.
    """

    paper: Paper
    block: TitleBlock
    legend: Legend
    zones: bool = False

    @property
    def legend_wide(self) -> float:
        """The width in which the legend's lines are broken. [mm]"""
        frame = self.paper.frame
        if self._beside:
            return self.block.box(self.paper).left - frame.left - 6.0
        return frame.width - 6.0

    @property
    def _beside(self) -> bool:
        return self.block.box(self.paper).left - self.paper.frame.left >= _LEAST_LEGEND_MM

    @cached_property
    def strip(self) -> float:
        """Height of the strip at the foot of the sheet. [mm]"""
        heights = self.block.height_mm(self.paper), self.legend.height_mm(self.legend_wide)
        return max(heights) if self._beside else sum(heights)

    @cached_property
    def area(self) -> Box:
        """Where the diagram may stand."""
        frame = self.paper.frame
        return Box(
            frame.left + PAD_MM,
            frame.top + PAD_MM,
            frame.right - PAD_MM,
            frame.bottom - self.strip - PAD_MM,
        )

    def holds(self, content: Box) -> bool:
        """Return whether a diagram of this size has room."""
        return content.width <= self.area.width and content.height <= self.area.height

    def drawn(self) -> tuple[tuple[Stroke, ...], tuple[Lettering, ...]]:
        """Return frame, title block and legend."""
        frame = self.paper.frame
        top = frame.bottom - self.strip
        strokes, letterings = self.block.drawn(self.paper)
        foot = Stroke(((frame.left, top), (frame.right, top)), LINE_MM)
        written = self.legend.drawn(frame.left, top, self.legend_wide)
        ticks, names = zone_marks(self.paper) if self.zones else ((), ())
        drawn = (frame_stroke(self.paper), *ticks, *strokes, foot)
        return drawn, (*letterings, *written, *names)


def margin_for(content: Box, block: TitleBlock, legend: Legend) -> Margin:
    """Return the smallest A size that holds a diagram of this size, or a special size."""
    for paper in A_SERIES:
        margin = Margin(paper, block, legend)
        if margin.holds(content):
            return margin
    largest = A_SERIES[-1]
    area = Margin(largest, block, legend).area
    width = max(largest.width_mm, content.width + largest.width_mm - area.width)
    height = max(largest.height_mm, content.height + largest.height_mm - area.height)
    special = Paper("special size", math.ceil(width / 10) * 10.0, math.ceil(height / 10) * 10.0)
    return Margin(special, block, legend)


def page_of(drawn: Drawn, margin: Margin) -> Page:
    """Set the diagram in the middle of its area and fill in the margin."""
    content, area = drawn.box, margin.area
    placed = drawn.moved(
        area.left - content.left + (area.width - content.width) / 2.0,
        area.top - content.top + (area.height - content.height) / 2.0,
    )
    strokes, letterings = margin.drawn()
    return Page(
        margin.paper.width_mm,
        margin.paper.height_mm,
        margin.paper.name,
        area,
        placed.lines,
        placed.dots,
        placed.figures,
        placed.outlines,
        placed.loops,
        strokes,
        letterings,
        printable(margin.block.heading),
    )
