"""A long harness on several sheets: every wire is there, every reference finds its other end."""

from __future__ import annotations

import re
from collections import defaultdict

import pytest
from drawn_nets import drawn_joints
from fixed_set import examples, generated_ones
from generated_circuits import mixed
from sample_harnesses import coil, generated, harness, tap, wire

from circuitcheck.drawing.layout.page import Page
from circuitcheck.drawing.layout.references import OWNER, letters
from circuitcheck.drawing.layout.sheets import layout_sheets
from circuitcheck.drawing.marks import Failure
from circuitcheck.drawing.overlap_check import overlaps
from circuitcheck.drawing.paper import A3, A4, LETTER, Paper, zone_at
from circuitcheck.drawing.text_size import shortened
from circuitcheck.model.ground import Frame
from circuitcheck.model.harness import Harness

CASES = {
    **{f"{name} on {paper.name}": (given, paper)
       for name, given in examples().items() for paper in (A4, LETTER)},
    **{f"{name} on A3": (given, A3)
       for name, given in list(generated_ones().items())[::9] if len(given.wires) < 70},
    "mixed on A4": (mixed(4, 40), A4),
    "generated on Letter": (generated(4, 40), LETTER),
}  # fmt: skip


def everything_fails(given: Harness) -> list[Failure]:
    return [Failure(name, "fails by far") for name in (*given.parts, *given.wires)]


@pytest.fixture(scope="module")
def laid() -> dict[str, tuple[Page, ...]]:
    return {name: layout_sheets(given, paper=paper) for name, (given, paper) in CASES.items()}


def references(pages: tuple[Page, ...]) -> dict[str, list[tuple[int, Page, object]]]:
    found = defaultdict(list)
    for number, page in enumerate(pages, start=1):
        for figure in page.figures:
            if figure.owner.startswith(OWNER):
                found[figure.letterings[0].text].append((number, page, figure))
    return found


@pytest.mark.parametrize("name", CASES)
def test_nothing_lies_on_anything_else(name: str, laid: dict[str, tuple[Page, ...]]):
    assert [found for page in laid[name] for found in overlaps(page)] == []


@pytest.mark.parametrize("name", CASES)
def test_each_letter_stands_twice_and_names_the_other_place(
    name: str, laid: dict[str, tuple[Page, ...]]
):
    for letter, ends in references(laid[name]).items():
        assert len(ends) == 2, letter
        (first, page_1, figure_1), (second, page_2, figure_2) = ends
        assert first != second
        for figure, other, page, there in (
            (figure_1, second, page_2, figure_2),
            (figure_2, first, page_1, figure_1),
        ):
            middle = (
                (there.body.left + there.body.right) / 2,
                (there.body.top + there.body.bottom) / 2,
            )
            zone = zone_at(Paper("", page.width_mm, page.height_mm), middle)
            assert figure.letterings[1].text == f"sheet {other}, {zone}"


@pytest.mark.parametrize("name", CASES)
def test_the_sheets_together_show_the_circuit(name: str, laid: dict[str, tuple[Page, ...]]):
    """Wire ends that share a terminal are joined on paper, sheet by sheet and by references."""
    given, _ = CASES[name]
    pieces = defaultdict(list)
    for number, page in enumerate(laid[name]):
        joints = drawn_joints(page, given)
        for index, line in enumerate(page.lines):
            if line.kind == "wire":
                for end in (0, -1):
                    pieces[line.owner].append((number, joints.root((index, end))))
    assert set(pieces) == set(given.wires)
    cut = {wire for wire, ends in pieces.items() if len({sheet for sheet, _ in ends}) > 1}
    assert len(cut) == len(references(laid[name]))
    frames = {part.name for part in given.of_kind(Frame)}
    for first in given.wires.values():
        for second in given.wires.values():
            shared = {first.start, first.end} & {second.start, second.end}
            shared = {t for t in shared if t.part not in frames}
            if first.name < second.name and shared:
                assert set(pieces[first.name]) & set(pieces[second.name]), (first, second)


def test_every_part_and_sign_is_on_a_sheet_that_explains_it():
    given = mixed(4, 40)
    pages = layout_sheets(given, everything_fails(given), paper=A4)
    assert len(pages) > 2
    assert [found for page in pages for found in overlaps(page)] == []
    for name in given.parts:
        own = [page for page in pages if any(f.owner == name for f in page.figures)]
        assert own, name
        said = f"{shortened(name, 16)}: fails by far"
        assert all(any(t.text == said for t in page.margin_letterings) for page in own), name


def test_sheets_are_counted_in_the_title_block():
    pages = layout_sheets(generated(4, 40), paper=A4)
    said = [
        next(t.text for t in page.margin_letterings if t.text.startswith("Sheet: "))
        for page in pages
    ]
    assert said == [f"Sheet: {n} of {len(pages)}" for n in range(1, len(pages) + 1)]


def test_one_sheet_has_no_zones_and_several_have():
    small = layout_sheets(harness([tap(), coil("Y1")], [wire("W1", "TAP", "Y1.1")]))
    assert [page.size for page in small] == ["A4"]
    assert not any(re.fullmatch("[A-D]", t.text) for t in small[0].margin_letterings)
    many = layout_sheets(generated(4, 40), paper=A4)
    assert all(any(t.text == "A" for t in page.margin_letterings) for page in many)


def test_a_connector_on_two_sheets_is_counted_over_both():
    pages = layout_sheets(generated(0, 60), paper=A4)
    titles = defaultdict(list)
    for page in pages:
        for outline in page.outlines:
            for text in outline.letterings:
                if found := re.fullmatch(r"(.*) \((\d+)/(\d+)\)", text.text):
                    titles[found[1]].append((int(found[2]), int(found[3])))
    assert titles
    for counts in titles.values():
        assert counts == [(n, len(counts)) for n in range(1, len(counts) + 1)]


def test_frames_say_that_they_are_one_and_the_same():
    pages = layout_sheets(mixed(4, 40), paper=A4)
    shown = [page for page in pages if any(f.owner == "CHASSIS" for f in page.figures)]
    assert len(shown) > 1
    for page in pages:
        said = " ".join(t.text for t in page.margin_letterings)
        assert "Each frame is one and the same on all sheets: CHASSIS" in said


def test_zones_are_counted_from_the_upper_left_in_fields_of_50_mm():
    """ISO 5457: A4 landscape has fields 1 to 6 and A to D, symmetrical about the middle."""
    assert zone_at(A4, (12.0, 12.0)) == "A1"
    assert zone_at(A4, (285.0, 198.0)) == "D6"
    assert zone_at(A4, (297.0 / 2 + 1, 210.0 / 2 - 1)) == "B4"
    assert zone_at(A3, (420.0 / 2 + 49, 297.0 / 2 + 49)) == "D5"


def test_letters_leave_out_those_that_read_as_figures():
    found = [letter for letter, _ in zip(letters(), range(30), strict=False)]
    assert found[:10] == list("ABCDEFGHJK")
    assert "O" not in found
    assert found[24:26] == ["AA", "AB"]


def test_same_harness_same_sheets():
    assert layout_sheets(mixed(5, 40), paper=A4) == layout_sheets(mixed(5, 40), paper=A4)


def test_letters_run_from_top_to_bottom_on_the_first_sheet():
    page = layout_sheets(generated(4, 40), paper=A4)[0]
    found = [f for f in page.figures if f.owner.startswith(OWNER)]
    assert len(found) > 1
    in_rows = sorted(found, key=lambda f: f.body.top)
    assert [f.letterings[0].text for f in in_rows] == sorted(f.letterings[0].text for f in found)
