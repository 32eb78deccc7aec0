"""The routing drawing: clean on every harness, true to the file, mirrored faces, same bytes."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest
from generated_circuits import mixed
from sample_harnesses import generated

from circuitcheck import InputError, read_harness, read_library
from circuitcheck.drawing.marks import Failure, Notes, notes_on
from circuitcheck.drawing.overlap_check import overlaps
from circuitcheck.drawing.paper import A3, A4, LETTER, Paper, phone_paper
from circuitcheck.drawing.render import render
from circuitcheck.drawing.routing import routing_layout, routing_sheets
from circuitcheck.drawing.routing.content import Content
from circuitcheck.drawing.routing.cutting import Cuts, Frame
from circuitcheck.drawing.routing.faces import centres_of, places_of
from circuitcheck.drawing.routing.followed import Looks
from circuitcheck.drawing.routing.legends import ASSUMED, MEASURED
from circuitcheck.drawing.routing.run_drawing import drawn_run
from circuitcheck.drawing.routing.runs import look_of
from circuitcheck.drawing.routing.sheets import RoutingPage
from circuitcheck.drawing.routing.tree import Run
from circuitcheck.drawing.strokes import INK
from circuitcheck.model.connector import Connector
from circuitcheck.model.harness import Harness

ROOT = Path(__file__).parents[3]
FILES = sorted([*ROOT.glob("examples/*/harness.toml"), *ROOT.glob("tests/harnesses/good/*.toml")])
BRANCHES = ROOT / "tests" / "harnesses" / "good" / "branches_12v.toml"
LIBRARY = read_library()
PAPERS = (None, A4, LETTER, A3, phone_paper(4000.0))


@pytest.fixture(scope="module")
def branched() -> Harness:
    return read_harness(BRANCHES, LIBRARY)


def marked(harness: Harness) -> list[Failure]:
    """A failing sign on every part and wire: the most that can be asked for."""
    return [Failure(name, "voltage drop 1 V") for name in (*harness.parts, *harness.wires)]


def texts(harness: Harness, paper: Paper | None = None) -> list[str]:
    sheets = routing_sheets(harness, LIBRARY, paper=paper)
    return [text.text for sheet in sheets for text in sheet.letterings]


@pytest.mark.parametrize("path", FILES, ids=lambda path: f"{path.parent.name}/{path.stem}")
@pytest.mark.parametrize("paper", PAPERS, ids=lambda paper: paper.name if paper else "open")
def test_no_overlap_on_any_file(path: Path, paper: Paper | None) -> None:
    harness = read_harness(path, LIBRARY)
    for marks in (None, marked(harness)) if paper in (None, PAPERS[-1]) else (None,):
        for page in routing_layout(harness, LIBRARY, marks, paper=paper):
            assert not overlaps(page.page())


@pytest.mark.parametrize("seed", range(14))
def test_no_overlap_on_generated_harnesses(seed: int) -> None:
    """5 to 150 wires at random, on each kind of paper in turn."""
    harness = mixed(seed, 5 + seed * 145 // 13)
    paper = PAPERS[seed % len(PAPERS)]
    marks = marked(harness) if seed % 3 == 0 else None
    for page in routing_layout(harness, LIBRARY, marks, paper=paper):
        assert not overlaps(page.page())


@pytest.mark.parametrize("seed", range(6))
def test_room_by_which_sheets_are_filled_is_what_is_drawn(seed: int) -> None:
    """Sheets are chosen before anything is drawn: the boxes must agree, however often one cuts."""
    looks = Looks(Content(mixed(seed, 12 + 20 * seed), LIBRARY, Notes()))
    for piece in Cuts(looks).to(Frame(180.0, 120.0, 10.0)).pieces:
        room, drawn = piece.box.moved(3.0, 5.0), piece.moved(3.0, 5.0).box
        for side in ("left", "top", "right", "bottom"):
            assert getattr(room, side) == pytest.approx(getattr(drawn, side))


def test_halves_that_are_plugged_together_bear_the_connectors_name() -> None:
    made = generated(44, 20)
    names = {f"{connector.name} mated" for connector in made.of_kind(Connector)}
    sheets = routing_sheets(made, LIBRARY, paper=A3)
    titles = {item.title for sheet in sheets for item in sheet.items}
    mated = {title for title in titles if title.endswith(" mated")}
    assert mated
    assert mated <= names


@pytest.mark.parametrize("seed", range(6))
def test_halves_that_meet_are_parted_before_a_letter_is_spent_behind_them(seed: int) -> None:
    looks = Looks(Content(generated(40 + seed, 30), LIBRARY, Notes()))
    for piece in Cuts(looks).to(Frame(240.0, 120.0, 10.0)).pieces:
        for row in piece.rows:
            cut, before = row.runs[-1].run.cut, row.runs[-2:-1]
            assert not (cut and len(row.runs) > 2 and before[0].run.branch is None)


def test_every_place_length_and_fitting_of_the_file_is_written(branched: Harness) -> None:
    said = " ".join(texts(branched))
    for branch in branched.branches.values():
        assert branch.length_m is not None
        assert f"{branch.length_m.nominal:.2f} m" in said
        assert f"{branch.name} · " in said
    for words in (
        "split conduit 10 mm", "braided sleeve 6 mm", "3 clips, every 0.40 m", "SP1", "at 1.30 m",
        "grommet, hole 22 mm", "cab: −10 to 45 °C", "FLOOR", "TEE",
    ):  # fmt: skip
        assert words in said
    assert MEASURED in said
    assert "assumed from zones" not in said
    assert "In no branch: W11." in said


def test_thickness_by_hand(branched: Harness) -> None:
    """B5 has five wires, four of 3.2 mm where it is fullest: 1.25 * sqrt(4) * 3.2 mm = 8.0 mm.

    B7 holds two: side by side 6.4 mm, more than 1.25 * sqrt(2) * 3.2 mm = 5.7 mm, and more than its
    conduit of 6 mm takes.
    """
    said = texts(branched)
    assert "B5 · up to 4 wires · Ø 8.0 mm" in said
    at = said.index("B7 · 2 wires · Ø 6.4 mm")
    assert said[at + 1 : at + 3] == ["conduit 6 mm", "too narrow for the bundle"]


def test_without_branches_the_drawing_says_that_it_assumes() -> None:
    harness = read_harness(ROOT / "tests" / "harnesses" / "good" / "two_valves_12v.toml", LIBRARY)
    said = " ".join(texts(harness, A3))
    assert ASSUMED in said
    for part in harness.parts:
        assert part in said


def test_a_wire_of_known_length_is_told_where_routes_are_assumed() -> None:
    harness = read_harness(ROOT / "tests" / "harnesses" / "good" / "two_valves_12v.toml", LIBRARY)
    lengths = {f"{wire.length_m.nominal:.2f} m" for wire in harness.wires.values()}
    said = " ".join(texts(harness))
    assert any(f"{length} long" in said for length in lengths)


@pytest.mark.parametrize("rows", [None, 1, 3])
@pytest.mark.parametrize("cavities", [1, 2, 3, 4, 7, 12, 13])
def test_the_two_halves_mirror_each_other(cavities: int, rows: int | None) -> None:
    """Laid face to face, cavity n of the plug meets cavity n of the receptacle."""
    plug = {c: (row, column) for c, row, column in places_of(cavities, "plug", rows)}
    other = {c: (row, column) for c, row, column in places_of(cavities, "receptacle", rows)}
    last = max(column for _, column in other.values())
    for cavity in range(1, cavities + 1):
        assert plug[cavity] == (other[cavity][0], last - other[cavity][1])
    assert len(set(plug.values())) == cavities


def test_a_seven_way_socket_mirrors_too() -> None:
    harness = read_harness(ROOT / "examples/tipping_trailer_shared_return/harness.toml", LIBRARY)
    socket = harness.of_kind(Connector)[0]
    plug = {cavity: (x, y) for cavity, x, y in centres_of(socket, "plug")}
    other = {cavity: (x, y) for cavity, x, y in centres_of(socket, "receptacle")}
    middle = other[7][0]
    for cavity, (x, y) in other.items():
        assert plug[cavity] == pytest.approx((2 * middle - x, y))


def test_a_face_says_side_wire_colour_and_plugs_what_is_empty(branched: Harness) -> None:
    said = texts(branched)
    assert "X1 plug, wire side" in said
    assert "X1 receptacle, wire side" in said
    assert {"W3", "YE", "14 AWG"} <= set(said)
    text = BRANCHES.read_text(encoding="utf-8").replace("cavities = 3", "cavities = 4")
    spare = texts(read_harness("spare.toml", LIBRARY, text=text))
    assert spare.count("sealing") == 2  # cavity 4 of both halves


@pytest.mark.parametrize("paper", PAPERS, ids=lambda paper: paper.name if paper else "open")
def test_clean_with_nothing_wired_little_branched_and_hanging_letters(paper: Paper | None) -> None:
    text = BRANCHES.read_text(encoding="utf-8")
    hanging = read_harness("g.toml", LIBRARY, text=text.replace("[wire.W3]", "[wire.gyp_jq]"))
    whole = read_harness("h.toml", LIBRARY, text=text)
    one = {"B1": whole.branches["B1"]}
    for harness in (
        hanging,
        replace(whole, wires={}),
        replace(whole, wires={}, branches={}),
        replace(whole, branches=one),
    ):
        for page in routing_layout(harness, LIBRARY, paper=paper):
            assert not overlaps(page.page())


def test_rows_of_cavities_as_the_file_says() -> None:
    """Six cavities in three rows: 1 2 over 3 4 over 5 6, seen on the receptacle."""
    assert places_of(6, "receptacle", 3)[3:] == [(4, 1, 1), (5, 2, 0), (6, 2, 1)]
    text = BRANCHES.read_text(encoding="utf-8").replace("cavities = 3", "cavities = 3\nrows = 1")
    said = " ".join(texts(read_harness("rows.toml", LIBRARY, text=text)))
    assert "Rows of cavities are assumed" not in said
    with pytest.raises(InputError, match="4 rows of 3 cavities"):
        read_harness("rows.toml", LIBRARY, text=text.replace("rows = 1", "rows = 4"))


def test_failing_wires_bear_the_number_of_the_finding(branched: Harness) -> None:
    marks = [Failure("W3", "voltage drop 1 V", 4), Failure("X1", "contact too weak", 7)]
    sheets = routing_sheets(branched, LIBRARY, marks)
    said = [text.text for sheet in sheets for text in sheet.letterings]
    assert "W3 !4" in said  # in the faces
    assert said[said.index("4") + 1] == "W3"  # beside its sign, on the longest of its branches
    assert any("voltage drop 1 V" in line for line in said)


def test_branches_that_close_a_ring_are_drawn_once_and_refer() -> None:
    ring = '\n[branch.B8]\nfrom = "GRIP"\nto = "GS1"\nlength = "2 m"\nzone = "engine"\n'
    text = BRANCHES.read_text(encoding="utf-8") + ring
    harness = read_harness("ring.toml", LIBRARY, text=text)
    pages = routing_layout(harness, LIBRARY)
    assert not [found for page in pages for found in overlaps(page.page())]
    said = [text.text for page in pages for text in page.sheet("").letterings]
    assert sum(word.startswith("B8 · ") for word in said) == 1
    assert any(word.startswith("to ") and word[3:] in ("GRIP", "GS1", "FLOOR") for word in said)


def test_marks_lead_from_sheet_to_sheet() -> None:
    pages = routing_layout(mixed(90, 95), LIBRARY, paper=A4)
    drawn = [page for page in pages if isinstance(page, RoutingPage)]
    assert len(drawn) > 1
    at: dict[str, int] = {}
    for page in drawn:
        for figure in page.strip.figures:
            if figure.owner.startswith("mark "):
                at[figure.owner] = at.get(figure.owner, 0) + 1
    assert at
    assert set(at.values()) == {2}


@pytest.mark.parametrize("suffix", [".svg", ".pdf"])
def test_same_file_same_bytes(branched: Harness, tmp_path: Path, suffix: str) -> None:
    drawn = []
    for name in ("a", "b"):
        sheet = routing_sheets(branched, LIBRARY)[0]
        render([sheet], tmp_path / f"{name}{suffix}")
        drawn.append((tmp_path / f"{name}{suffix}").read_bytes())
    assert drawn[0] == drawn[1]


def test_svg_has_real_text_and_titles(branched: Harness, tmp_path: Path) -> None:
    render([routing_sheets(branched, LIBRARY)[0]], tmp_path / "r.svg")
    svg = (tmp_path / "r.svg").read_text(encoding="utf-8")
    titles = re.findall(r"<title>([^<]*)</title>", svg)
    assert "branch B3, FLOOR to X1.plug: W3, W4, W10" in titles
    assert "connector X1, plug from the wire side" in titles
    assert ">GRIP</text>" in svg


def test_hostile_words_are_inert(tmp_path: Path) -> None:
    text = BRANCHES.read_text(encoding="utf-8").replace("cab floor", "<script>$x^2$ & \u202e")
    with pytest.raises(Exception, match="control characters"):
        read_harness("bad.toml", LIBRARY, text=text)
    text = text.replace(" \u202e", " ]]>")
    harness = read_harness("bad.toml", LIBRARY, text=text)
    render([routing_sheets(harness, LIBRARY)[0]], tmp_path / "r.svg")
    svg = (tmp_path / "r.svg").read_text(encoding="utf-8")
    assert "<script" not in svg
    assert "$x^2$ &amp;" in svg


def test_every_clip_is_drawn_clear_of_what_sits_on_the_branch(branched: Harness) -> None:
    """A clip is a filled bridge of four corners; one beside a grommet moves, none is left out."""
    for branch in branched.branches.values():
        look = look_of(
            Run(branch, True, 1.0), Content(branched, LIBRARY, notes_on(branched, ())), ""
        )
        drawn = drawn_run(look, 0.0, 60.0, ("a", "b"))
        bridges = [s for f in drawn.figures for s in f.strokes if s.closed and s.fill == INK]
        assert len([s for s in bridges if len(s.points) == 4]) == len(branch.clip_places_m)
