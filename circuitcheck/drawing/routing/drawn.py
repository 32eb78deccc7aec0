"""What a routing drawing is made of before it is set on a sheet: bundles, figures, zone bands."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from functools import cached_property

from circuitcheck.drawing.geometry import Box, Figure, Stroke, box_around
from circuitcheck.drawing.layout.page import Line, Page
from circuitcheck.drawing.sheet import Item
from circuitcheck.drawing.strokes import INK
from circuitcheck.drawing.symbols.feeding import DARK_RED
from circuitcheck.record import record

TINTS = ("#e8f0e4", "#fbeed5", "#e3ecf7", "#f3e6ee", "#ececec", "#e2f2f0")
"""Fills of zone bands, by the order of zones; each band bears its zone's name besides."""

NOTHING = Box(0.0, 0.0, 1.0, 1.0)
"""The room of a drawing without anything."""


@record
class Bundle:
    """Wires that run together, drawn as one line as thick as `width_mm`."""

    line: Line
    width_mm: float


@record
class Band:
    """The ground behind what lies in one zone."""

    box: Box
    tint: str
    zone: str

    @property
    def stroke(self) -> Stroke:
        """The filled rectangle."""
        b = self.box
        corners = ((b.left, b.top), (b.right, b.top), (b.right, b.bottom), (b.left, b.bottom))
        return Stroke(corners, 0.05, closed=True, fill=self.tint, ink=self.tint)


@record
class Strip:
    """One piece of the drawing that stands by itself on a sheet."""

    bundles: tuple[Bundle, ...] = ()
    figures: tuple[Figure, ...] = ()
    bands: tuple[Band, ...] = ()

    @cached_property
    def box(self) -> Box:
        """The room that it takes."""
        boxes = [figure.box for figure in self.figures]
        boxes += [Stroke(bundle.line.points).box for bundle in self.bundles]
        boxes += [band.box for band in self.bands]
        return box_around(boxes or [NOTHING])

    def moved(self, dx: float, dy: float) -> Strip:
        """Return the strip shifted."""
        return Strip(
            tuple(replace(b, line=_moved(b.line, dx, dy)) for b in self.bundles),
            tuple(figure.moved(dx, dy) for figure in self.figures),
            tuple(replace(band, box=band.box.moved(dx, dy)) for band in self.bands),
        )


def _moved(line: Line, dx: float, dy: float) -> Line:
    return replace(line, points=tuple((x + dx, y + dy) for x, y in line.points))


def together(strips: Iterable[Strip]) -> Strip:
    """Return several strips as one."""
    every = list(strips)
    return Strip(
        tuple(bundle for strip in every for bundle in strip.bundles),
        tuple(figure for strip in every for figure in strip.figures),
        tuple(band for strip in every for band in strip.bands),
    )


def items_of(strip: Strip) -> Iterator[Item]:
    """Yield what is painted, the bands first, then bundles, then what is fitted to them."""
    for band in strip.bands:
        yield Item((band.stroke,), (), f"zone {band.zone}")
    for bundle in strip.bundles:
        ink = DARK_RED if bundle.line.fails else INK
        stroke = Stroke(bundle.line.points, bundle.width_mm, ink=ink)
        yield Item((stroke,), (), bundle.line.title)
    for figure in strip.figures:
        yield Item(figure.strokes, figure.letterings, figure.title)


def page_of(strip: Strip, page: Page) -> Page:
    """Return the strip on a page as the overlap check reads it; `page` gives size and margin."""
    lines = tuple(bundle.line for bundle in strip.bundles)
    return replace(page, lines=lines, figures=strip.figures)
