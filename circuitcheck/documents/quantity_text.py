"""Numbers as people read them: millivolts where millivolts are meant, percent for shares."""

from __future__ import annotations

from circuitcheck.units import text

SHARE = "1"
"""Unit of a share or ratio; shown in percent."""
PERCENT = "%"


def quantity_text(value: float, unit: str, *, digits: int = 3) -> str:
    """Return a value in its unit with a fitting step: `350 mV`, `9.31 V`, `12.5 %`, `61 degC`.

    `unit` is a unit of a finding: SI, `%` for a number of percent, `1` for a share.

    >>> quantity_text(0.35, "V"), quantity_text(12.46, "%"), quantity_text(0.75, "1")
    ('350 mV', '12.5 %', '75 %')
    """
    if unit == PERCENT:
        return text(value / 100.0, PERCENT, digits=digits)
    if unit == SHARE:
        return text(value, PERCENT, digits=digits)
    return text(value, unit, digits=digits)


def pair_text(value: float, limit: float, unit: str) -> tuple[str, str]:
    """Return value and limit, with digits enough that two different numbers look different.

    >>> pair_text(4.99999, 5.0, "A")
    ('4.99999 A', '5 A')
    """
    for digits in range(3, 10):
        shown = (
            quantity_text(value, unit, digits=digits),
            quantity_text(limit, unit, digits=digits),
        )
        if value == limit or shown[0] != shown[1]:
            return shown
    return shown


def margin_text(margin: float, *, at_most: bool) -> str:
    """Return a margin in words, as a share of the limit.

    >>> margin_text(0.1234, at_most=True), margin_text(-0.087, at_most=False)
    ('12.3 % left', '8.7 % short')
    >>> margin_text(-1.5, at_most=True), margin_text(-9.76, at_most=True)
    ('150 % over', '10.8 times as much')
    """
    if margin == 0.0:
        return "nothing left"
    if margin > 0.0:
        return f"{quantity_text(margin, SHARE)} left"
    if not at_most:
        return f"{quantity_text(-margin, SHARE)} short"
    if margin < -MANY_TIMES:
        return f"{text(1.0 - margin, '')} times as much"
    return f"{quantity_text(-margin, SHARE)} over"


MANY_TIMES = 2.0
"""From three times the limit on, times say more than percent."""
