"""The wire list as rows, text and CSV."""

from __future__ import annotations

import csv
import io
from dataclasses import fields
from pathlib import Path

import pytest
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st

from circuitcheck import read_harness, read_library
from circuitcheck.cli.wire_list import wire_list
from circuitcheck.documents.wire_list import (
    HEADINGS,
    WireRow,
    safe_cell,
    wire_list_csv,
    wire_list_text,
    wire_rows,
)
from circuitcheck.model.harness import Harness
from circuitcheck.read.fill_in import fill_in_text

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*/harness.toml"))
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n")


@pytest.fixture(scope="module")
def sprayer() -> Harness:
    path = next(path for path in EXAMPLES if path.parent.name == "orchard_sprayer")
    return read_harness(path, read_library())


def test_a_heading_for_every_column():
    assert len(HEADINGS) == len(fields(WireRow))


def test_one_row_per_wire_with_what_the_file_says(sprayer: Harness):
    rows = {row.wire: row for row in wire_rows(sprayer)}
    assert list(rows) == list(sprayer.wires)
    row = rows["W3"]
    assert (row.start, row.end) == ("GRIP.out_left", "X1.plug.1")
    assert (row.colour, row.route) == ("YE", "cab > boom")
    assert row.length_m == sprayer.wires["W3"].length_m.nominal
    assert row.start_fitting == "switch handle terminal"
    assert row.end_fitting == "2.8 mm sealed, plug, tin"
    assert row.material == "copper"
    assert rows["W9"].start_fitting == "splice"
    assert rows["W11"].start_fitting == rows["W11"].end_fitting == "ring terminal"


def good(name: str) -> dict[str, WireRow]:
    path = Path(__file__).parents[1] / "harnesses" / "good" / name
    return {row.wire: row for row in wire_rows(read_harness(path, read_library()))}


def test_material_plating_and_what_a_sockets_cavities_are_for():
    """Contact 1 of ISO 1185 is the return, contact 4 the stop lamps (library row, from memory)."""
    rows = good("trailer_converter_24v.toml")
    assert rows["W6"].material == "tinned copper"
    assert rows["W7"].material == "copper-clad aluminium"
    assert rows["W10"].material == "unknown"
    assert rows["W12"].start_fitting.endswith(" (ISO 1185 cavity 1: return)")
    assert rows["W15"].start_fitting.endswith(" (ISO 1185 cavity 4: stop lamps)")
    assert rows["W7"].end_fitting == "2.8 mm sealed, plug, tin"
    assert rows["W8"].start_fitting == "2.8 mm sealed, receptacle, gold"


def test_terminals_of_relay_and_contactor_by_their_number():
    rows = good("relay_indicators_12v.toml")
    assert rows["W6"].end_fitting == "relay terminal 30"
    assert rows["W4"].end_fitting == "relay terminal 86"
    assert good("pull_hold_low_side_12v.toml")["W12"].end_fitting == "contactor terminal A1"


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.parent.name)
@pytest.mark.parametrize("width", [24, 40, 60, 80])
def test_never_wider_than_the_screen_and_complete(path: Path, width: int):
    harness = read_harness(path, read_library())
    text = wire_list_text(harness, width=width)
    assert max(len(line) for line in text.split("\n")) <= width
    words = text.split()
    assert all(name in words for name in harness.wires)


def test_a_table_where_it_fits_and_records_where_not(sprayer: Harness):
    wide, narrow = (wire_list_text(sprayer, width=width) for width in (80, 40))
    assert "wire  from" in wide
    assert "wire  from" not in narrow
    assert "\nW3\n  from        GRIP.out_left\n  to          X1.plug.1\n" in narrow


def test_csv_reads_back(sprayer: Harness):
    read = list(csv.reader(io.StringIO(wire_list_csv(sprayer), newline="")))
    assert read[0][:7] == ["wire", "cable", "from", "to", "gauge", "colour", "length_m"]
    assert [row[0] for row in read[1:]] == list(sprayer.wires)
    lengths = [float(row[6]) for row in read[1:]]
    assert lengths == [wire.length_m.nominal for wire in sprayer.wires.values()]


def test_an_unknown_length_is_no_number():
    harness = read_harness("fill.toml", read_library(), text=fill_in_text())
    assert {row.length_m for row in wire_rows(harness)} == {None}
    assert "unknown" in wire_list_text(harness, width=40)
    read = list(csv.reader(io.StringIO(wire_list_csv(harness), newline="")))
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
    assert "wire list" in plain.output
    as_csv = CliRunner().invoke(wire_list, [path, "--csv"])
    assert as_csv.exit_code == 0
    assert as_csv.output.startswith("wire,cable,from,to,")
