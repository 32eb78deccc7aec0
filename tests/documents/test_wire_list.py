"""The wire list as rows, text and CSV."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st

from circuitcheck import read_harness, read_library
from circuitcheck.cli.wire_list import wire_list
from circuitcheck.documents.csv_text import safe_cell
from circuitcheck.documents.papers.listing import listing_csv, listing_text
from circuitcheck.documents.papers.wire_list import COLUMNS
from circuitcheck.documents.papers.wire_list import wire_list as listed
from circuitcheck.model.harness import Harness
from circuitcheck.read.fill_in import fill_in_text

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*/harness.toml"))
GOOD = Path(__file__).parents[1] / "harnesses" / "good"
LIBRARY = read_library()
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n")


@pytest.fixture(scope="module")
def sprayer() -> Harness:
    path = next(path for path in EXAMPLES if path.parent.name == "orchard_sprayer")
    return read_harness(path, read_library())


def rows_of(harness: Harness) -> dict[str, dict[str, object]]:
    keys = [column.key for column in COLUMNS]
    rows = listed(harness, LIBRARY).rows
    return {str(row[0]): dict(zip(keys, row, strict=True)) for row in rows}


def test_one_row_per_wire_with_what_the_file_says(sprayer: Harness):
    rows = rows_of(sprayer)
    assert list(rows) == list(sprayer.wires)
    row = rows["W3"]
    assert (row["from"], row["to"]) == ("GRIP.out_left", "X1.plug.1")
    assert (row["colour"], row["route"]) == ("YE", "cab > boom")
    assert row["length"] == sprayer.wires["W3"].length_m.nominal
    assert row["from_end"] == "switch handle terminal"
    assert row["to_end"] == "2.8 mm sealed, plug, tin"
    assert row["material"] == "copper"
    assert rows["W9"]["from_end"] == "splice"
    assert rows["W11"]["from_end"] == rows["W11"]["to_end"] == "ring terminal"


def test_strip_and_seal_by_the_rows_of_the_library(sprayer: Harness):
    """2.8 mm sealed takes 5 mm; 14 AWG is 3.2 mm thick, so the seal for 2.2 to 3.3 mm."""
    row = rows_of(sprayer)["W3"]
    assert row["to_strip"] == pytest.approx(0.005)
    assert row["to_seal"] == "wire seal 2.2 to 3.3 mm"
    assert row["from_strip"] is None
    assert rows_of(sprayer)["W11"]["to_strip"] == pytest.approx(0.011)  # 8 AWG in a tubular lug


def test_a_wire_too_thick_for_its_seal_is_told():
    """16 AWG is 2.9 mm thick outside; a 1.5 mm sealed contact's larger seal takes up to 2.7 mm."""
    text = (GOOD / "two_valves_12v.toml").read_text(encoding="utf-8")
    said = listing_text(
        listed(of(text.replace("2.8 mm sealed", "1.5 mm sealed")), LIBRARY), width=500
    )
    assert "wire seal 1.9 to 2.7 mm: no seal of the library fits" in said
    assert "no seal" not in listing_text(listed(of(text), LIBRARY), width=500)


def of(text: str) -> Harness:
    return read_harness("given.toml", LIBRARY, text=text)


def test_cut_lengths_by_hand():
    """W3 lies along 3.4 m of branches but is given as 3.5 m: 3.5 * 1.03 + 0.1 = 3.705, so 3.71 m.

    Without [slack] the usual slack is the same, and the list says so.
    """
    text = (GOOD / "branches_12v.toml").read_text(encoding="utf-8")
    row = rows_of(of(text))["W3"]
    assert (row["cut"], row["way"]) == (pytest.approx(3.71), "B2 > B3")
    assert "as the file says" in listing_text(listed(of(text), LIBRARY))
    none = text.replace('along = "3 %"', 'along = "0 %"').replace('"50 mm"', '"0 mm"')
    assert rows_of(of(none))["W3"]["cut"] == pytest.approx(3.5)
    usual = text.replace('[slack]\nalong = "3 %"\neach_end = "50 mm"', "")
    assert rows_of(of(usual))["W3"]["cut"] == pytest.approx(3.71)
    assert "usual slack" in listing_text(listed(of(usual), LIBRARY))


def test_a_wire_shorter_than_its_way_is_cut_by_the_way():
    """W3 given as 3.0 m where its branches take 3.4 m: 3.4 * 1.03 + 0.1 = 3.602, so 3.61 m."""
    text = (GOOD / "branches_12v.toml").read_text(encoding="utf-8")
    short = text.replace('length = "3.5 m"', 'length = "3.0 m"', 1)
    assert rows_of(of(short))["W3"]["cut"] == pytest.approx(3.61)


def good(name: str) -> dict[str, dict[str, object]]:
    return rows_of(read_harness(GOOD / name, LIBRARY))


def test_material_plating_and_what_a_sockets_cavities_are_for():
    """Contact 1 of ISO 1185 is the return, contact 4 the stop lamps (library row, from memory)."""
    rows = good("trailer_converter_24v.toml")
    assert rows["W6"]["material"] == "tinned copper"
    assert rows["W7"]["material"] == "copper-clad aluminium"
    assert rows["W10"]["material"] == "unknown"
    assert str(rows["W12"]["from_end"]).endswith(" (ISO 1185 cavity 1: return)")
    assert str(rows["W15"]["from_end"]).endswith(" (ISO 1185 cavity 4: stop lamps)")
    assert rows["W7"]["to_end"] == "2.8 mm sealed, plug, tin"
    assert rows["W8"]["from_end"] == "2.8 mm sealed, receptacle, gold"


def test_terminals_of_relay_and_contactor_by_their_number():
    rows = good("relay_indicators_12v.toml")
    assert rows["W6"]["to_end"] == "relay terminal 30"
    assert rows["W4"]["to_end"] == "relay terminal 86"
    assert good("pull_hold_low_side_12v.toml")["W12"]["to_end"] == "contactor terminal A1"


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.parent.name)
@pytest.mark.parametrize("width", [24, 40, 60, 80])
def test_never_wider_than_the_screen_and_complete(path: Path, width: int):
    harness = read_harness(path, read_library())
    text = listing_text(listed(harness, LIBRARY), width=width)
    assert max(len(line) for line in text.split("\n")) <= width
    words = text.split()
    assert all(name in words for name in harness.wires)


def test_a_table_where_it_fits_and_records_where_not(sprayer: Harness):
    wide, narrow = (listing_text(listed(sprayer, LIBRARY), width=width) for width in (80, 40))
    assert "wire  from " in wide
    assert "wire  from" not in narrow
    assert "\nW3\n  from       GRIP.out_left\n  to         X1.plug.1\n" in narrow


def test_csv_reads_back(sprayer: Harness):
    read = list(csv.reader(io.StringIO(listing_csv(listed(sprayer, LIBRARY)), newline="")))
    assert read[0][:7] == ["wire", "cable", "from", "to", "gauge", "colour", "length_m"]
    assert [row[0] for row in read[1:]] == list(sprayer.wires)
    lengths = [float(row[6]) for row in read[1:]]
    assert lengths == [wire.length_m.nominal for wire in sprayer.wires.values()]


def test_an_unknown_length_is_no_number():
    harness = read_harness("fill.toml", read_library(), text=fill_in_text())
    assert {row["length"] for row in rows_of(harness).values()} == {None}
    assert "unknown" in listing_text(listed(harness, LIBRARY), width=40)
    read = list(csv.reader(io.StringIO(listing_csv(listed(harness, LIBRARY)), newline="")))
    assert {row[6] for row in read[1:]} == {""}


# What spreadsheets take for a formula: OWASP, CSV Injection, from memory (= + - @ tab, line ends
# and the full-width forms of the first four).
@pytest.mark.parametrize("cell", ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", "\n=1", "＝1"])
def test_a_formula_is_held_by_an_apostrophe(cell: str):
    assert safe_cell(cell) == f"'{cell}"


@given(st.text())
def test_no_cell_begins_as_a_formula(cell: str):
    safe = safe_cell(cell)
    assert not safe.lstrip(" ").startswith(FORMULA_STARTS)
    assert safe in (cell, f"'{cell}")


def test_command_prints_text_and_csv():
    path = str(EXAMPLES[0])
    plain = CliRunner().invoke(wire_list, [path], env={"COLUMNS": "40"})
    assert plain.exit_code == 0
    assert "wire list" in " ".join(plain.output.split())
    as_csv = CliRunner().invoke(wire_list, [path, "--csv"])
    assert as_csv.exit_code == 0
    assert as_csv.output.startswith("wire,cable,from,to,")
