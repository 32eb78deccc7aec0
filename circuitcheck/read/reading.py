"""What is gathered while one harness file is read: problems, assumptions, places."""

from __future__ import annotations

import enum
from collections.abc import Iterable
from dataclasses import dataclass, field

from circuitcheck.errors import InputError, Problem
from circuitcheck.model.assumption import Assumption
from circuitcheck.model.library import Library
from circuitcheck.read.forms.near_match import NearMatch
from circuitcheck.read.forms.printable import printable
from circuitcheck.read.toml_source import KeyPath, TomlSource
from circuitcheck.record import record

MOST_PROBLEMS = 1_000
"""Reading stops there: nobody reads on, and a hostile file shall not take long."""
NAMED_TABLES = ("part", "wire", "cable", "zone", "branch")


class Gap(enum.Enum):
    """Stands where a value is not known, or was refused and already reported."""

    UNKNOWN = "unknown"
    BROKEN = "broken"


def place_text(path: KeyPath) -> str:
    """Return how a key path is named to people: `part F1, rating`."""
    words = [f"item {p + 1}" if isinstance(p, int) else printable(p, most=30) for p in path]
    if len(words) > 1 and words[0] in NAMED_TABLES:
        words[:2] = [f"{words[0]} {words[1]}"]
    return ", ".join(words)


@dataclass
class Reading:
    """One file under way; every problem and every assumption lands here."""

    source: TomlSource
    library: Library
    problems: list[Problem] = field(default_factory=list)
    assumptions: dict[Assumption, None] = field(default_factory=dict)
    near: NearMatch = field(default_factory=NearMatch)


@record
class Place:
    """One key path of the file; problems are reported against it."""

    reading: Reading
    path: KeyPath

    def inside(self, key: str | int) -> Place:
        """Return the place of a key or list item inside this one."""
        return Place(self.reading, (*self.path, key))

    def problem(self, wrong: str, right: str) -> Gap:
        """Report a problem here and return the mark of a refused value."""
        source, problems = self.reading.source, self.reading.problems
        line = source.line(self.path)
        problems.append(Problem(source.file, place_text(self.path), wrong, right, line))
        if len(problems) >= MOST_PROBLEMS:
            more = Problem(source.file, "", "too many problems", "Put these right, then read on.")
            raise InputError([*problems, more])
        return Gap.BROKEN

    def hint(self, word: str, allowed: Iterable[str]) -> str:
        """Return `Did you mean ...?` for a misspelt word, or an empty text."""
        return self.reading.near.hint(word, allowed)
