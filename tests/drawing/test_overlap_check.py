"""The overlap check sees what it is there to see: a clean page is spoilt in every way."""

from __future__ import annotations

from dataclasses import replace

import pytest
from sample_harnesses import handle_and_cable, six_coils

from circuitcheck.drawing.geometry import Box, Figure, Lettering, Stroke
from circuitcheck.drawing.layout.layout import layout
from circuitcheck.drawing.layout.page import WIRE, Line, Outline, Page
from circuitcheck.drawing.line_counts import crossings
from circuitcheck.drawing.overlap_check import overlaps


@pytest.fixture(scope="module")
def page() -> Page:
    clean = layout(handle_and_cable())
    assert overlaps(clean) == []
    return clean


def kinds(page: Page) -> set[str]:
    return {overlap.kind for overlap in overlaps(page)}


def figure(page: Page, owner: str):
    return next(f for f in page.figures if f.owner == owner and f.body.height > 1.0)


def line(page: Page, *points: tuple[float, float]) -> Page:
    stray = Line("stray", WIRE, frozenset({"stray"}), points)
    return replace(page, lines=(*page.lines, stray))


def with_text(page: Page, x: float, y: float) -> Page:
    fuse = figure(page, "F1")
    stray = replace(fuse, body=Box(0, 0, 0, 0), strokes=(), letterings=(Lettering(x, y, "stray"),))
    return replace(page, figures=(*page.figures, stray))


def test_text_on_text(page: Page):
    name = figure(page, "F1").letterings[0]
    assert "text on text" in kinds(with_text(page, name.x, name.y + 1.0))


def test_text_on_symbol(page: Page):
    body = figure(page, "VL").body
    assert "text on symbol" in kinds(with_text(page, body.left + 8.0, body.top + 1.0))


def test_text_on_the_loop_of_a_cable(page: Page):
    body = page.loops[0].body
    middle = (body.top + body.bottom) / 2.0
    assert "text on symbol" in kinds(with_text(page, body.left, middle))


def test_symbol_on_symbol(page: Page):
    fuse = figure(page, "F1")
    spoilt = replace(page, figures=(*page.figures, fuse.moved(3.0, 1.0)))
    assert "symbol on symbol" in kinds(spoilt)


def test_line_through_symbol(page: Page):
    body = figure(page, "F1").body
    x = (body.left + body.right) / 2.0
    assert "line through symbol" in kinds(line(page, (x, body.top - 9.0), (x, body.bottom + 9.0)))


def test_line_through_text(page: Page):
    name = figure(page, "F1").letterings[0]
    y = name.y - 1.0
    assert kinds(line(page, (name.box.left - 0.5, y), (name.box.right + 0.5, y))) == {
        "line through text"
    }


def wire_piece(page: Page, owner: str):
    points = next(i.points for i in page.lines if i.owner == owner)
    return points[0], points[1]


def test_line_along_another(page: Page):
    (x0, y), (x1, _) = wire_piece(page, "W1")
    assert "line along line" in kinds(line(page, (x0, y + 0.3), (x1, y + 0.3)))


def test_a_bend_that_looks_like_a_joint(page: Page):
    (x0, y), (x1, _) = wire_piece(page, "W5")
    x = (x0 + x1) / 2.0
    assert "false joint" in kinds(line(page, (x, y), (x, y + 5.0)))


def test_a_plain_crossing_is_no_overlap_but_counted():
    page = layout(six_coils())
    assert overlaps(page) == []
    assert crossings(page) > 0


def test_foreign_line_through_an_outline(page: Page):
    box = next(o.box for o in page.outlines if o.owner == "X1")
    y = box.bottom - 1.0
    assert "line through outline" in kinds(line(page, (box.left - 2.0, y), (box.right + 2.0, y)))
    x = box.left + 0.1
    assert "line along outline" in kinds(line(page, (x, box.top), (x, box.bottom)))


def test_outlines_on_others(page: Page):
    box = next(o.box for o in page.outlines if o.owner == "GRIP")
    stray = Outline("stray", box.moved(4.0, 4.0))
    found = kinds(replace(page, outlines=(*page.outlines, stray)))
    assert {"outline on outline", "symbol in outline"} <= found
    through = Outline("stray", Box(box.left + 2.0, box.top - 30.0, box.right, box.top + 40.0))
    assert "outline through text" in kinds(replace(page, outlines=(*page.outlines, through)))


def test_outside_the_frame(page: Page):
    area = page.area
    assert "outside" in kinds(line(page, (area.left - 2.0, area.top), (area.left, area.top)))
    assert "outside" in kinds(with_text(page, area.right - 1.0, area.top + 10.0))


def test_a_stroke_of_a_symbol_through_its_own_lettering(page: Page):
    fuse = figure(page, "F1")
    name = fuse.letterings[0]
    y = name.y - 1.0
    stroke = Stroke(((name.box.left, y), (name.box.right, y)))
    spoilt = replace(fuse, strokes=(*fuse.strokes, stroke))
    figures = tuple(spoilt if f is fuse else f for f in page.figures)
    assert kinds(replace(page, figures=figures)) == {"stroke through text"}


def test_a_stroke_of_a_symbol_outside_its_part_of_the_sheet(page: Page):
    """A rule that sticks out is drawn all the same, however small the body of its figure is."""
    area = page.area
    inside = Box(area.left + 1.0, area.top + 1.0, area.left + 2.0, area.top + 2.0)
    rule = Stroke(((area.left + 1.0, area.top + 1.5), (area.right + 3.0, area.top + 1.5)))
    stray = Figure("stray", inside, (rule,))
    assert "outside" in kinds(replace(page, figures=(*page.figures, stray)))
