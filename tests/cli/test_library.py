"""`circuitcheck library`: words in, rows with their sources out."""

from __future__ import annotations

import pytest
from click.testing import CliRunner

from circuitcheck.cli.library import library
from circuitcheck.documents.plain_text import columns


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
