"""`circuitcheck test-sheet`: text, CSV, JSON and pages; what stops it."""

from __future__ import annotations

import csv
import io
import json
import re
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from circuitcheck import read_library
from circuitcheck.cli.main import circuitcheck
from circuitcheck.documents.test_sheet.sheet_tables import sheet_tables
from circuitcheck.drawing.reading_sheet import PaperPart, reading_sheet_pages
from circuitcheck.read.harness_file import read_harness
from circuitcheck.readings.sheet_plan import expected_readings

EXAMPLES = Path(__file__).parents[2] / "examples"
SPRAYER = EXAMPLES / "orchard_sprayer" / "harness.toml"


def run(*arguments: str) -> Result:
    return CliRunner(env={"COLUMNS": "80"}).invoke(circuitcheck, ["test-sheet", *arguments])


def test_text_csv_and_json_agree_on_the_count() -> None:
    text, table, found = (run(str(SPRAYER), *more).stdout for more in ((), ("--csv",), ("--json",)))
    count = json.loads(found)["count"]
    assert text.count("[_______]") == count
    assert len(table.splitlines()) == count + 1
    assert f"test sheet, {count} readings" in text


def test_a_coil_that_can_hurt_people_gets_no_sheet(tmp_path: Path) -> None:
    path = tmp_path / "harness.toml"
    text = SPRAYER.read_text(encoding="utf-8").replace('hazard = "spray"', 'hazard = "steering"', 1)
    path.write_text(text, encoding="utf-8")
    done = run(str(path))
    assert done.exit_code == 1
    assert done.stdout == ""
    assert "works the steering" in done.stderr


@pytest.mark.parametrize("air", ["20", "90 degC", "warm"])
def test_air_that_is_none_is_refused(air: str) -> None:
    assert run(str(SPRAYER), "--air", air).exit_code == 2


def test_warmer_air_asks_for_more_ohms() -> None:
    def ohms(air: str) -> float:
        steps = json.loads(run(str(SPRAYER), "--json", "--air", air).stdout)["steps"]
        return next(
            x["expected"]["max"] for s in steps for x in s["readings"] if x["unit"] == "ohm"
        )

    assert ohms("30 degC") / ohms("20 degC") == pytest.approx(264.5 / 254.5, abs=0.01)
    assert ohms("86 degF") == pytest.approx(ohms("30 degC"))


@pytest.mark.slow
@pytest.mark.parametrize("suffix", [".pdf", ".svg"])
def test_pages_are_written_and_the_same_each_time(suffix: str, tmp_path: Path) -> None:
    for folder in ("a", "b"):
        (tmp_path / folder).mkdir()
        done = run(str(SPRAYER), "--print", str(tmp_path / folder / f"sheet{suffix}"))
        assert done.exit_code == 0, done.output
    first, second = (sorted((tmp_path / folder).iterdir()) for folder in ("a", "b"))
    assert len(first) == (1 if suffix == ".pdf" else 4)
    assert [p.read_bytes() for p in first] == [p.read_bytes() for p in second]


@pytest.mark.parametrize("folder", sorted(p.name for p in EXAMPLES.iterdir() if p.is_dir()))
def test_nothing_on_a_page_overlaps_or_leaves_it(folder: str) -> None:
    library = read_library()
    harness = read_harness(EXAMPLES / folder / "harness.toml", library)
    sheet = expected_readings(harness, library)
    parts = [PaperPart(*table) for table in sheet_tables(sheet)]
    pages = reading_sheet_pages(harness, parts)
    words = " ".join(text.text for page in pages for text in page.letterings)
    for part in parts:
        assert part.title in words
    numbers = [row[0] for part in parts for row in part.rows]
    assert sorted(map(int, numbers)) == list(range(1, sheet.count + 1))
    for page in pages:
        boxes = [text.box for text in page.letterings if text.text.strip()]
        for n, box in enumerate(boxes):
            assert 0.0 <= box.left <= box.right <= page.width_mm
            assert 0.0 <= box.top <= box.bottom <= page.height_mm
            assert not any(box.meets(other, 0.05) for other in boxes[n + 1 :]), page.letterings[n]


def test_hostile_words_stay_text_on_paper() -> None:
    harness = read_harness(SPRAYER, read_library())
    row = ("1", "<script>\x1b[2J\u202e" + "W" * 90, "$x^2$", "&amp;")
    pages = reading_sheet_pages(harness, [PaperPart("</svg>", ("\x00",), (), (row,) * 60)])
    assert len(pages) > 1
    for page in pages:
        for text in page.letterings:
            assert text.text.isprintable()
            assert text.box.right <= page.width_mm


def test_every_reading_stands_on_the_screen_with_its_number() -> None:
    """Those side by side too, so that the screen, the paper and the CSV speak of one reading."""
    numbers = [int(n) for n in re.findall(r"^ {0,2}(\d+) ", run(str(SPRAYER)).stdout, re.MULTILINE)]
    rows = list(csv.DictReader(io.StringIO(run(str(SPRAYER), "--csv").stdout)))
    assert sorted(numbers) == list(range(1, len(rows) + 1))
