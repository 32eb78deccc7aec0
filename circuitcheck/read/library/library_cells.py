"""The files of the library folder as checked cells; every fault named by file, line, column."""

from __future__ import annotations

import csv
import math
import tomllib
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TypedDict, TypeVar

from circuitcheck.errors import LibraryError
from circuitcheck.model import library as m
from circuitcheck.model.tolerance_band import Band

MILLI = 1e-3
KNOWN = ("seen in a published copy", "from memory", "worked out here")

R = TypeVar("R", bound=m.Row)
T = TypeVar("T")


class Provenance(TypedDict):
    """The fields every row has."""

    name: str
    source: str
    how: str
    note: str


class CellError(LibraryError):
    """One cell cannot be used; `wrong` says why without naming the place."""

    def __init__(self, place: str, column: str, wrong: str):
        self.column, self.wrong = column, wrong
        super().__init__(f"{place}, column {column}: {wrong}.")


@dataclass
class Cells:
    """One row of a table while it is read; remembers which columns were asked for.

    A cell that cannot be used is refused: here by raising its LibraryError at once.
    """

    file: str
    line: int
    cells: dict[str, str]
    used: set[str]

    def fail(self, column: str, wrong: str) -> CellError:
        """Return the error of one cell."""
        return CellError(f"library/{self.file}:{self.line}", column, wrong)

    def disagree(self, column: str, wrong: str) -> None:
        """Refuse cells that are well each but do not go together; told at `column`."""
        raise self.fail(column, wrong)

    def refuse(self, column: str, wrong: str, stand_in: T) -> T:
        """Refuse a cell; a reader that gathers faults goes on with the stand-in."""
        raise self.fail(column, wrong)

    def text(self, column: str) -> str:
        """Return a text that is not empty."""
        return self.text_or_empty(column) or self.refuse(column, "is empty", "?")

    def text_or_empty(self, column: str) -> str:
        """Return a text that may be empty."""
        self.used.add(column)
        if column not in self.cells:
            return self.refuse(column, "is missing from the head of the table", "")
        return self.cells[column].strip()

    def number_or_none(self, column: str) -> float | None:
        """Return a number, or None for an empty cell."""
        value = self.text_or_empty(column)
        if not value:
            return None
        try:
            number = float(value)
        except ValueError:
            return self.refuse(column, f"got {value!r}, must be a number", 1.0)
        if not math.isfinite(number):
            return self.refuse(column, f"got {value!r}, must be finite", 1.0)
        return number

    def number(self, column: str) -> float:
        """Return a finite number."""
        value = self.number_or_none(column)
        return self.refuse(column, "is empty", 1.0) if value is None else value

    def above_zero(self, column: str) -> float:
        """Return a number above 0."""
        value = self.number(column)
        if value <= 0.0:
            return self.refuse(column, f"got {value:g}, must be above 0", 1.0)
        return value

    def above_zero_or_none(self, column: str) -> float | None:
        """Return a number above 0, or None for an empty cell."""
        return None if self.number_or_none(column) is None else self.above_zero(column)

    def not_negative(self, column: str) -> float:
        """Return a number of 0 or more."""
        value = self.number(column)
        if value < 0.0:
            return self.refuse(column, f"got {value:g}, must not be below 0", 0.0)
        return value

    def share(self, column: str) -> float:
        """Return a number above 0 and at most 1."""
        value = self.above_zero(column)
        if value > 1.0:
            return self.refuse(column, f"got {value:g}, must be at most 1", 1.0)
        return value

    def whole(self, column: str) -> int:
        """Return a whole number from 1."""
        value = self.above_zero(column)
        if value != int(value):
            return self.refuse(column, f"got {value:g}, must be a whole number", 1)
        return int(value)

    def word(self, column: str, allowed: Sequence[str]) -> str:
        """Return one of the allowed words."""
        value = self.text(column)
        if value not in allowed:
            wrong = f"got {value!r}, must be one of {', '.join(allowed)}"
            return self.refuse(column, wrong, allowed[0])
        return value

    def yes_no(self, column: str) -> bool:
        """Return whether the cell says yes."""
        return self.word(column, ("yes", "no")) == "yes"

    def band(self, lower: str, nominal: str, upper: str, factor: float = 1.0) -> Band:
        """Return three columns as a band, each times the factor."""
        ends = [self.above_zero(column) * factor for column in (lower, nominal, upper)]
        try:
            return Band(*ends)
        except ValueError as error:
            return self.refuse(nominal, str(error), Band.exact(1.0))

    def three(self, what: str, unit: str, factor: float = 1.0) -> Band:
        """Return the columns `what_lower_unit`, `what_unit`, `what_upper_unit` as a band."""
        return self.band(
            f"{what}_lower_{unit}", f"{what}_{unit}", f"{what}_upper_{unit}", factor=factor
        )

    def three_or_none(self, what: str, unit: str, factor: float = 1.0) -> Band | None:
        """Return the same three columns as a band, or None where all three are empty."""
        columns = (f"{what}_lower_{unit}", f"{what}_{unit}", f"{what}_upper_{unit}")
        given = [self.number_or_none(column) for column in columns]  # all three count as read
        return None if given == [None] * 3 else self.band(*columns, factor=factor)

    def spread(self, column: str, tolerance_percent: str) -> Band:
        """Return a value with its tolerance of less than 100 % either way."""
        value, percent = self.above_zero(column), self.not_negative(tolerance_percent)
        if percent >= 100.0:
            wrong = f"got {percent:g}, must be below 100"
            return self.refuse(tolerance_percent, wrong, Band.exact(value))
        return Band(value * (1.0 - percent / 100.0), value, value * (1.0 + percent / 100.0))

    def provenance(self) -> Provenance:
        """Return name, source key, how the numbers are known, note."""
        return Provenance(
            name=self.text("name"),
            source=self.text("source"),
            how=self.word("how", m.HOW_KNOWN),
            note=self.text_or_empty("note"),
        )


def read_sources(path: Path) -> dict[str, m.Source]:
    """Read sources.toml: key to source."""
    if not path.is_file():
        raise LibraryError(f"library/{path.name} is missing in {path.parent}.")
    try:
        raw = tomllib.loads(path.read_text(encoding="utf-8"))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise LibraryError(f"library/{path.name}: {error}.") from None
    sources = {}
    fields = ("title", "author", "edition", "where", "known")
    for key, entry in raw.items():
        if set(entry) != set(fields) or not all(isinstance(entry[f], str) for f in fields):
            raise LibraryError(f"library/{path.name}, key {key}: needs the texts {fields}.")
        if entry["known"] not in KNOWN:
            raise LibraryError(
                f"library/{path.name}, key {key}, known: got {entry['known']!r}, "
                f"must be one of {', '.join(KNOWN)}."
            )
        sources[key] = m.Source(key=key, **entry)
    return sources


def read_table(
    path: Path, sources: dict[str, m.Source], make: Callable[[Cells], R]
) -> tuple[R, ...]:
    """Read one CSV file, one record per line; `make` must ask for every column."""
    rows = []
    for cells in _lines(path):
        row = make(cells)
        if row.source not in sources:
            raise cells.fail("source", f"got {row.source!r}, not a key of sources.toml")
        unknown = set(cells.cells) - cells.used
        if unknown:
            raise cells.fail(min(unknown), "is not a column of this table")
        rows.append(row)
    if not rows:
        raise LibraryError(f"library/{path.name} has no row.")
    _refuse_repeats(path, rows)
    return tuple(rows)


def _refuse_repeats(path: Path, rows: Sequence[m.Row]) -> None:
    """Refuse a second row for the same thing; some tables have one row per name and point."""
    seen = set()
    for line, row in enumerate(rows, start=2):
        point: object = None
        if isinstance(row, m.AmpacityRow):
            point = row.temperature_c
        elif isinstance(row, m.FuseOpeningBand):
            point = row.percents
        if (row.name, point) in seen:
            raise LibraryError(
                f"library/{path.name}:{line}, column name: {row.name!r} is repeated."
            )
        seen.add((row.name, point))


def _lines(path: Path) -> Iterator[Cells]:
    if not path.is_file():
        raise LibraryError(f"library/{path.name} is missing in {path.parent}.")
    try:
        lines = list(csv.reader(path.read_text(encoding="utf-8").splitlines(), strict=True))
    except (csv.Error, UnicodeDecodeError) as error:
        raise LibraryError(f"library/{path.name}: {error}.") from None
    head = lines[0] if lines else []
    for line, cells in enumerate(lines[1:], start=2):
        if len(cells) != len(head):
            raise LibraryError(
                f"library/{path.name}:{line}: has {len(cells)} columns, the head {len(head)}."
            )
        yield Cells(path.name, line, dict(zip(head, cells, strict=True)), set())
