"""One row of a user's own file as cells: typed by TOML, every fault gathered."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import TypeVar

from circuitcheck.model.library import GIVEN
from circuitcheck.read.forms.printable import shown
from circuitcheck.read.library.library_cells import Cells, Provenance

T = TypeVar("T")
MOST_TEXT = 200
MISSING = "is missing"


@dataclass
class UserCells(Cells):
    """Cells from a TOML table: numbers as numbers, texts as texts, empty columns left out.

    What is wrong is kept in `faults` as column and words; `source_key` is the user's file.
    """

    given: Mapping[str, object] = field(default_factory=dict)
    source_key: str = ""
    faults: list[tuple[str, str]] = field(default_factory=list)

    def disagree(self, column: str, wrong: str) -> None:
        """Keep the fault only where no single cell is at fault: it may follow from that one."""
        if not self.faults:
            self.faults.append((column, wrong))

    def refuse(self, column: str, wrong: str, stand_in: T) -> T:
        """Keep the fault, once for each column, and go on with the stand-in."""
        if column not in {known for known, _ in self.faults}:
            self.faults.append((column, MISSING if wrong == "is empty" else wrong))
        return stand_in

    def text_or_empty(self, column: str) -> str:
        """Return a text that may be left out."""
        self.used.add(column)
        value = self.given.get(column, "")
        if not isinstance(value, str):
            return self.refuse(column, f"got {shown(value)}, must be a text in quotes", "?")
        if not value.isprintable() or len(value) > MOST_TEXT:
            wrong = f"got {shown(value)}, must be at most {MOST_TEXT} plain characters"
            return self.refuse(column, wrong, "?")
        return value.strip()

    def number_or_none(self, column: str) -> float | None:
        """Return a number, or None where it is left out."""
        self.used.add(column)
        value = self.given.get(column)
        if value is None:
            return None
        if isinstance(value, bool) or not isinstance(value, int | float):
            return self.refuse(column, f"got {shown(value)}, must be a plain number", 1.0)
        number = float(value) if abs(value) < 1e15 else float("inf")
        if not abs(number) < 1e15:
            return self.refuse(column, f"got {shown(value)}, must be finite and below 1e15", 1.0)
        return number

    def provenance(self) -> Provenance:
        """Return name and note of the user; the file is the source."""
        return Provenance(
            name=self.text("name"),
            source=self.source_key,
            how=GIVEN,
            note=self.text_or_empty("note"),
        )


def user_cells(
    table: str, given: Mapping[str, object], columns: Iterable[str], source_key: str
) -> UserCells:
    """Return the cells of one TOML table, for a table of the library with these columns."""
    return UserCells(table, 0, dict.fromkeys(columns, ""), set(), given, source_key)
