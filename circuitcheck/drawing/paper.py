"""Sizes of paper, the frame drawn on it, and the zones by which a place on it is named."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

from circuitcheck.drawing.geometry import HEAVY_MM, THIN_MM, Box, Lettering, Point, Stroke
from circuitcheck.drawing.text_size import TEXT_MM
from circuitcheck.record import record

MARGIN_MM = 10.0
ZONE_MM = 50.0
"""ISO 5457: fields of 50 mm, counted from the middle of the sheet."""
_LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"
"""ISO 5457 leaves out I and O, which read as figures."""


@record
class Paper:
    """One sheet of paper, wide and high as it lies before the reader. [mm]"""

    name: str
    width_mm: float
    height_mm: float
    margin_mm: float = MARGIN_MM

    @property
    def frame(self) -> Box:
        """The frame, a margin's width inside the edge."""
        return Box(0.0, 0.0, self.width_mm, self.height_mm).grown(-self.margin_mm)

    def upright(self) -> Paper:
        """Return the same paper in portrait."""
        return replace(self, width_mm=self.height_mm, height_mm=self.width_mm)


A4, A3 = Paper("A4", 297.0, 210.0), Paper("A3", 420.0, 297.0)
LETTER = Paper("Letter", 279.4, 215.9)
A_SERIES = (
    A4,
    A3,
    Paper("A2", 594.0, 420.0),
    Paper("A1", 841.0, 594.0),
    Paper("A0", 1189.0, 841.0),
)
"""Landscape. A sizes from ISO 216, Letter from ANSI/ASME Y14.1 (8.5 in by 11 in)."""
PAPERS = {paper.name: paper for paper in (A4, A3, LETTER)}
"""What an office printer takes."""

PHONE, PHONE_MM = "phone", 160.0
PHONE_PX = 480
LEAST_CAPITAL_PX = 7.0
"""A drawing for a telephone is so wide that a capital letter of 2.5 mm is at least 7 pixels high
where the whole width is shown on 480 (common practice, no source)."""


def phone_paper(height_mm: float) -> Paper:
    """Return a strip as wide as a telephone held upright shows it, to be scrolled."""
    return Paper(PHONE, PHONE_MM, height_mm, 4.0)


def frame_stroke(paper: Paper) -> Stroke:
    """Return the frame of the sheet."""
    return outline_of(paper.frame, HEAVY_MM)


def outline_of(box: Box, width_mm: float) -> Stroke:
    """Return a rectangle as a closed line."""
    corners = (
        (box.left, box.top),
        (box.right, box.top),
        (box.right, box.bottom),
        (box.left, box.bottom),
    )
    return Stroke(corners, width_mm, closed=True)


def zone_at(paper: Paper, point: Point) -> str:
    """Return the zone of a point: letter of its field from the top, number from the left."""
    x, y = point
    column = _field(x, paper.width_mm)
    row = _field(y, paper.height_mm)
    return f"{_row_name(row)}{column + 1}"


_NAME_MM = 12.0
"""Room of the paper's name below the frame: a narrow outer field has no number there."""


def zone_marks(paper: Paper) -> tuple[tuple[Stroke, ...], tuple[Lettering, ...]]:
    """Return the ticks and names of the zones, between the frame and the edge of the sheet."""
    frame = paper.frame
    strokes: list[Stroke] = []
    letterings: list[Lettering] = []
    for at, (start, end) in enumerate(_fields(paper.width_mm)):
        middle = (max(start, frame.left) + min(end, frame.right)) / 2.0
        letterings.append(Lettering(middle, frame.top - 1.2, str(at + 1), "middle"))
        # the name of the paper stands in the lower right corner
        if frame.right - middle > _NAME_MM:
            foot = frame.bottom + 1.2 + TEXT_MM
            letterings.append(Lettering(middle, foot, str(at + 1), "middle"))
        if at:
            strokes.append(Stroke(((start, frame.top - 4.0), (start, frame.top)), THIN_MM))
            strokes.append(Stroke(((start, frame.bottom), (start, frame.bottom + 4.0)), THIN_MM))
    for at, (start, end) in enumerate(_fields(paper.height_mm)):
        base = (max(start, frame.top) + min(end, frame.bottom)) / 2.0 + TEXT_MM / 2.0
        letterings += [
            Lettering(frame.left - 2.4, base, _row_name(at), "middle"),
            Lettering(frame.right + 2.4, base, _row_name(at), "middle"),
        ]
        if at:
            strokes.append(Stroke(((frame.left - 4.0, start), (frame.left, start)), THIN_MM))
            strokes.append(Stroke(((frame.right, start), (frame.right + 4.0, start)), THIN_MM))
    return tuple(strokes), tuple(letterings)


def _row_name(row: int) -> str:
    """A to Z; a sheet larger than any of the standard goes on with AA, BB."""
    return _LETTERS[row % len(_LETTERS)] * (1 + row // len(_LETTERS))


def _fields(side_mm: float) -> list[tuple[float, float]]:
    """Fields along one side, from the middle outward; the outer ones are what is left over.

    That gives the numbers of ISO 5457: 6 by 4 on A4, 8 by 6 on A3, 12 by 8 on A2.
    """
    half = math.ceil((side_mm / 2.0 - MARGIN_MM) / ZONE_MM)
    middle = side_mm / 2.0
    bounds = [middle + ZONE_MM * k for k in range(-half, half + 1)]
    bounds[0], bounds[-1] = 0.0, side_mm
    return list(pairwise(bounds))


def _field(at: float, side_mm: float) -> int:
    fields = _fields(side_mm)
    return next((k for k, (_, end) in enumerate(fields) if at < end), len(fields) - 1)
