"""Numbers as people read them, metric or American: the one place where units are chosen.

Inside and in JSON everything is SI. In text a reader may ask for feet and inches and degrees
Fahrenheit; an area then has the nearest AWG size beside it. A working keeps the units in which
its formula holds and puts the American value beside them.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable

from circuitcheck.units import text

METRIC, AMERICAN = "metric", "american"
SYSTEMS = (METRIC, AMERICAN)

SHARE = "1"
"""Unit of a share or ratio; shown in percent."""
PERCENT = "%"

METRES_PER_INCH = 0.0254
INCHES_PER_FOOT = 12
IN_FEET_FROM_IN = 36.0
"""From three feet on a length is given in feet and inches, below in inches."""


def quantity_text(value: float, unit: str, *, digits: int = 3, system: str = METRIC) -> str:
    """Return a value in its unit with a fitting step: `350 mV`, `9.31 V`, `12.5 %`, `61 degC`.

    `unit` is a unit of a finding: SI, `%` for a number of percent, `1` for a share.

    >>> quantity_text(0.35, "V"), quantity_text(12.46, "%"), quantity_text(0.75, "1")
    ('350 mV', '12.5 %', '75 %')
    >>> quantity_text(2.4, "m", system=AMERICAN), quantity_text(61.0, "degC", system=AMERICAN)
    ('7 ft 10.5 in', '142 degF')
    """
    if system == AMERICAN and unit in _AMERICAN and math.isfinite(value):
        return _AMERICAN[unit](value, digits)
    if unit == PERCENT:
        return text(value / 100.0, PERCENT, digits=digits)
    if unit == SHARE:
        return text(value, PERCENT, digits=digits)
    return text(value, unit, digits=digits)


def beside(value: float, unit: str, *, digits: int = 3, system: str = METRIC) -> str:
    """Return the American value in brackets to put behind a metric one; nothing where alike.

    >>> beside(2.4, "m", system=AMERICAN), beside(2.4, "V", system=AMERICAN)
    (' (7 ft 10.5 in)', '')
    """
    if system == METRIC or unit not in _AMERICAN or not math.isfinite(value):
        return ""
    if unit == "mm2":
        return f" (about {awg_text(value)})"
    return f" ({quantity_text(value, unit, digits=digits, system=system)})"


def in_system(words: str, system: str) -> str:
    """Return words with the metric quantities in them turned into the wanted system.

    For words of circuitcheck's own, never for what a user wrote. Sizes in mm are names of contact
    families and stay.

    >>> in_system("air of -10 degC to 45 degC, wire 2.5 mm2", AMERICAN)
    'air of 14 degF to 113 degF, wire 2.5 mm2 (about 13 AWG)'
    """
    return words if system == METRIC else re.sub(_IN_WORDS, _turned, words)


_IN_WORDS = (
    r"(?<![\w.])(?P<number>[+-]?[0-9]+(?:\.[0-9]+)?)"
    r" (?P<step>[mku]?)(?P<unit>degC|mm2|mm²|ohm/m|m)(?![\w/²])"
)
_STEP = {"": 1.0, "m": 1e-3, "k": 1e3, "u": 1e-6}


def _turned(found: re.Match[str]) -> str:
    number, step, unit = found["number"], found["step"], found["unit"].replace("²", "2")
    if step and unit != "ohm/m":
        return found[0]
    digits = max(3, sum(sign.isdigit() for sign in number))
    return quantity_text(float(number) * _STEP[step], unit, digits=digits, system=AMERICAN)


def difference_text(value: float, unit: str, *, digits: int = 3, system: str = METRIC) -> str:
    """Return a difference of two values; a step of temperature has no zero to be moved.

    >>> difference_text(10.0, "degC", system=AMERICAN)
    '18 degF'
    """
    if system == AMERICAN and unit == "degC":
        return f"{text(value * 9.0 / 5.0, '', digits=digits)} degF"
    return quantity_text(value, unit, digits=digits, system=system)


def _feet(value_m: float, digits: int) -> str:
    inches = float(f"{value_m / METRES_PER_INCH:.{digits - 1}e}")
    if abs(inches) < IN_FEET_FROM_IN:
        return f"{text(inches, '', digits=digits)} in"
    feet, rest = divmod(abs(inches), INCHES_PER_FOOT)
    sign = "-" if inches < 0.0 else ""
    shown = f"{rest:.{digits}f}".rstrip("0").rstrip(".")
    return f"{sign}{feet:.0f} ft" + (f" {shown} in" if shown != "0" else "")


def _fahrenheit(value_c: float, digits: int) -> str:
    return f"{text(value_c * 9.0 / 5.0 + 32.0, '', digits=digits)} degF"


def _with_awg(value_mm2: float, digits: int) -> str:
    return f"{text(value_mm2, 'mm2', digits=digits)} (about {awg_text(value_mm2)})"


def _per_foot(value_ohm_per_m: float, digits: int) -> str:
    per_foot = value_ohm_per_m * METRES_PER_INCH * INCHES_PER_FOOT
    return f"{text(per_foot, 'ohm', digits=digits)}/ft"


_AMERICAN: dict[str, Callable[[float, int], str]] = {
    "m": _feet,
    "degC": _fahrenheit,
    "mm2": _with_awg,
    "ohm/m": _per_foot,
}


def awg_text(area_mm2: float) -> str:
    """Return the AWG size in the trade whose area is nearest, by ratio.

    Diameter of size n: d = 0.127 mm * 92^((36 - n) / 39); n = 0 is 1/0, n = -1 is 2/0 and so on.
    Source: ASTM B258, as in every table of AWG. Of the sizes above 1 only the even ones are sold
    as vehicle wire (common practice, no source).

    >>> awg_text(1.31), awg_text(53.5), awg_text(107.0)
    ('16 AWG', '1/0 AWG', '4/0 AWG')
    """
    diameter_mm = math.sqrt(4.0 * area_mm2 / math.pi)
    exact = 36.0 - 39.0 * math.log(diameter_mm / 0.127, 92.0)
    size = min(AWG_SIZES, key=lambda size: abs(size - exact))
    return f"{size} AWG" if size > 0 else f"{1 - size}/0 AWG"


AWG_SIZES = (*range(-3, 2), *range(2, 42, 2))


def pair_text(value: float, limit: float, unit: str, *, system: str = METRIC) -> tuple[str, str]:
    """Return value and limit, with digits enough that two different numbers look different.

    >>> pair_text(4.99999, 5.0, "A")
    ('4.99999 A', '5 A')
    """
    shown = ("", "")
    for digits in range(3, 10):
        shown = (
            quantity_text(value, unit, digits=digits, system=system),
            quantity_text(limit, unit, digits=digits, system=system),
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
