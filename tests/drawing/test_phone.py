"""The strip for a telephone: legible on 480 pixels, nothing on anything else, nothing lost."""

from __future__ import annotations

from collections import defaultdict
from itertools import pairwise

import pytest
from fixed_set import examples, generated_ones
from generated_circuits import mixed

from circuitcheck.drawing.layout.layout import layout
from circuitcheck.drawing.layout.page import Page
from circuitcheck.drawing.layout.phone import PART_HIGH_MM, layout_phone
from circuitcheck.drawing.layout.references import OWNER
from circuitcheck.drawing.legibility import smallest_capital_px, smallest_text_mm
from circuitcheck.drawing.marks import Failure
from circuitcheck.drawing.overlap_check import overlaps
from circuitcheck.drawing.painted import painted
from circuitcheck.drawing.paper import LEAST_CAPITAL_PX, PHONE_MM

HARNESSES = examples() | {
    name: given for name, given in list(generated_ones().items())[::8] if len(given.wires) < 50
}


@pytest.fixture(scope="module")
def strips() -> dict[str, Page]:
    return {name: layout_phone(given) for name, given in HARNESSES.items()}


@pytest.mark.parametrize("name", HARNESSES)
def test_nothing_lies_on_anything_else(name: str, strips: dict[str, Page]):
    assert overlaps(strips[name]) == []


@pytest.mark.parametrize("name", HARNESSES)
def test_capitals_are_seven_pixels_high_on_480(name: str, strips: dict[str, Page]):
    """2.5 mm on a strip of 160 mm shown on 480 px: 7.5 px."""
    assert strips[name].width_mm == PHONE_MM
    sheet = painted(strips[name])
    assert smallest_capital_px(sheet, 480) == pytest.approx(7.5)
    assert smallest_capital_px(sheet) >= LEAST_CAPITAL_PX
    assert smallest_text_mm(sheet) >= 2.5


def test_a_sheet_of_paper_on_a_telephone_is_not_legible():
    sheet = painted(layout(HARNESSES["orchard_sprayer"]))
    assert sheet.width_mm == pytest.approx(297.0)
    assert smallest_capital_px(sheet) < LEAST_CAPITAL_PX


@pytest.mark.parametrize("name", HARNESSES)
def test_every_wire_is_there_and_every_flag_names_the_other_part(
    name: str, strips: dict[str, Page]
):
    page = strips[name]
    assert {line.owner for line in page.lines if line.kind == "wire"} == set(HARNESSES[name].wires)
    heads = {
        text.text: text.y
        for figure in page.figures
        for text in figure.letterings
        if text.text.startswith("Part ") and " of " in text.text
    }
    starts = sorted(heads.values())
    ends = defaultdict(list)
    for figure in page.figures:
        if figure.owner.startswith(OWNER):
            letter, where = figure.letterings
            number = sum(start < where.y for start in starts)
            ends[letter.text].append((number, where.text))
    for (first, to_second), (second, to_first) in ends.values():
        assert (to_second, to_first) == (f"part {second}", f"part {first}")
        assert first != second


@pytest.mark.parametrize("name", HARNESSES)
def test_a_part_is_no_higher_than_a_screen(name: str, strips: dict[str, Page]):
    starts = sorted(
        text.y
        for figure in strips[name].figures
        for text in figure.letterings
        if text.text.startswith("Part ") and " of " in text.text
    )
    for above, below in pairwise(starts):
        assert below - above <= PART_HIGH_MM + 20.0


def test_nothing_lies_on_anything_else_when_all_of_it_fails():
    for seed in (1, 2, 3):
        given = mixed(seed, 25)
        marks = [Failure(name, "fails by far") for name in (*given.parts, *given.wires)]
        page = layout_phone(given, marks)
        assert overlaps(page) == []
        assert page.width_mm == PHONE_MM
