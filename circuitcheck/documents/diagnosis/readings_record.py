"""Readings written as the readings file that they can be read from again: the next one's record."""

from __future__ import annotations

import json
import math
from collections.abc import Iterator, Sequence

from circuitcheck.model import instrument as i
from circuitcheck.model.library import Library
from circuitcheck.model.reading import Measurement, Reading, Situation


def readings_record(
    readings: Sequence[Reading], library: Library, *, harness: str, heading: str = ""
) -> str:
    """Return a readings file with all readings in order; `heading` is a comment above."""
    lines = [f"# {line}" for line in heading.splitlines()]
    lines += ["format = 1", f"harness = {_quoted(harness)}"]
    for reading in readings:
        lines += ["", "[[reading]]", *_reading(reading, library)]
    return "\n".join(lines) + "\n"


def _reading(reading: Reading, library: Library) -> Iterator[str]:
    measurement = reading.measurement
    yield f"instrument = {_quoted(measurement.instrument)}"
    if measurement.minus:
        yield f"plus = {_quoted(measurement.plus)}"
        yield f"minus = {_quoted(measurement.minus)}"
    else:
        yield f"at = {_quoted(measurement.plus)}"
    yield from _situation(measurement.situation)
    yield f"value = {_quoted(_value(reading.value, measurement, library))}"
    if reading.note:
        yield f"note = {_quoted(reading.note)}"


def _situation(situation: Situation) -> Iterator[str]:
    yield f"position = {_quoted(situation.position)}"
    if situation.engine != "off":
        yield f"engine = {_quoted(situation.engine)}"
    if situation.supply_v is not None:
        yield f'battery = "{situation.supply_v!r} V"'
    if situation.unplugged:
        yield f"unplugged = [{', '.join(map(_quoted, sorted(situation.unplugged)))}]"
    if situation.coils_warm is not None:
        yield f'coils = "{"warm" if situation.coils_warm else "cold"}"'


def _value(value: float, measurement: Measurement, library: Library) -> str:
    """Return a value with all its digits: what is read again must be the same."""
    row = library.instrument(measurement.instrument)
    if row.kind == i.OBSERVATION:
        return "yes" if value > 0.5 else "no"
    if row.kind in (i.LAMP_BY_EYE, i.LED_TESTER):
        return min(i.LEVELS, key=lambda word: abs(i.LEVELS[word] - value))
    return "OL" if math.isinf(value) else f"{value!r} {row.unit}"


def _quoted(text: str) -> str:
    # a JSON string is a TOML basic string, once the characters beyond the first plane are spelt
    return json.dumps(text, ensure_ascii=True)
