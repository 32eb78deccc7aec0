"""One error class per stage, and the record of one problem in an input file."""

from __future__ import annotations

from circuitcheck.record import record


@record
class Problem:
    """One thing wrong in an input file, said so that its owner can put it right.

    `place` names the part, wire or table and the key, e.g. `wire W7, length`. `line` counts from 1.
    """

    file: str
    place: str
    wrong: str
    right: str
    line: int | None = None

    def __str__(self) -> str:
        where = f"{self.file}:{self.line}" if self.line else self.file
        place = f"{self.place}: " if self.place else ""
        return f"{where}: {place}{self.wrong}. {self.right}"


class CircuitcheckError(Exception):
    """Anything circuitcheck refuses to do, with its reason."""


class InputError(CircuitcheckError):
    """An input file cannot be used; carries every problem found in it."""

    def __init__(self, problems: list[Problem]):
        self.problems = tuple(problems)
        super().__init__("\n".join(str(problem) for problem in problems))


class LibraryError(CircuitcheckError):
    """A library table is missing, broken, or asked for a value outside it."""


class CircuitError(CircuitcheckError):
    """The circuit cannot be solved as described."""


class SolveError(CircuitcheckError):
    """The solver did not reach an answer it can stand behind."""
