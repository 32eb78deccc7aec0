"""One strict pattern: what it accepts, what it refuses, and that text reads back."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuitcheck.units import (
    AREA,
    CURRENT,
    DIMENSIONS,
    LENGTH,
    RESISTANCE,
    SHARE,
    TEMPERATURE,
    TIME,
    VOLTAGE,
    Dimension,
    QuantityError,
    quantity,
    text,
)


@pytest.mark.parametrize(
    ("written", "dimension", "value"),
    [
        ("12.6 V", VOLTAGE, 12.6),
        ("350mV", VOLTAGE, 0.35),
        ("3.5 A", CURRENT, 3.5),
        ("7.2 ohm", RESISTANCE, 7.2),
        ("7.2 Ω", RESISTANCE, 7.2),
        ("12 mΩ", RESISTANCE, 0.012),
        ("1.2 kohm", RESISTANCE, 1200.0),
        ("1.5 mm2", AREA, 1.5),
        ("1.5 mm²", AREA, 1.5),
        ("-10 degC", TEMPERATURE, -10.0),
        ("-10 °C", TEMPERATURE, -10.0),
        ("14 degF", TEMPERATURE, -10.0),
        ("12 in", LENGTH, 0.3048),
        ("1 ft", LENGTH, 0.3048),
        ("30 cm", LENGTH, 0.3),
        ("5 min", TIME, 300.0),
        ("10 %", SHARE, 0.1),
        ("1.5e2 mV", VOLTAGE, 0.15),
        (".5 V", VOLTAGE, 0.5),
        ("5. V", VOLTAGE, 5.0),
        ("+5 V", VOLTAGE, 5.0),
    ],
)
def test_accepts(written: str, dimension: Dimension, value: float) -> None:
    assert quantity(written, dimension) == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize(
    "written",
    [
        "", " ", "V", "12", "12  V", " 12 V", "12 V ", "12\tV", "12\nV", "12 V\n", "1 2 V",
        "9**9**9 V", "(12) V", "12 * 1 V", "1_000 V", "0x10 V", "1e999 V", "1e-999 V", "1e100 V",
        "nan V", "inf V", "-inf V", "NaN V", "١٢ V", "12 V12", "12 v", "12 volt", "12 A",
        "12,6 V", "12.6.1 V", "--12 V", "1" * 13 + " V", "1" * 500 + " V", "12 V; import os",
        "12 %s V", "12 °", "12 V\u200b",
    ],
)  # fmt: skip
def test_refuses_everything_else(written: str) -> None:
    with pytest.raises(QuantityError, match=r"for example \"12\.6 V\""):
        quantity(written, VOLTAGE)


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("12", "the unit is missing; write one of V, mV, kV"),
        ("12,6 V", "with a point, not a comma"),
        ("12 A", "A is a unit of current; give a voltage in V, mV, kV"),
        ("12 volts", "no unit is called volts"),
        ("1" * 41, "at most 40 characters"),
        ("2*6 V", "one number and one unit"),
    ],
)
def test_says_what_would_be_right(written: str, said: str) -> None:
    with pytest.raises(QuantityError) as caught:
        quantity(written, VOLTAGE)
    assert said in str(caught.value)


@given(st.text(max_size=60), st.sampled_from(DIMENSIONS))
def test_any_text_is_a_finite_number_or_refused(written: str, dimension: Dimension) -> None:
    try:
        value = quantity(written, dimension)
    except QuantityError:
        return
    assert math.isfinite(value)


@given(
    st.floats(-1e9, 1e9).filter(lambda x: abs(x) > 1e-6 or x == 0.0),
    st.sampled_from([d for d in DIMENSIONS if d is not SHARE]),
    st.booleans(),
)
def test_text_reads_back_to_the_digits_shown(
    value: float, dimension: Dimension, signs: bool
) -> None:
    written = text(value, dimension.si, digits=4, signs=signs).replace("µ", "u")
    assert quantity(written, dimension) == pytest.approx(value, rel=5.01e-4, abs=1e-12)


@pytest.mark.parametrize(
    ("value", "unit", "written"),
    [
        (0.35, "V", "350 mV"),
        (12.64, "V", "12.6 V"),
        (0.9996, "V", "1 V"),
        (0.0, "V", "0 V"),
        (-0.0123, "V", "-12.3 mV"),
        (0.0072, "ohm", "7.2 mohm"),
        (7.2, "ohm", "7.2 ohm"),
        (1234.0, "A", "1.23 kA"),
        (0.15, "m", "0.15 m"),
        (0.018, "m", "18 mm"),
        (1.5, "mm2", "1.5 mm2"),
        (-10.0, "degC", "-10 degC"),
        (104.5, "degC", "104 degC"),
        (0.02, "s", "20 ms"),
        (90.0, "s", "90 s"),
        (600.0, "s", "10 min"),
        (7200.0, "s", "2 h"),
        (0.1, "%", "10 %"),
        (5.25, "K/W", "5.25 K/W"),
        (1234567.0, "A2s", "1234567 A2s"),
        (2.0, "", "2"),
        (math.inf, "s", "unlimited s"),
    ],
)
def test_text_uses_steps_that_people_use(value: float, unit: str, written: str) -> None:
    assert text(value, unit) == written


def test_text_with_signs() -> None:
    assert text(0.0072, "ohm", signs=True) == "7.2 mΩ"
    assert text(60.0, "degC", signs=True) == "60 °C"
    assert text(1.5, "mm2", signs=True) == "1.5 mm²"
    assert text(5e-5, "ohm", signs=True) == "50 µΩ"
