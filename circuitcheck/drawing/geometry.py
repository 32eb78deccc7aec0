"""What a drawing is made of, as plain records in millimetres: x to the right, y downward."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cached_property

from circuitcheck.drawing.text_size import (
    TEXT_MM,
    text_ascent_mm,
    text_descent_mm,
    text_width_mm,
)
from circuitcheck.record import record

Point = tuple[float, float]

THIN_MM = 0.25
LINE_MM = 0.35
CONDUCTOR_MM = 0.5
HEAVY_MM = 0.8
LIVE_MM = 1.0
FRAME_MM = 1.4
"""Line widths of the series in ISO 128-2, and 0.8; the frame's metal is heavier than any wire."""


@record
class Box:
    """An upright rectangle, left, top, right, bottom. [mm]"""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def width(self) -> float:
        """Width. [mm]"""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Height. [mm]"""
        return self.bottom - self.top

    def moved(self, dx: float, dy: float) -> Box:
        """Return the box shifted."""
        return Box(self.left + dx, self.top + dy, self.right + dx, self.bottom + dy)

    def grown(self, by: float) -> Box:
        """Return the box with every side moved outward by `by`; a negative value shrinks it."""
        return Box(self.left - by, self.top - by, self.right + by, self.bottom + by)

    def meets(self, other: Box, tolerance_mm: float = 0.01) -> bool:
        """Return whether the two share more than a touch of `tolerance_mm`."""
        return (
            self.left < other.right - tolerance_mm
            and other.left < self.right - tolerance_mm
            and self.top < other.bottom - tolerance_mm
            and other.top < self.bottom - tolerance_mm
        )

    def inside(self, other: Box, tolerance_mm: float = 0.01) -> bool:
        """Return whether this box lies within the other."""
        return (
            self.left >= other.left - tolerance_mm
            and self.top >= other.top - tolerance_mm
            and self.right <= other.right + tolerance_mm
            and self.bottom <= other.bottom + tolerance_mm
        )


def box_around(boxes: Iterable[Box]) -> Box:
    """Return the smallest box around all the others; raises ValueError for none."""
    every = list(boxes)
    if not every:
        raise ValueError("no box to put a box around")
    return Box(
        min(box.left for box in every),
        min(box.top for box in every),
        max(box.right for box in every),
        max(box.bottom for box in every),
    )


@record
class Stroke:
    """One line or closed figure. `ink` and `fill` are colours as `#rrggbb`; no fill is None."""

    points: tuple[Point, ...]
    width_mm: float = LINE_MM
    dashed: bool = False
    closed: bool = False
    fill: str | None = None
    ink: str = "#1a1a1a"

    def moved(self, dx: float, dy: float) -> Stroke:
        """Return the stroke shifted."""
        points = tuple([(x + dx, y + dy) for x, y in self.points])
        return Stroke(points, self.width_mm, self.dashed, self.closed, self.fill, self.ink)

    @property
    def box(self) -> Box:
        """The box around the points, without the width of the line."""
        xs, ys = [x for x, _ in self.points], [y for _, y in self.points]
        return Box(min(xs), min(ys), max(xs), max(ys))


@record
class Lettering:
    """One line of text; `x`, `y` is the base line's start, middle or end after `anchor`."""

    x: float
    y: float
    text: str
    anchor: str = "start"
    height_mm: float = TEXT_MM
    bold: bool = False
    ink: str = "#1a1a1a"

    def moved(self, dx: float, dy: float) -> Lettering:
        """Return the text shifted."""
        return Lettering(
            self.x + dx, self.y + dy, self.text, self.anchor, self.height_mm, self.bold, self.ink
        )

    @cached_property
    def box(self) -> Box:
        """The room that the text takes."""
        width = text_width_mm(self.text, self.height_mm, bold=self.bold)
        left = self.x - {"start": 0.0, "middle": 0.5, "end": 1.0}[self.anchor] * width
        return Box(
            left,
            self.y - text_ascent_mm(self.text, self.height_mm),
            left + width,
            self.y + text_descent_mm(self.text, self.height_mm),
        )


@record
class Figure:
    """A symbol with its lettering, about a point of its own; `body` is what must stay clear.

    `owner` is the part or wire it belongs to; `title` is said to a screen reader.
    """

    owner: str
    body: Box
    strokes: tuple[Stroke, ...] = ()
    letterings: tuple[Lettering, ...] = ()
    title: str = ""

    def moved(self, dx: float, dy: float) -> Figure:
        """Return the figure shifted."""
        return Figure(
            self.owner,
            self.body.moved(dx, dy),
            tuple([stroke.moved(dx, dy) for stroke in self.strokes]),
            tuple([text.moved(dx, dy) for text in self.letterings]),
            self.title,
        )

    @cached_property
    def box(self) -> Box:
        """The room that the figure takes with its lettering."""
        return box_around([self.body, *(text.box for text in self.letterings)])
