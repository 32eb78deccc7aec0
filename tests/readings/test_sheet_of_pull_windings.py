"""The test sheet where a pull winding stays on with its switch and does not stand that."""

from __future__ import annotations

from pathlib import Path

import pytest

from circuitcheck import read_harness, read_library
from circuitcheck.documents.test_sheet.sheet_text import sheet_text
from circuitcheck.readings import sheet_records as r
from circuitcheck.readings.sheet_plan import expected_readings
from circuitcheck.readings.sheet_records import ReadingSheet

ROOT = Path(__file__).parents[2]
LIBRARY = read_library()
CHIPPER = (ROOT / "examples" / "wood_chipper_pull_hold" / "harness.toml").read_text("utf-8")
LIMIT = 'longest_pull = "1.5 s"'
MINUTES = "coil on for minutes before"
ON = (r.PRESSED, r.LOADED_DROP, r.RUNNING)
"""Stages in which the winding is on."""


def sheet_of(folder: Path, *changes: tuple[str, str]) -> ReadingSheet:
    text = CHIPPER
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    path = folder / "harness.toml"
    path.write_text(text, encoding="utf-8")
    return expected_readings(read_harness(path, LIBRARY), LIBRARY)


def words_of(sheet: ReadingSheet) -> str:
    return " ".join(sheet_text(sheet).split())


def test_nothing_is_read_soaked_on_a_winding_that_may_not_stay_on(tmp_path: Path) -> None:
    sheet = sheet_of(tmp_path)
    assert MINUTES not in words_of(sheet)
    lines = [line for step in sheet.steps for line in step.lines]
    assert all(line.coil_state != "warm" for line in lines)
    # cold, both are still read
    assert {line.plus for line in lines if line.kind == r.AMPERES} == {"W4", "W5"}


def test_the_time_it_stands_is_named_wherever_it_is_switched_on(tmp_path: Path) -> None:
    sheet = sheet_of(tmp_path)
    assert {step.stage for step in sheet.steps if step.pulled} == set(ON)
    for part in sheet_text(sheet).split("\n\n"):
        words = " ".join(part.split())
        is_on = words.startswith(("KEY ON: SW1", "DROP UNDER LOAD", "ENGINE RUNNING: SW1"))
        assert words.count("On for 1.5 s at most, or it burns.") == (1 if is_on else 0)
        assert words.count("for 1.5 s at most; off after each reading") == (1 if is_on else 0)
    assert "with the coil on" not in words_of(sheet)


def test_no_meter_is_read_in_less_time_than_it_needs(tmp_path: Path) -> None:
    sheet = sheet_of(tmp_path, (LIMIT, 'longest_pull = "0.5 s"'))
    on = [line for step in sheet.steps if step.stage in ON for line in step.lines]
    assert [(line.kind, line.of) for line in on] == [(r.SEEN, "YC")]
    assert "500 ms at most, or it burns. Too short to read a meter." in words_of(sheet)
    # what needs no winding on is read as before
    assert {"F1.load", "YC.hold", "YC.pull"} <= {x.plus for s in sheet.steps for x in s.lines}


@pytest.mark.parametrize("cut_out", ["none", "unknown"])
def test_a_time_that_is_not_known_is_asked_for_first(cut_out: str, tmp_path: Path) -> None:
    sheet = sheet_of(
        tmp_path,
        (LIMIT, 'longest_pull = "unknown"'),
        ('cut_out = "none"', f'cut_out = "{cut_out}"'),
    )
    assert MINUTES not in words_of(sheet)
    assert words_of(sheet).count("How long it stands being on is not known: find out first.") == 3


@pytest.mark.parametrize(
    "changes",
    [
        [(LIMIT, 'longest_pull = "20 min"')],
        [('cut_out = "none"', 'cut_out = "outside timer"\ntimer = ["0.5 s", "1.0 s"]')],
    ],
)
def test_a_winding_that_may_stay_on_or_goes_off_by_itself_is_read_warm(
    changes: list[tuple[str, str]], tmp_path: Path
) -> None:
    sheet = sheet_of(tmp_path, *changes)
    assert MINUTES in words_of(sheet)
    assert not any(step.pulled for step in sheet.steps)
    assert "or it burns" not in words_of(sheet)
