"""Metric or American: every text in the units that the reader wants, JSON and CSV always SI."""

from __future__ import annotations

import csv
import io
import json
import re
from pathlib import Path

import pytest
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st

from circuitcheck import check_file, read_harness, verdict_text
from circuitcheck.checks.finding import FAIL, Finding
from circuitcheck.cli import units_option
from circuitcheck.cli.check import check
from circuitcheck.cli.library import library as library_command
from circuitcheck.cli.wire_list import wire_list
from circuitcheck.documents import quantity_text as units
from circuitcheck.documents.library_text import library_text
from circuitcheck.documents.papers.listing import listing_text
from circuitcheck.documents.papers.wire_list import wire_list as listed
from circuitcheck.documents.plain_text import columns
from circuitcheck.documents.quantity_text import (
    AMERICAN,
    METRIC,
    awg_text,
    beside,
    difference_text,
    in_system,
    pair_text,
    quantity_text,
)
from circuitcheck.documents.verdict.verdict import Verdict
from circuitcheck.documents.verdict.working_text import working_text

EXAMPLES = Path(__file__).parents[2] / "examples"
NAMES = sorted(path.name for path in EXAMPLES.iterdir() if path.is_dir())
LONG_RUN = EXAMPLES / "slurry_tanker_long_run" / "harness.toml"
METRIC_LEFT = re.compile(r"(?<![\w.])[+-]?[0-9.]+ (?:degC|m|m?ohm/m)(?![\w/])")


def american(value: float, unit: str, **given) -> str:
    return quantity_text(value, unit, system=AMERICAN, **given)


@pytest.mark.parametrize(
    ("value", "unit", "shown"),
    [
        # 1 in = 25.4 mm and 1 ft = 12 in, exactly; F = 9/5 C + 32.
        (0.0254, "m", "1 in"),
        (0.178, "m", "7.01 in"),
        (0.9144, "m", "3 ft"),
        (0.9, "m", "35.4 in"),
        (2.4, "m", "7 ft 10.5 in"),
        (15.0, "m", "49 ft 3 in"),
        (30.48, "m", "100 ft"),
        (-40.0, "degC", "-40 degF"),
        (0.0, "degC", "32 degF"),
        (100.0, "degC", "212 degF"),
        (0.0131, "ohm/m", "3.99 mohm/ft"),
        (2.5, "mm2", "2.5 mm2 (about 14 AWG)"),
        (0.35, "V", "350 mV"),
        (12.46, "%", "12.5 %"),
    ],
)
def test_american_values(value, unit, shown):
    assert american(value, unit) == shown


@pytest.mark.parametrize(
    ("area_mm2", "size"),
    [
        # The usual cross-reference of metric and American wire; from memory of trade tables.
        (0.5, "20 AWG"), (0.75, "18 AWG"), (1.0, "18 AWG"), (1.5, "16 AWG"), (2.5, "14 AWG"),
        (4.0, "12 AWG"), (6.0, "10 AWG"), (10.0, "8 AWG"), (16.0, "6 AWG"), (25.0, "4 AWG"),
        (35.0, "2 AWG"), (50.0, "1/0 AWG"), (70.0, "2/0 AWG"),
    ],
)  # fmt: skip
def test_area_beside_the_nearest_size_of_the_trade(area_mm2, size):
    assert awg_text(area_mm2) == size


def test_every_awg_row_of_the_library_is_nearest_to_itself(library):
    rows = [row for row in library.conductors.values() if row.system in ("SAE", "AWG")]
    assert len(rows) > 20
    for row in rows:
        assert row.name.startswith(awg_text(row.area_mm2)), row


def test_a_difference_of_temperatures_has_no_zero_to_move():
    assert difference_text(10.0, "degC", system=AMERICAN) == "18 degF"
    assert difference_text(10.0, "degC") == "10 degC"


@given(st.floats(-50.0, 300.0))
def test_fahrenheit_reads_back(value_c):
    shown = float(american(value_c, "degC", digits=9).removesuffix(" degF"))
    assert (shown - 32.0) * 5.0 / 9.0 == pytest.approx(value_c, rel=1e-6, abs=1e-6)


@given(st.floats(1e-3, 500.0), st.integers(3, 7))
def test_feet_and_inches_read_back_to_the_digits_shown(value_m, digits):
    shown = american(value_m, "m", digits=digits)
    found = re.fullmatch(r"(?:(\d+) ft)? ?(?:([0-9.]+) in)?", shown)
    inches = 12.0 * float(found[1] or 0) + float(found[2] or 0)
    assert inches * 0.0254 == pytest.approx(value_m, rel=0.6 * 10.0 ** (1 - digits))
    assert float(found[2] or 0) < (12.0 if found[1] else 36.0)


def test_words_are_turned_and_nothing_else_in_them():
    said = "air -10 degC to 45 degC; 0.17 m of 1.5 mm2; 12 mohm/m; 2.8 mm sealed; 350 mV; W1.2 3 mA"
    assert in_system(said, METRIC) == said
    assert in_system(said, AMERICAN) == (
        "air 14 degF to 113 degF; 6.69 in of 1.5 mm2 (about 16 AWG); 3.66 mohm/ft; 2.8 mm sealed; "
        "350 mV; W1.2 3 mA"
    )


def test_two_values_that_differ_never_look_alike():
    value, limit = pair_text(60.0001, 60.0, "degC", system=AMERICAN)
    assert value != limit
    assert (value, limit) == ("140.0002 degF", "140 degF")


def test_a_metric_reader_sees_nothing_american(verdict_of, findings):
    assert beside(20.0, "degC") == ""
    verdict = verdict_of(*findings)
    assert verdict_text(verdict) == verdict_text(verdict, system=METRIC)


@pytest.mark.parametrize("name", NAMES)
def test_no_metric_length_or_temperature_is_left_in_a_verdict(name):
    verdict = check_file(EXAMPLES / name / "harness.toml", changes=False)
    assert METRIC_LEFT.search(re.sub(r"\s+", " ", verdict_text(verdict, every=True)))
    text = verdict_text(verdict, every=True, system=AMERICAN)
    assert not METRIC_LEFT.search(re.sub(r"\s+", " ", text))
    assert max(columns(line) for line in text.splitlines()) <= 40


def test_figures_other_than_lengths_temperatures_and_areas_are_the_same():
    verdict = check_file(LONG_RUN)
    kept = re.compile(r"[0-9.]+ (?:m?V|m?A|ohm|mohm|%|s|min|W)\b")
    both = [
        kept.findall(re.sub(r"\s+", " ", verdict_text(verdict, every=True, system=system)))
        for system in (METRIC, AMERICAN)
    ]
    assert both[0] == both[1]
    assert len(both[0]) > 100


def test_what_the_user_wrote_is_not_turned(verdict_of, findings):
    circuit = "boom of 3 m at 20 degC"
    assert circuit in verdict_text(verdict_of(*findings, circuit=circuit), system=AMERICAN)


def test_a_working_keeps_the_units_of_its_formula_with_american_ones_beside(harness, library):
    verdict = check_file(harness.file)
    hot = next(e.number for e in verdict.entries if e.worst.check == "coil temperature")
    text = re.sub(r"\s+", " ", working_text(verdict, hot, system=AMERICAN))
    assert re.search(r" = [0-9.]+ degC \([0-9.]+ degF\)", text)
    assert "redone with units" in text
    # The numbers put into the formula are those of the metric working.
    metric = re.sub(r"\s+", " ", working_text(verdict, hot))
    formula = re.search(r"\w+ = \(.*?(?= \w+ = [0-9])", metric)[0]
    assert formula in text


def test_a_gap_of_a_temperature_is_a_difference(harness, library):
    warm = Finding("coil temperature", "VL", FAIL, "temperature", "why", value=200.0, limit=180.0,
                   unit="degC", gap=10.0)  # fmt: skip
    text = re.sub(r"\s+", " ", verdict_text(Verdict(harness, library, (), (warm,), None, {})))
    assert "STOP" in text
    from circuitcheck.solve.worst_case import Solution

    solved = Verdict(harness, library, (), (warm,), Solution(harness, library, (), {}))
    text = re.sub(r"\s+", " ", verdict_text(solved, system=AMERICAN))
    assert "temperature: 392 degF must be at most 356 degF" in text
    assert "may be up to 18 degF milder" in text


def test_the_library_shows_american_units_too(library):
    text = library_text(library, "PVC 80", system=AMERICAN)
    assert "temperature 176 degF" in text
    assert "short circuit 320 degF" in text
    assert "2.5 mm2 (about 14 AWG)" in library_text(library, "2.5 mm2", system=AMERICAN, width=80)


def test_the_wire_list_shows_american_units_too(library):
    harness = read_harness(EXAMPLES / "road_sweeper_24v" / "harness.toml", library)
    text = listing_text(listed(harness, library), system=AMERICAN)
    assert "mm² (about " in text
    assert not METRIC_LEFT.search(text)


def call(command, *arguments: str, **environment: str):
    runner = CliRunner(env={"COLUMNS": "80", **environment})
    return runner.invoke(command, [*arguments], catch_exceptions=False)


@pytest.mark.parametrize(
    ("command", "arguments"),
    [
        (check, (str(LONG_RUN), "--no-changes")),
        (wire_list, (str(LONG_RUN),)),
        (library_command, ("PVC", "80")),
    ],
)
def test_the_option_wins_over_the_environment_and_that_over_the_default(command, arguments):
    plain = call(command, *arguments).output
    asked = call(command, *arguments, "--units", "american").output
    assert plain != asked
    assert call(command, *arguments, CIRCUITCHECK_UNITS="american").output == asked
    back = call(command, *arguments, "--units", "metric", CIRCUITCHECK_UNITS="american").output
    assert back == plain
    assert call(command, *arguments, CIRCUITCHECK_UNITS="imperial").exit_code == 2


def test_json_and_csv_are_si_whatever_is_asked_for():
    arguments = (str(LONG_RUN), "--no-changes", "--json")
    american_json = call(check, *arguments, CIRCUITCHECK_UNITS="american").stdout
    assert json.loads(american_json) == json.loads(call(check, *arguments).stdout)
    out = call(wire_list, str(LONG_RUN), "--csv", CIRCUITCHECK_UNITS="american").stdout
    rows = list(csv.DictReader(io.StringIO(out)))
    assert all(float(row["length_m"]) > 0.0 for row in rows)


def test_the_names_of_the_systems_are_the_same_on_the_command_line():
    assert units_option.SYSTEMS == units.SYSTEMS
