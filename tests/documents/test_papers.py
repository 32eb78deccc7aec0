"""Connector table, bill of materials, wire labels, coil card: by hand, on every file, to print."""

from __future__ import annotations

import csv
import io
import json
import math
import re
from pathlib import Path

import pytest
from click.testing import CliRunner
from hypothesis import given, settings
from hypothesis import strategies as st

from circuitcheck import read_harness, read_library
from circuitcheck.cli.main import circuitcheck
from circuitcheck.documents.cautions import CAUTIONS
from circuitcheck.documents.papers.bill_of_materials import bill_of_materials
from circuitcheck.documents.papers.coil_card import coil_card
from circuitcheck.documents.papers.connector_table import connector_table
from circuitcheck.documents.papers.listing import (
    LENGTH,
    Column,
    Listing,
    listing_csv,
    listing_json,
    listing_text,
)
from circuitcheck.documents.papers.papers import all_papers
from circuitcheck.documents.papers.wire_labels import wire_labels
from circuitcheck.drawing.label_sheets import Label, label_pages
from circuitcheck.drawing.legend import Legend
from circuitcheck.drawing.overlap_check import overlaps
from circuitcheck.drawing.paper import A3, A4, LETTER, Paper, phone_paper
from circuitcheck.drawing.table_sheets import Table, table_pages
from circuitcheck.drawing.title_block import title_block_of
from circuitcheck.model.harness import Harness

ROOT = Path(__file__).parents[2]
GOOD = ROOT / "tests" / "harnesses" / "good"
FILES = sorted([*ROOT.glob("examples/*/harness.toml"), *GOOD.glob("*.toml")])
LIBRARY = read_library()
BRANCHES = GOOD / "branches_12v.toml"
TEXT = BRANCHES.read_text(encoding="utf-8")


def of(text: str) -> Harness:
    return read_harness("given.toml", LIBRARY, text=text)


def bill(harness: Harness) -> dict[tuple[str, str], tuple[object, object]]:
    """Pieces and length by group and item."""
    rows = bill_of_materials(harness, LIBRARY).rows
    return {(str(row[0]), str(row[1])): (row[2], row[3]) for row in rows}


def test_the_bill_added_up_by_hand() -> None:
    """YE: W3 3.71 m and W5 0.72 m cut make 4.43 m, with 10 % 4.873 m: 4.9 m. Six cavities, each
    with a contact and a seal; the conduits of 6 mm: 0.3 m + 1.1 m and 10 %, 1.54 m: 1.6 m.
    """
    bought = bill(of(TEXT))
    assert bought["wire", "14 AWG, YE, XLPE 125"] == ("", pytest.approx(4.9))
    assert bought["contacts", "2.8 mm sealed, plug, to 2.5 mm2"] == (3, "")
    assert bought["contacts", "2.8 mm sealed, receptacle, to 2.5 mm2"] == (3, "")
    assert bought["seals", "wire seal, 2.2 to 3.3 mm"] == (6, "")
    assert bought["splices", "crimp splice, to 2.5 mm2"] == (1, "")
    assert bought["ring terminals", "ring terminal on stud, to 16 mm2"] == (2, "")
    assert bought["fuses", "7.5 A blade fuse, brown"] == (1, "")
    assert bought["suppressors", "diode 400 V 3 A"] == (2, "")
    assert bought["coverings", "conduit, 6 mm inside"] == ("", pytest.approx(1.6))
    assert bought["clips", "clip for the bundle"] == (3 + 6 + 2 + 3, "")
    assert bought["grommets", "grommet for a hole of 22 mm"] == (1, "")
    assert bought["labels", "wire label"] == (22, "")


def test_spare_cavities_take_sealing_plugs_where_the_connector_is_sealed() -> None:
    spare = TEXT.replace("cavities = 3", "cavities = 5")
    assert bill(of(spare))["seals", "sealing plug, 2.8 mm sealed"] == (4, "")
    table = connector_table(of(spare), LIBRARY).rows
    assert [row[3] for row in table].count("(sealing plug)") == 4
    dry = of(spare.replace("2.8 mm sealed", "2.8 mm unsealed"))
    assert ("seals", "sealing plug, 2.8 mm unsealed") not in bill(dry)
    assert [row[3] for row in connector_table(dry, LIBRARY).rows].count("(empty)") == 4


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.parent.name + path.stem)
def test_a_group_of_the_bill_stands_together(path: Path) -> None:
    groups = [row[0] for row in bill_of_materials(read_harness(path, LIBRARY), LIBRARY).rows]
    changes = [one for one, before in zip(groups[1:], groups, strict=False) if one != before]
    assert len(changes) == len(set(groups)) - 1


def test_a_cable_is_bought_as_a_cable_and_what_is_not_measured_is_told() -> None:
    harness = read_harness(GOOD / "cable_24v.toml", LIBRARY)
    cables = {wire.cable for wire in harness.wires.values() if wire.cable}
    listing = bill_of_materials(harness, LIBRARY)
    assert cables
    for cable in cables:
        cores = sum(wire.cable == cable for wire in harness.wires.values())
        row = next(row for row in listing.rows if cable in str(row[4]).split(", "))
        assert str(row[1]).startswith(f"cable {cores} x ")
    unknown = of(TEXT.replace('length = "3.5 m"', 'length = "unknown"', 1))
    notes = " ".join(bill_of_materials(unknown, LIBRARY).notes)
    assert "not counted: W3." in notes
    none = of(TEXT.replace('length = "0.4 m"\nroute', 'length = "unknown"\nroute'))
    assert bill(none)["wire", "8 AWG, BK, XLPE 125"] == ("", None)
    assert "unknown" in listing_text(bill_of_materials(none, LIBRARY))
    assert "not counted" not in " ".join(bill_of_materials(of(TEXT), LIBRARY).notes)


def test_every_cavity_of_every_half_once_with_its_wire() -> None:
    rows = connector_table(of(TEXT), LIBRARY).rows
    assert [row[:4] for row in rows] == [
        ("X1", "plug", "1", "W3"), ("X1", "plug", "2", "W4"), ("X1", "plug", "3", "W10"),
        ("X1", "receptacle", "1", "W5"), ("X1", "receptacle", "2", "W6"),
        ("X1", "receptacle", "3", "W9"),
    ]  # fmt: skip
    assert rows[0][6] == "GRIP.out_left"


def test_labels_go_twice_round_their_wire() -> None:
    """14 AWG is 3.2 mm thick: 2 * pi * 3.2 mm = 20.1 mm. Thin wires get 12 mm at least."""
    rows = wire_labels(of(TEXT), LIBRARY).rows
    assert [row[:4] for row in rows[4:6]] == [
        ("W3", "from", "W3 YE 14 AWG", "GRIP.out_left"),
        ("W3", "to", "W3 YE 14 AWG", "X1.plug.1"),
    ]
    assert rows[4][5] == pytest.approx(0.0201, abs=5e-5)
    thin = wire_labels(of(TEXT.replace('"14 AWG"', '"24 AWG"')), LIBRARY).rows
    assert min(float(str(row[5])) for row in thin) == pytest.approx(0.012)


@given(st.text(min_size=1, max_size=40), st.floats(12.0, 120.0))
def test_a_label_repeats_its_words_whole_and_inside(words: str, around_mm: float) -> None:
    label = Label((words, "X1.plug.1"), around_mm)
    figure = label.drawn(0.0, 0.0)
    assert all(text.box.inside(figure.body) for text in figure.letterings)
    assert len(figure.letterings) % 2 == 0
    assert len(figure.letterings) >= 2
    # Of the words at least one set stands in each turn of a label for a wire of 4 mm or more.
    if around_mm >= 2 * math.pi * 4.0:
        assert len(figure.letterings) >= 4


def test_the_card_says_what_moves_who_revised_and_the_cautions() -> None:
    dated = TEXT.replace('revision = "A"', 'revision = "B"\nauthor = "J. Smith"\ndate = "May 2026"')
    said = listing_text(coil_card(of(dated)))
    for words in ("shuts off the left boom", "spray", "Revision: B", "Date: May 2026", "J. Smith",
                  "stays in the machine", "7.5 A blade. Never a larger one"):  # fmt: skip
        assert words in said
    flat = " ".join(said.split())
    assert all(caution in flat for caution in CAUTIONS)
    assert "Date: ...." in listing_text(coil_card(of(TEXT)))


@pytest.mark.parametrize("path", FILES, ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_every_paper_of_every_file(path: Path) -> None:
    """Text fits the screen, CSV and JSON hold the same rows, sheets have nothing on anything."""
    harness = read_harness(path, LIBRARY)
    for _, title, listing in all_papers(harness, LIBRARY):
        for width in (24, 40, 80):
            text = listing_text(listing, width=width)
            assert max(map(len, text.split("\n"))) <= width
        read = list(csv.reader(io.StringIO(listing_csv(listing), newline="")))
        record = json.loads(listing_json(listing))
        assert len(read) - 1 == len(record["rows"]) == len(listing.rows)
        assert read[0] == (list(record["rows"][0]) if listing.rows else read[0])
        assert set(map(len, read)) == {len(listing.columns)}
        block = title_block_of(harness, title)
        for paper in (A4, LETTER, phone_paper(4000.0)):
            table = Table(listing.heading, *listing.on_paper())
            for page in table_pages([table], block, paper, Legend(listing.notes[:3])):
                assert not overlaps(page.page())


@pytest.mark.parametrize("paper", [A4, A3, LETTER, phone_paper(4000.0)], ids=lambda p: p.name)
def test_labels_on_paper_lie_side_by_side(paper: Paper) -> None:
    harness = read_harness(GOOD / "relay_indicators_12v.toml", LIBRARY)
    rows = wire_labels(harness, LIBRARY).rows
    labels = [Label((str(r[2]), str(r[3])), float(str(r[5])) * 1e3) for r in rows]
    pages = label_pages(labels, title_block_of(harness, "Wire labels"), paper, Legend(()))
    assert sum(len(page.figures) for page in pages) == len(labels)
    for page in pages:
        assert not overlaps(page.page())


CELLS = st.text(max_size=60)


@settings(max_examples=40, deadline=None)
@given(
    st.lists(st.tuples(CELLS, CELLS, CELLS), max_size=12),
    st.sampled_from([A4, phone_paper(2000.0)]),
)
def test_any_table_has_nothing_on_anything(rows: list[tuple[str, str, str]], paper: Paper) -> None:
    harness = of(TEXT)
    table = Table("Any", ("one", "two", "three"), tuple(rows))
    pages = table_pages([table], title_block_of(harness, "Any table"), paper)
    for page in pages:
        assert not overlaps(page.page())
    assert len([f for page in pages for f in page.figures if f.title or f.letterings]) >= 1


@given(st.text(max_size=30))
def test_no_cell_of_a_list_is_a_formula(cell: str) -> None:
    listing = Listing("Any", (Column("a", "a"), Column("b", "b", LENGTH)), ((cell, 1.5),))
    out = listing_csv(listing)
    read = next(csv.reader(io.StringIO(out.split("\r\n", 1)[1], newline="")))
    assert not read[0].lstrip(" \u00a0\ufeff").startswith(("=", "+", "-", "@", "\t", "\r", "\n"))
    assert read[0] in (cell, f"'{cell}")
    assert read[1] == "1.5"


@pytest.mark.parametrize(
    "command", ["wire-list", "connector-table", "bill-of-materials", "wire-labels", "coil-card"]
)
def test_each_command_prints_text_csv_json_and_sheets(command: str, tmp_path: Path) -> None:
    def call(*more: str) -> str:
        done = CliRunner(env={"COLUMNS": "40"}).invoke(
            circuitcheck, [command, str(BRANCHES), *more]
        )
        assert done.exit_code == 0, done.output
        return done.output

    assert max(map(len, call().split("\n"))) <= 40
    assert re.match(r"[a-z_]+,", call("--csv"))
    assert json.loads(call("--json"))["rows"]
    path = tmp_path / "paper.pdf"
    assert "is drawn" in call("--print", str(path), "--paper", "Letter")
    assert path.read_bytes().startswith(b"%PDF")
    call("--print", str(tmp_path / "phone.svg"), "--phone")
    wrong = CliRunner().invoke(circuitcheck, [command, str(BRANCHES), "--csv", "--json"])
    assert wrong.exit_code == 2


def test_all_papers_into_a_folder(tmp_path: Path) -> None:
    folder = tmp_path / "made" / "here"
    done = CliRunner().invoke(circuitcheck, ["papers", str(BRANCHES), "--output", str(folder)])
    assert done.exit_code == 0, done.output
    names = {path.name for path in folder.iterdir()}
    assert names == {
        f"{name}.{kind}"
        for name in (
            "wire-list",
            "connector-table",
            "bill-of-materials",
            "wire-labels",
            "coil-card",
        )
        for kind in ("pdf", "csv")
    }
    again = CliRunner().invoke(circuitcheck, ["papers", str(BRANCHES), "--output", str(BRANCHES)])
    assert again.exit_code != 0


def test_the_routing_command_draws_its_sheets(tmp_path: Path) -> None:
    out = tmp_path / "r.svg"
    done = CliRunner().invoke(circuitcheck, ["routing", str(BRANCHES), "--output", str(out)])
    assert done.exit_code == 0, done.output
    assert sorted(path.name for path in tmp_path.iterdir()) == ["r-1.svg", "r-2.svg"]
    both = CliRunner().invoke(
        circuitcheck, ["routing", str(BRANCHES), "--output", str(out), "--phone", "--paper", "A4"]
    )
    assert both.exit_code == 2
