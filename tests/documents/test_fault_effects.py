"""Fault effects as text, CSV and JSON, and the command that prints them."""

from __future__ import annotations

import csv
import io
import json
from dataclasses import replace
from functools import lru_cache
from pathlib import Path

import pytest
from click.testing import CliRunner

from circuitcheck.cli.fault_effects import fault_effects
from circuitcheck.documents.diagnosis.fault_effects_files import (
    HEADINGS,
    fault_effects_csv,
    fault_effects_json,
)
from circuitcheck.documents.diagnosis.fault_effects_text import CAUTION, fault_effects_text
from circuitcheck.documents.diagnosis.fault_effects_words import LOCAL, NOT_SEEN
from circuitcheck.documents.plain_text import columns
from circuitcheck.faults.effects import CauseEffects, single_fault_effects
from circuitcheck.faults.fault import MODES
from circuitcheck.model.harness import Harness
from circuitcheck.read.harness_file import read_harness
from circuitcheck.read.library.library_tables import read_library

ROOT = Path(__file__).parents[2]
SPREADER = ROOT / "examples" / "salt_spreader_relay_lamp" / "harness.toml"
LIBRARY = read_library()


@lru_cache(maxsize=1)
def spreader() -> tuple[Harness, tuple[CauseEffects, ...]]:
    harness = read_harness(SPREADER, LIBRARY)
    return harness, single_fault_effects(harness, LIBRARY)


@pytest.mark.parametrize("width", [24, 40, 80])
def test_text_fits_and_begins_with_what_moves(width: int) -> None:
    text = fault_effects_text(*spreader(), width=width)
    assert max(columns(line) for line in text.splitlines()) <= width
    flat = " ".join(text.split())
    order = ["WORKS UNASKED", "WORKS WITHOUT THE KEY ON", "A FUSE OPENS", "SOMETHING RUNS HOT",
             "A COIL IS DEAD", "NOTHING SEEN"]  # fmt: skip
    places = [flat.index(words) for words in order]
    assert places == sorted(places)
    assert flat.index(" ".join(CAUTION.split())[:40]) < places[0]
    assert "YL: lets the lid go; hazard: machine part moves" in flat


def test_every_mode_has_its_local_effect() -> None:
    assert set(LOCAL) == set(MODES)


def test_csv_has_every_fault_and_is_safe_from_formulas() -> None:
    harness, found = spreader()
    rows = list(csv.reader(io.StringIO(fault_effects_csv(harness, found))))
    assert tuple(rows[0]) == HEADINGS
    assert {row[0] for row in rows[1:]} == {one.cause for one in found}
    assert all(len(row) == len(HEADINGS) for row in rows)
    hidden = [row for row in rows[1:] if row[5] == NOT_SEEN]
    assert {row[0] for row in hidden} == {one.cause for one in found if not one.effects}
    cells = [cell for row in rows for cell in row]
    assert not any(cell[:1] in "=+-@" for cell in cells if cell)


def test_a_name_that_a_spreadsheet_would_run_is_quoted() -> None:
    harness, found = spreader()
    evil = replace(found[0], cause="=HYPERLINK(1)")
    row = list(csv.reader(io.StringIO(fault_effects_csv(harness, [evil]))))[1]
    assert row[0] == "'=HYPERLINK(1)"


def test_json_says_the_same() -> None:
    harness, found = spreader()
    record = json.loads(fault_effects_json(harness, found))
    assert record["format"] == 1
    assert [one["fault"] for one in record["faults"]] == [one.cause for one in found]
    first = record["faults"][0]
    assert first["failure_mode"] in MODES
    assert first["end_effects"][0]["effect"] == "coil works unasked"
    assert first["end_effects"][0]["hazard"] == "machine part moves"
    hidden = [one for one in record["faults"] if one["hidden"]]
    assert {one["fault"] for one in hidden} >= {"YL suppressor open", "F1 wrong fuse"}
    rows = list(csv.reader(io.StringIO(fault_effects_csv(harness, found))))[1:]
    columns_of = [HEADINGS.index(name) for name in ("power_w", "temperature_c", "limit_c")]
    printed = {(r[0], r[5], r[6]): [float(r[k]) if r[k] else None for k in columns_of]
               for r in rows if r[5] != NOT_SEEN}  # fmt: skip
    for one in record["faults"]:
        for effect in one["end_effects"]:
            said = [effect[name] for name in ("power_w", "temperature_c", "limit_c")]
            assert said == printed[one["fault"], effect["effect"], effect["on"]]


def test_command_on_one_part_tells_repair_and_proof() -> None:
    done = CliRunner().invoke(fault_effects, [str(SPREADER), "--part", "K1"])
    assert done.exit_code == 0, done.output
    for words in ("K1 stuck operated", "failure mode", "repair", "proof", "replace relay K1"):
        assert words in done.output
    assert "W1 open" not in done.output


def test_a_movement_that_needs_an_assessment_stops_it(tmp_path: Path) -> None:
    path = tmp_path / "harness.toml"
    text = SPREADER.read_text(encoding="utf-8").replace('"machine part moves"', '"brakes"')
    path.write_text(text, encoding="utf-8")
    done = CliRunner().invoke(fault_effects, [str(path), "--json"])
    assert done.exit_code == 1
    assert "functional-safety assessment" in " ".join(done.output.split())
    assert "K1" not in done.output


@pytest.mark.parametrize(
    ("options", "words"),
    [(["--part", "K9"], "no such part or wire"),
     (["--part", "SP1"], "no faults of its own"),
     (["--csv", "--json"], "not both")],
)  # fmt: skip
def test_command_refuses_in_words(options: list[str], words: str) -> None:
    done = CliRunner().invoke(fault_effects, [str(SPREADER), *options])
    assert done.exit_code == 2
    assert words in " ".join(done.output.split())
