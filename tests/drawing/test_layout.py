"""The wiring diagram as data: complete, true to the circuit, and nothing on anything else."""

from __future__ import annotations

from itertools import combinations
from pathlib import Path
from typing import get_args

import pytest
from drawn_nets import Sets, asked_joints, drawn_joints, lands
from generated_circuits import mixed, renamed
from sample_circuits import CIRCUITS
from sample_harnesses import (
    HOSTILE,
    SAMPLES,
    coil,
    fuse,
    generated,
    handle,
    handle_and_cable,
    harness,
    hostile,
    odd_ends,
    six_coils,
    splice_to_four,
    tap,
    two_coils,
    wire,
)

from circuitcheck import read_harness, read_library
from circuitcheck.drawing.layout.layout import layout
from circuitcheck.drawing.layout.page import Page
from circuitcheck.drawing.line_counts import crossings
from circuitcheck.drawing.marks import Failure
from circuitcheck.drawing.overlap_check import overlaps
from circuitcheck.drawing.text_size import TEXT_MM, shortened
from circuitcheck.model.battery import Battery
from circuitcheck.model.harness import Harness, Part
from circuitcheck.model.splice import Splice
from circuitcheck.model.supply_tap import SupplyTap
from circuitcheck.model.switch import SwitchContact
from circuitcheck.model.terminal import Terminal
from circuitcheck.read.fill_in import fill_in_text

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*/harness.toml"))
GOOD = sorted((Path(__file__).parents[1] / "harnesses" / "good").glob("*.toml"))
GENERATED = 40
MIXED = 30


def every_harness() -> dict[str, Harness]:
    library = read_library()
    every = {name: make() for name, make in (SAMPLES | CIRCUITS).items()}
    every |= {path.parent.name: read_harness(path, library) for path in EXAMPLES}
    every |= {path.stem: read_harness(path, library) for path in GOOD}
    every["fill-in file"] = read_harness("fill.toml", library, text=fill_in_text())
    return every


EVERY = every_harness()


@pytest.fixture(scope="module")
def pages() -> dict[str, Page]:
    return {name: layout(given) for name, given in EVERY.items()}


def everything_fails(given: Harness) -> list[Failure]:
    return [Failure(name, "fails by far") for name in (*given.parts, *given.wires)]


@pytest.mark.parametrize("name", EVERY)
def test_nothing_lies_on_anything_else(name: str, pages: dict[str, Page]):
    assert overlaps(pages[name]) == []


@pytest.mark.parametrize("name", EVERY)
def test_nothing_lies_on_anything_else_when_all_of_it_fails(name: str):
    assert overlaps(layout(EVERY[name], everything_fails(EVERY[name]))) == []


def test_generated_harnesses_are_drawn_clean_and_true():
    sizes = set()
    for seed in range(GENERATED):
        given = generated(seed, 5 + seed * 35 // (GENERATED - 1))
        marks = everything_fails(given)[seed % 3 :: 3] if seed % 2 else None
        page = layout(given, marks)
        assert overlaps(page) == [], seed
        assert_true_to_circuit(page, given)
        sizes.add(len(given.wires))
    assert min(sizes) <= 8
    assert max(sizes) >= 40


def test_generated_harnesses_with_parts_of_every_kind_are_drawn_clean_and_true():
    kinds = set()
    for seed in range(MIXED):
        given = mixed(seed, 5 + seed * 45 // (MIXED - 1))
        marks = everything_fails(given)[seed % 3 :: 3] if seed % 2 else None
        page = layout(given, marks)
        assert overlaps(page) == [], seed
        assert_true_to_circuit(page, given)
        kinds |= {type(part) for part in given.parts.values()}
    assert kinds == set(get_args(Part))


@pytest.mark.parametrize("name", EVERY)
def test_following_the_lines_gives_the_circuit(name: str, pages: dict[str, Page]):
    assert_true_to_circuit(pages[name], EVERY[name])


def assert_true_to_circuit(page: Page, given: Harness) -> None:
    """Two wire ends are joined on paper just where they share a terminal in the harness."""
    drawn, asked = drawn_joints(page, given), asked_joints(given)
    line_of = {line.owner: i for i, line in enumerate(page.lines) if line.kind == "wire"}
    assert len(line_of) == len([line for line in page.lines if line.kind == "wire"])
    assert set(line_of) == set(given.wires)
    drawn_sets = {
        frozenset(drawn.root((line_of[name], end)) for end in (0, -1)) for name in given.wires
    }
    assert all(drawn_sets)
    joined = {}
    for first, second in combinations(given.wires.values(), 2):
        wanted = sum(
            asked.root(a) == asked.root(b)
            for a in {first.start, first.end}
            for b in {second.start, second.end}
        )
        found = sum(
            drawn.root((line_of[first.name], a)) == drawn.root((line_of[second.name], b))
            for a in (0, -1)
            for b in (0, -1)
        )
        joined[first.name, second.name] = (wanted, found)
    wrong = {pair: counts for pair, counts in joined.items() if counts[0] != counts[1]}
    assert not wrong
    for made in given.wires.values():
        first, second = (drawn.root((line_of[made.name], end)) for end in (0, -1))
        assert any(
            reaches(page, given, drawn, first, a) and reaches(page, given, drawn, second, b)
            for a, b in ((made.start, made.end), (made.end, made.start))
        ), made.name


def reaches(page: Page, given: Harness, drawn: Sets, root: object, terminal: Terminal) -> bool:
    """A wire's end, with all that is joined to it, lands on the symbol of its terminal."""
    if isinstance(given.parts[terminal.part], (Splice, Battery, SupplyTap)):
        # These have no single place to land on: a splice is its joints, a post its conductor.
        return terminal in _at(given, drawn, page, root)
    return any(
        lands(page, given, page.lines[index].points[end], terminal)
        for index in range(len(page.lines))
        for end in (0, -1)
        if drawn.root((index, end)) == root
    )


def _at(given: Harness, drawn: Sets, page: Page, root: object) -> set[Terminal]:
    """Terminals without a place of their own that all wires joined here have in common."""
    names = {
        page.lines[index].owner
        for index in range(len(page.lines))
        for end in (0, -1)
        if page.lines[index].kind == "wire" and drawn.root((index, end)) == root
    }
    wires = [given.wires[name] for name in names]
    return set.intersection(*({w.start, w.end} for w in wires)) if wires else set()


@pytest.mark.parametrize("name", EVERY)
def test_every_wire_is_labelled_once_with_all_four_fields(name: str, pages: dict[str, Page]):
    page, given = pages[name], EVERY[name]
    unknown = {(a.subject, a.key) for a in given.assumptions if a.stated_unknown}
    for made in given.wires.values():
        said = [
            " · ".join(text.text for text in reversed(figure.letterings))
            for figure in page.figures
            if figure.owner == made.name and figure.letterings
        ]
        label = [text for text in said if f"{shortened(made.name, 14)} · " in text]
        assert len(label) == 1, made.name
        assert shortened("/".join(made.colour) or "?", 7) in label[0]
        length_m = made.length_m.nominal
        written = f"{length_m:.2f} m" if length_m < 10.0 else f"{length_m:.1f} m"
        assert ("? m" if (made.name, "length") in unknown else written) in label[0]


@pytest.mark.parametrize("name", EVERY)
def test_no_lettering_is_smaller_than_the_standard_allows(name: str, pages: dict[str, Page]):
    """ISO 3098: 2.5 mm is the least height of lettering on a drawing."""
    page = pages[name]
    texts = [text for figure in page.figures for text in figure.letterings]
    texts += [text for outline in page.outlines for text in outline.letterings]
    assert min(text.height_mm for text in (*texts, *page.margin_letterings)) >= 2.5 == TEXT_MM


@pytest.mark.parametrize("name", EVERY)
def test_lines_are_level_or_upright(name: str, pages: dict[str, Page]):
    for line in pages[name].lines:
        for (x0, y0), (x1, y1) in zip(line.points, line.points[1:], strict=False):
            assert (x0 == x1) != (y0 == y1)


def figure_x(page: Page, owner: str) -> float:
    return max(f.body.left for f in page.figures if f.owner == owner and f.body.height > 1.0)


def test_supply_at_the_left_loads_at_the_right_returns_below():
    page = layout(handle_and_cable())
    across = [figure_x(page, name) for name in ("BAT", "TAP", "F1", "GRIP", "X1", "VL")]
    assert across == sorted(across)
    assert figure_x(page, "VL") == figure_x(page, "VR")
    rows = {f.owner: f.body.bottom for f in page.figures if f.owner in ("VL", "VR", "GS1", "F1")}
    assert max(rows, key=lambda owner: rows[owner]) == "GS1"


def test_simple_harnesses_have_no_crossing():
    assert crossings(layout(two_coils())) == 0
    assert crossings(layout(handle_and_cable())) == 0
    for path in EXAMPLES:
        assert crossings(layout(EVERY[path.parent.name])) == 0, path


def test_a_connector_is_held_together_by_one_outline():
    page = layout(six_coils())
    for name in ("X1", "X2"):
        outline = [o for o in page.outlines if o.owner == name]
        assert len(outline) == 1
        cavities = [f for f in page.figures if f.owner == name]
        assert len(cavities) == (4 if name == "X1" else 3)
        assert all(f.box.inside(outline[0].box) for f in cavities)


def test_a_connector_passed_twice_is_shown_in_parts_that_say_so():
    """Feed and output of a handle through one plug: the output side lies beyond the handle."""
    from sample_harnesses import battery, connector

    parts = [
        battery(),
        tap(),
        connector("X1", 2),
        handle("GRIP", [SwitchContact("b", "momentary", ("in", "out"))]),
        coil("Y1"),
    ]
    wires = [
        wire("W1", "TAP", "X1.plug.1"),
        wire("W2", "X1.receptacle.1", "GRIP.in"),
        wire("W3", "GRIP.out", "X1.receptacle.2"),
        wire("W4", "X1.plug.2", "Y1.1"),
        wire("W5", "Y1.2", "BAT.-"),
    ]
    page = layout(harness(parts, wires))
    titles = [t.text for o in page.outlines if o.owner == "X1" for t in o.letterings]
    assert titles == ["X1 (1/2)", "X1 (2/2)"]
    assert overlaps(page) == []


def test_cores_of_a_cable_are_ringed_and_named():
    page = layout(splice_to_four())
    assert [loop.letterings[0].text for loop in page.loops] == ["C1", "C2", "C3", "C4"]
    for n, loop in enumerate(page.loops, start=1):
        crossed = {
            line.owner
            for line in page.lines
            for (x0, y0), (x1, y1) in zip(line.points, line.points[1:], strict=False)
            if y0 == y1
            and min(x0, x1) < loop.body.left
            and max(x0, x1) > loop.body.right
            and loop.body.top < y0 < loop.body.bottom
        }
        assert crossed == {f"W1{n}", f"W4{n}"}


def test_the_machines_own_part_is_set_off_and_said_to_be_described():
    page = layout(two_coils())
    dashed = [outline for outline in page.outlines if outline.dashed]
    assert len(dashed) == 1
    said = " ".join(t.text for t in reversed(dashed[0].letterings))
    assert said == "in the machine, as described"


def test_what_is_unknown_is_said_to_be_unknown():
    page = layout(EVERY["fill-in file"])
    texts = {t.text for f in page.figures for t in f.letterings}
    assert {"key: unknown", "fuse: unknown", "length: unknown", "wire: unknown"} <= texts
    assert any(text.endswith("? Ω") for text in texts)


def test_open_ends_are_shown():
    page = layout(odd_ends())
    tiny = [f for f in page.figures if f.body.width == pytest.approx(1.4, abs=0.05)]
    # F3's load side, cavity 4 of X1 (one side), the far end of Y4, and the feed of TAP3.
    assert len(tiny) == 4


def test_the_sheet_grows_with_the_harness_and_starts_at_a4():
    small = layout(harness([fuse(), coil("Y1")], [wire("W1", "F1.load", "Y1.1")]))
    assert small.size == "A4"
    sizes = ["A4", "A3", "A2", "A1", "A0", "special size"]
    found = [sizes.index(layout(generated(5, n)).size) for n in (5, 20, 60, 120)]
    assert found == sorted(found)
    assert found[-1] > found[0]


def test_hostile_names_are_shortened_and_stay_apart():
    page = layout(hostile())
    assert max(len(t.text) for f in page.figures for t in f.letterings) <= 40
    assert overlaps(page) == []


def test_long_and_hostile_names_leave_parts_of_every_kind_apart():
    given = mixed(3, 45)
    long = {name: f"{n} {HOSTILE} {'W' * 40}" for n, name in enumerate(given.parts)}
    wide = renamed(given, long)
    for marks in (None, everything_fails(wide)):
        page = layout(wide, marks)
        assert overlaps(page) == []
        assert_true_to_circuit(page, wide)


def test_same_harness_same_page():
    assert layout(six_coils()) == layout(six_coils())
