"""Lines that fit a narrow screen: no word lost, none torn where it fits, joints first."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuitcheck.documents.plain_text import columns, wrapped

WORDS = st.lists(st.text("abcdefgh-/_.é水", min_size=1, max_size=60), min_size=1, max_size=12)


@given(WORDS, st.integers(24, 80), st.sampled_from(["", "- ", "12 FAIL "]))
def test_no_sign_is_lost_and_no_line_too_wide(words, width, first):
    lines = wrapped(" ".join(words), width, first=first, rest="    ")
    assert max(columns(line) for line in lines) <= width
    assert "".join("".join(lines).split()) == "".join(first.split()) + "".join(words)


@given(st.lists(st.text("abcdefgh", min_size=1, max_size=20), min_size=1, max_size=12))
def test_words_that_fit_a_line_are_whole(words):
    lines = wrapped(" ".join(words), 24, rest="    ")
    assert " ".join(" ".join(lines).split()) == " ".join(words)


def test_a_long_path_is_cut_behind_a_joint_and_begins_where_there_is_room():
    path = "examples/slurry_tanker_long_run/harness.toml"
    assert wrapped(f"FAIL {path}: three", 40, rest="    ") == [
        "FAIL examples/slurry_tanker_long_run/",
        "    harness.toml: three",
    ]


def test_a_path_that_fits_behind_its_sign_is_not_torn():
    path = "examples/orchard_sprayer/harness.toml"
    assert wrapped(f"+ {path}", 40, rest="    ") == [f"+ {path}"]


@pytest.mark.parametrize(
    "quantity", ["9.31 V", "-10 degC", "16 AWG", "7 ft", "10.5 in", "142 degF"]
)
def test_a_number_stays_with_its_unit(quantity):
    for width in range(24, 40):
        text = "\n".join(wrapped(f"{'x' * 13} {quantity} {'y' * 9} {quantity}", width))
        assert text.count(quantity) == 2
