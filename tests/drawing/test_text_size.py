"""Room of lettering against the font itself, as matplotlib's font reader measures it."""

from __future__ import annotations

import unicodedata
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuitcheck.drawing.text_size import (
    _ADVANCE_EM,
    TEXT_MM,
    em_mm,
    fitted,
    printable,
    shortened,
    text_ascent_mm,
    text_descent_mm,
    text_width_mm,
    wrapped,
)


@pytest.fixture(scope="module")
def font():
    from matplotlib import get_data_path
    from matplotlib.ft2font import FT2Font

    return FT2Font(str(Path(get_data_path()) / "fonts" / "ttf" / "DejaVuSans.ttf"))


def glyph(font, sign: str):
    from matplotlib.ft2font import LoadFlags

    return font.load_char(ord(sign), flags=LoadFlags.NO_SCALE)


def test_capitals_are_as_high_as_asked(font):
    _, _, _, top = glyph(font, "H").bbox
    assert em_mm(TEXT_MM) * top / font.units_per_EM == pytest.approx(2.5)


def test_no_sign_is_wider_than_the_table_says_and_none_much_narrower(font):
    for sign, advance_em in _ADVANCE_EM.items():
        real = glyph(font, sign).horiAdvance / font.units_per_EM
        assert real <= advance_em <= real + 0.05, sign


def test_a_line_of_text_stays_in_its_box(font):
    for sign in (s for s in _ADVANCE_EM if not s.isspace()):
        _, low, _, top = glyph(font, sign).bbox
        scale = em_mm(TEXT_MM) / font.units_per_EM
        assert top * scale <= text_ascent_mm(sign) + 0.01, sign
        assert -low * scale <= text_descent_mm(sign) + 0.01, sign


def test_bold_stays_in_its_box():
    from matplotlib import get_data_path
    from matplotlib.ft2font import FT2Font

    font = FT2Font(str(Path(get_data_path()) / "fonts" / "ttf" / "DejaVuSans-Bold.ttf"))
    text = "Boom section valves 12 V"
    real = sum(glyph(font, sign).horiAdvance for sign in text) / font.units_per_EM
    assert real * em_mm(TEXT_MM) <= text_width_mm(text, bold=True)


@given(st.text(), st.integers(3, 30))
def test_user_text_becomes_one_harmless_line(text: str, most: int):
    line = shortened(text, most)
    assert len(line) <= most
    kinds = {unicodedata.category(sign) for sign in line}
    assert not kinds & {"Cc", "Cf", "Cs", "Zl", "Zp"}


def test_shortening_keeps_both_ends():
    assert shortened("boom_section_left_outer", 16) == "boom_secti…outer"
    assert shortened("W1", 16) == "W1"
    assert printable(" a\n b\tc\x1b") == "a b c\N{REPLACEMENT CHARACTER}"


@given(st.text(min_size=1), st.floats(5.0, 60.0))
def test_wrapped_lines_fit_and_lose_nothing(text: str, width_mm: float):
    lines = wrapped(text, width_mm)
    assert all(text_width_mm(line) <= width_mm or len(line) == 1 for line in lines)
    assert "".join("".join(lines).split()) == "".join(printable(text).split())


@given(st.text(max_size=200), st.floats(min_value=20.0, max_value=180.0))
def test_fitted_text_is_one_line_that_fits(text: str, width_mm: float):
    line = fitted(text, width_mm, 3.5)
    assert text_width_mm(line, 3.5) <= width_mm
    whole = printable(text)
    assert line == whole or text_width_mm(whole, 3.5) > width_mm


def test_a_number_stays_with_its_unit_where_lines_are_broken():
    width = text_width_mm("drop of the wire 11.9")
    assert wrapped("drop of the wire 11.9 m, at most", width) == [
        "drop of the wire",
        "11.9 m, at most",
    ]
