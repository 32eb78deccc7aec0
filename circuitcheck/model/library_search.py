"""Search of the library in words, and one row's values as people write them."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Iterator
from dataclasses import fields

from circuitcheck.model.library_rows import FactorRow, LimitRow, Row
from circuitcheck.model.tolerance_band import Band
from circuitcheck.record import record
from circuitcheck.units import text

_NUMBER = re.compile(r"[0-9]+(?:\.[0-9]+)?")
_WITH_UNIT = re.compile(r"([0-9]+(?:\.[0-9]+)?)(v|a|ma|w|ah|mm2|awg|ohm|mohm|degc|s|ms|m|%)")
_TOKENS = re.compile(r"[^\s,;:()]+")
_SHORT = 2
"""A word of so few letters must stand alone: `a` is the ampere, not any word with an a."""
_UNITS = (
    ("ohm_per_m", "ohm/m"), ("k_per_w", "K/W"), ("a2s", "A2s"), ("mm2", "mm2"), ("ohm", "ohm"),
    ("ah", "Ah"), ("v", "V"), ("a", "A"), ("w", "W"), ("h", "H"), ("s", "s"), ("m", "m"),
    ("c", "degC"),
)  # fmt: skip
_PERCENT_OF_RATED, _PERCENTS = "fraction", ("percent", "percents")


@record
class SearchHit:
    """One row found by a search: `values` as short texts, e.g. `resistance 1 mohm to 20 mohm`."""

    table: str
    name: str
    values: tuple[str, ...]
    source: str
    how: str
    note: str


def search_rows(tables: Iterable[tuple[str, tuple[Row, ...]]], words: str) -> list[SearchHit]:
    """Return the rows in which every given word occurs; those with all in the name first.

    A number must be met whole, and together with the unit that follows it: `5 A` is not `15 A`.
    """
    wanted = list(_wanted(words))
    by_name, elsewhere = [], []
    for table, rows in tables:
        for row in rows:
            values = row_values(row)
            name = _tokens(row.name)
            everything = _tokens(
                f"{table} {row.name}; {'; '.join(values)}; {row.note} {row.source}"
            )
            hit = SearchHit(table, row.name, values, row.source, row.how, row.note)
            if wanted and all(_occurs(phrase, name) for phrase in wanted):
                by_name.append(hit)
            elif wanted and all(_occurs(phrase, everything) for phrase in wanted):
                elsewhere.append(hit)
    return sorted(by_name, key=lambda hit: _tokens(hit.name) != _tokens(words)) + elsewhere


def _tokens(words: str) -> list[str]:
    return _TOKENS.findall(words.lower().replace("mm²", "mm2").replace("°c", "degc"))


def _wanted(words: str) -> Iterator[tuple[str, ...]]:
    """Yield each word; a number together with the unit behind it."""
    tokens: list[str] = []
    for token in _tokens(words):
        joined = _WITH_UNIT.fullmatch(token)
        tokens += joined.groups() if joined else [token]
    units = {unit.lower() for _, unit in _UNITS} | {"awg", "mohm", "ma", "ms", "%"}
    while tokens:
        first = tokens.pop(0)
        if _NUMBER.fullmatch(first) and tokens and tokens[0] in units:
            yield (first, tokens.pop(0))
        else:
            yield (first,)


def _occurs(phrase: tuple[str, ...], tokens: list[str]) -> bool:
    spans = zip(*(tokens[start:] for start in range(len(phrase))), strict=False)
    return any(all(map(_meets, phrase, span)) for span in spans)


def _meets(word: str, token: str) -> bool:
    if _NUMBER.fullmatch(word):
        return _NUMBER.fullmatch(token) is not None and float(word) == float(token)
    return word == token if len(word) <= _SHORT else word in token


def row_values(row: Row) -> tuple[str, ...]:
    """Return the values of a row in people's units, each behind what it is."""
    if isinstance(row, LimitRow):
        percent = row.unit == "%"
        return (
            text(row.value / 100.0 if percent else row.value, "" if row.unit == "1" else row.unit),
        )
    skipped = {field.name for field in fields(Row)}
    pairs = ((key, value) for key, value in vars(row).items() if key not in skipped)
    if isinstance(row, FactorRow):
        pairs = ((key, value) for key, value in pairs if key == "factor")
    return tuple(_shown(key, value) for key, value in pairs if _is_told(value))


def _is_told(value: object) -> bool:
    return value is not None and value not in ("", ())


def _shown(key: str, value: object) -> str:
    label, unit = _split(key)
    if isinstance(value, Band):
        ends = [_one(end, unit) for end in (value.lower, value.nominal, value.upper)]
        same = len(set(ends)) == 1
        said = ends[0] if same else f"{ends[0]} to {ends[2]}, usually {ends[1]}"
    elif isinstance(value, tuple):
        said = ", ".join(item.name if isinstance(item, Row) else _one(item, unit) for item in value)
    else:
        said = _one(value, unit)
    return f"{label} {said}"


def _split(key: str) -> tuple[str, str]:
    """Return what a field is called, and the unit its name ends in."""
    if key in _PERCENTS:
        return "at", "% of rating"
    for ending, unit in _UNITS:
        if key.endswith(f"_{ending}"):
            return key.removesuffix(f"_{ending}").replace("_", " "), unit
    return key.replace("_", " "), ""


def _one(value: object, unit: str) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if not isinstance(value, float):
        return str(value)
    if math.isinf(value):
        return "no limit"
    if unit.endswith("/m"):  # ohm per metre has no prefixes of its own
        return f"{text(value, unit.removesuffix('/m'))}/m"
    return text(value, unit)
