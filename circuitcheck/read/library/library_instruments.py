"""Rows of instruments and observations from their cells."""

from __future__ import annotations

from circuitcheck.model import instrument as i
from circuitcheck.read.library.library_cells import Cells

UNITS = {
    i.VOLTMETER: "V",
    i.LOADED_VOLTMETER: "V",
    i.FUSE_MILLIVOLTS: "V",
    i.OHMMETER: "ohm",
    i.CLAMP_AMMETER: "A",
    i.LAMP_BY_EYE: "level",
    i.LED_TESTER: "level",
    i.OBSERVATION: "yes or no",
}
BY_EYE = (i.LAMP_BY_EYE, i.LED_TESTER)


def instrument(c: Cells) -> i.InstrumentRow:
    """Return one instrument; what its kind needs must be given, what it has not be left empty."""
    kind = c.word("kind", i.KINDS)
    mistaken = c.not_negative("mistaken_percent") / 100.0
    if mistaken >= 0.5:
        c.disagree("mistaken_percent", "must be below 50: half is a guess")
    row = i.InstrumentRow(
        **c.provenance(),
        kind=kind,
        unit=c.word("unit", (UNITS[kind],)),
        at=c.word("at", i.POINTS),
        supply=c.word("supply", i.SUPPLIES),
        system_v=c.above_zero_or_none("system_v"),
        input_ohm=c.above_zero_or_none("input_ohm"),
        input_ohm_per_v=c.above_zero_or_none("input_ohm_per_v"),
        ranges=_ranges(c),
        lead_ohm=c.above_zero_or_none("lead_ohm"),
        test_v=c.above_zero_or_none("test_v"),
        zero_a=c.above_zero_or_none("zero_a"),
        filament=_filament(c),
        lit_from_v=c.above_zero_or_none("lit_from_v"),
        bright_from_v=c.above_zero_or_none("bright_from_v"),
        mistaken=mistaken,
    )
    _refuse_what_does_not_fit(c, row)
    return row


def _ranges(c: Cells) -> tuple[i.MeterRange, ...]:
    """Return the ranges, ascending; full scales, gains and digits are lists of one length."""
    full, gain, digits = (_numbers(c, key) for key in ("full_scales", "gain_percents", "digits"))
    counts = c.above_zero_or_none("counts")
    if not full:
        if counts is not None or gain or digits:
            c.disagree("full_scales", "is empty, but another column of its ranges is not")
        return ()
    if counts is None or not len(full) == len(gain) == len(digits):
        c.disagree("full_scales", "needs counts, and as many gain_percents and digits")
        return ()
    if full != sorted(full) or min(full) <= 0.0 or min(gain) < 0.0 or min(digits) < 0.0:
        c.disagree("full_scales", "must rise from above 0, without a negative error")
    return tuple(
        i.MeterRange(scale, scale / counts, percent / 100.0, digit)
        for scale, percent, digit in zip(full, gain, digits, strict=True)
    )


def _numbers(c: Cells, column: str) -> list[float]:
    words = c.text_or_empty(column).split()
    try:
        numbers = [float(word) for word in words]
    except ValueError:
        return c.refuse(column, f"got {' '.join(words)!r}, must be numbers with spaces between", [])
    if any(not abs(number) < 1e12 for number in numbers):
        return c.refuse(column, "must be finite", [])
    return numbers


def _filament(c: Cells) -> i.Filament | None:
    watts = c.above_zero_or_none("power_w")
    columns = ("rated_v", "tolerance_percent", "exponent", "cold_ratio")
    others = [c.number_or_none(column) for column in columns]
    cold = c.three_or_none("cold", "ratio")
    if watts is None:
        if cold is not None or others != [None] * len(columns):
            c.disagree("power_w", "is empty, but another column of its filament is not")
        return None
    if cold is None:
        c.disagree("cold_ratio", "is empty, but power_w is not")
        return None
    rated = c.above_zero("rated_v")
    amps = c.spread("power_w", "tolerance_percent").scaled(1.0 / rated)
    return i.Filament(rated, watts, amps, cold, c.share("exponent"))


def _refuse_what_does_not_fit(c: Cells, row: i.InstrumentRow) -> None:
    is_eye = row.kind in BY_EYE
    if row.kind == i.OBSERVATION and row.name not in i.OBSERVATIONS:
        c.disagree("name", f"is no observation: {', '.join(i.OBSERVATIONS)}")
    if (row.filament is None) == (row.kind in (i.LOADED_VOLTMETER, i.LAMP_BY_EYE)):
        c.disagree("power_w", "goes with a lamp by eye or a loaded voltmeter, and only so")
    if bool(row.ranges) == (is_eye or row.kind == i.OBSERVATION):
        c.disagree("full_scales", "goes with a meter, and only so")
    if (row.lit_from_v is None or row.bright_from_v is None) == is_eye:
        c.disagree("lit_from_v", "and bright_from_v go with what is seen by eye, and only so")
    if is_eye and (row.bright_from_v or 0.0) < (row.lit_from_v or 0.0):
        c.disagree("bright_from_v", "must not be below lit_from_v")
    if (row.lead_ohm is None or row.test_v is None) == (row.kind == i.OHMMETER):
        c.disagree("lead_ohm", "and test_v go with an ohmmeter, and only so")
    if (row.zero_a is None) == (row.kind == i.CLAMP_AMMETER):
        c.disagree("zero_a", "goes with a clamp ammeter, and only so")
