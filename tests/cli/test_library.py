"""`circuitcheck library`: words in, rows with their sources out."""

from __future__ import annotations

import pytest
from click.testing import CliRunner

from circuitcheck.cli.library import library
from circuitcheck.documents.plain_text import columns
from circuitcheck.errors import InputError


def call(*words: str, width: int = 40) -> str:
    done = CliRunner(env={"COLUMNS": str(width)}).invoke(library, words)
    assert done.exit_code == 0
    return done.output


def test_a_size_is_found_with_its_source():
    text = call("16", "AWG")
    assert text.startswith("16 AWG (conductors)\n")
    assert "[sae-area-table]" in text


def test_sizes_are_found_with_either_square_sign():
    assert call("1.5", "mm²") == call("1.5", "mm2")


def test_nothing_found_names_the_tables():
    text = call("zzz")
    assert text.startswith("No row of the library holds all of: zzz")
    assert "conductors" in text


def test_a_long_answer_is_cut_and_says_so():
    text = call("PVC", "--most", "2")
    assert "more; add a word" in text


@pytest.mark.parametrize("width", [24, 40, 80])
def test_lines_fit_the_width(width):
    for words in (("blade",), ("contact",), ("coil",), ("zzz\x1b[31m" * 9,)):
        text = call(*words, width=width)
        assert max(columns(line) for line in text.splitlines()) <= width
        assert "\x1b" not in text


def test_a_number_is_met_whole():
    names = [line for line in call("5", "A", "blade").splitlines() if line.endswith("(fuses)")]
    assert names == ["5 A blade (fuses)", "5 A mini blade (fuses)"]
    assert call("5A", "blade") == call("5", "A", "blade")


def test_values_are_in_the_units_of_the_trade():
    text = call("10", "A", "blade", width=60)
    assert "usually 7.7 mohm" in text
    assert "breaking capacity 1 kA" in text
    assert "cold_mohm" not in text


def test_rows_of_ones_own_are_found_and_marked(tmp_path):
    path = tmp_path / "mine.toml"
    path.write_text('[[platings]]\nname = "x"\n', encoding="utf-8")
    done = CliRunner().invoke(library, ["--library", str(path), "strap"])
    assert isinstance(done.exception, InputError)
    assert "platings: no such table. Did you mean [[plating_pairs]]?" in str(done.exception)
    path.write_text(
        '[[frame_bonds]]\nname = "my strap"\nnew_lower_mohm = 0.1\n'
        "new_typical_mohm = 0.2\naged_upper_mohm = 1.0\n",
        encoding="utf-8",
    )
    done = CliRunner().invoke(library, ["--library", str(path), "my", "strap"])
    assert "my strap (frame_bonds)" in done.output
    assert "given by the user" in done.output
