"""The finished layout as data: every line, symbol and lettering of one sheet, in millimetres."""

from __future__ import annotations

from dataclasses import replace
from functools import cached_property

from circuitcheck.drawing.geometry import Box, Figure, Lettering, Point, Stroke, box_around
from circuitcheck.record import record

WIRE, JOINT, METAL = "wire", "joint", "metal"


@record
class Line:
    """A conductor of the drawing from bend to bend.

    `kind` is WIRE, JOINT (the piece that several wires share at one place) or METAL (the frame
    itself). Lines of one `net` are joined and may touch. `live` is for a sheet that shows one
    switch position.
    """

    owner: str
    kind: str
    net: frozenset[str]
    points: tuple[Point, ...]
    fails: bool = False
    title: str = ""
    live: bool = False


@record
class Outline:
    """A thin line around what belongs to one part, with its name; `dashed` is the machine's own."""

    owner: str
    box: Box
    strokes: tuple[Stroke, ...] = ()
    letterings: tuple[Lettering, ...] = ()
    dashed: bool = False

    def moved(self, dx: float, dy: float) -> Outline:
        """Return the outline shifted."""
        return replace(
            self,
            box=self.box.moved(dx, dy),
            strokes=tuple(stroke.moved(dx, dy) for stroke in self.strokes),
            letterings=tuple(text.moved(dx, dy) for text in self.letterings),
        )


@record
class Page:
    """One sheet: the diagram within `area`, and the margin with title block and legend."""

    width_mm: float
    height_mm: float
    size: str
    area: Box
    lines: tuple[Line, ...]
    dots: tuple[Point, ...]
    figures: tuple[Figure, ...]
    outlines: tuple[Outline, ...]
    loops: tuple[Figure, ...]
    margin_strokes: tuple[Stroke, ...] = ()
    margin_letterings: tuple[Lettering, ...] = ()
    title: str = ""


@record
class Drawn:
    """The diagram before it is set on a sheet."""

    lines: tuple[Line, ...]
    dots: tuple[Point, ...]
    figures: tuple[Figure, ...]
    outlines: tuple[Outline, ...]
    loops: tuple[Figure, ...]

    @cached_property
    def box(self) -> Box:
        """The room that the whole diagram takes."""
        figures = (*self.figures, *self.loops)
        boxes = [figure.box for figure in figures]
        boxes += [stroke.box for figure in figures for stroke in figure.strokes]
        boxes += [outline.box for outline in self.outlines]
        boxes += [text.box for outline in self.outlines for text in outline.letterings]
        boxes += [Stroke(line.points).box for line in self.lines]
        return box_around(boxes or [Box(0.0, 0.0, 10.0, 10.0)])

    def moved(self, dx: float, dy: float) -> Drawn:
        """Return the diagram shifted."""

        def shift(points: tuple[Point, ...]) -> tuple[Point, ...]:
            return tuple((x + dx, y + dy) for x, y in points)

        return Drawn(
            tuple(replace(line, points=shift(line.points)) for line in self.lines),
            shift(self.dots),
            tuple(figure.moved(dx, dy) for figure in self.figures),
            tuple(outline.moved(dx, dy) for outline in self.outlines),
            tuple(loop.moved(dx, dy) for loop in self.loops),
        )
