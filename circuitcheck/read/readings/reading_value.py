"""The value of a reading as people write or type it: `11.8 V`, `OL`, `yes`, `dim`."""

from __future__ import annotations

import math

from circuitcheck.model import instrument as i
from circuitcheck.read.forms.printable import shown
from circuitcheck.units import CURRENT, RESISTANCE, VOLTAGE, Dimension, QuantityError, quantity

NO_PATH = ("OL", "O.L", "O.L.", "0L", "open", "no path", "infinite")
"""What an ohmmeter shows, or people say, where there is no path."""
YES_NO = {"yes": 1.0, "y": 1.0, "no": 0.0, "n": 0.0}
LIT = {**i.LEVELS, "lit": i.BRIGHT, "on": i.BRIGHT, "off": i.DARK}
DIMENSIONS = {"V": VOLTAGE, "ohm": RESISTANCE, "A": CURRENT}
HIGHEST_A = 1_000.0
HIGHEST_FUSE_V = 0.5
"""No fuse of the library drops more than 0.3 V at its rating."""
ROOM = 1.5
"""No machine's voltage stays above this share of its rated one: charging is 1.25 at most."""


class ReadingValueError(ValueError):
    """A value that no such reading can have; the message says what would be right."""


def parse_value(
    written: str, row: i.InstrumentRow, system_v: float, *, bare: bool = False
) -> float:
    """Return a written value in the instrument's unit; infinite for `OL` of an ohmmeter.

    `11.8 V`, `350 mV`, `7.2 ohm`, `OL`, `3.4 A`; `dark`, `dim`, `bright` of a lamp; `yes`, `no` of
    an observation. With `bare` a number without its unit counts in V, A or ohm, as typed at a
    terminal. Raises ReadingValueError with what would be right.
    """
    word = " ".join(written.split())
    if row.kind == i.OBSERVATION:
        return _word(word, YES_NO, '"yes" or "no"')
    if row.kind in (i.LAMP_BY_EYE, i.LED_TESTER):
        return _word(word, LIT, " or ".join(f'"{name}"' for name in i.LEVELS))
    if row.kind == i.OHMMETER and word.casefold() in {name.casefold() for name in NO_PATH}:
        return math.inf
    return _possible(_number(word, DIMENSIONS[row.unit], bare), row, system_v)


def _word(word: str, words: dict[str, float], allowed: str) -> float:
    if word.casefold() not in words:
        raise ReadingValueError(f"got {shown(word)}: give {allowed}")
    return words[word.casefold()]


def _number(word: str, dimension: Dimension, bare: bool) -> float:
    # what ends in a digit has no unit: it is told what is wrong with the number itself
    given = f"{word} {dimension.si}" if bare and word[-1:] in set("0123456789.") else word
    try:
        return quantity(given, dimension)
    except QuantityError as error:
        also = ' or "OL"' if dimension is RESISTANCE else ""
        raise ReadingValueError(f"{error}{also}") from None


def _possible(value: float, row: i.InstrumentRow, system_v: float) -> float:
    """Refuse what no machine can give."""
    unit, size = row.unit, abs(value)
    if unit == "ohm" and value < 0.0:
        raise ReadingValueError(
            "a resistance is never negative: the circuit is live, or the meter needs its leads "
            "put together and zeroed"
        )
    if row.kind == i.FUSE_MILLIVOLTS and size > HIGHEST_FUSE_V:
        raise ReadingValueError(
            f"{size:g} V across a fuse: it is blown, or no fuse; write the few millivolts of a "
            'whole one ("4.2 mV"), or use "fuse looked at"'
        )
    if unit == "V" and size > ROOM * system_v:
        raise ReadingValueError(
            f"{size:g} V cannot be on a {system_v:g} V machine, whose charging voltage stays below "
            f"{ROOM * system_v:g} V: check mV or V, alternating or direct"
        )
    if unit == "A" and size > HIGHEST_A:
        raise ReadingValueError(f"{size:g} A is no current of such a circuit: check mA or A")
    # a clamp the other way round shows minus; so do probes at a fuse
    return size if row.kind in (i.CLAMP_AMMETER, i.FUSE_MILLIVOLTS) else value
