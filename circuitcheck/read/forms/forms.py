"""How a value may be written: one class per form, each reads a TOML value or says what is wrong.

A form's `allowed` says in words what may be written; the reference of all fields and the
messages are made from it. `read` returns the value, or Gap.BROKEN after reporting a problem.
"""

from __future__ import annotations

import re
from typing import Protocol

from circuitcheck.read.forms.printable import shown
from circuitcheck.read.reading import Gap, Place
from circuitcheck.record import record

NAME = re.compile(r"[A-Za-z][A-Za-z0-9_-]{0,23}")
NAME_RULE = "A name starts with a letter and has up to 24 letters, digits, `_` or `-`."
BUTTON = re.compile(r"\w(?:[\w ./-]{0,28}[\w.])?")
TERMINAL_NAME = re.compile(r"[A-Za-z0-9+-][A-Za-z0-9_+-]{0,23}")


class Form(Protocol):
    """What every form can do."""

    @property
    def allowed(self) -> str:
        """What may be written, in words."""
        ...

    def read(self, value: object, at: Place) -> object:
        """Return the value read, or Gap.BROKEN after reporting a problem at `at`."""
        ...


def refused(at: Place, value: object, right: str) -> Gap:
    """Report a value that does not fit its form."""
    return at.problem(f"got {shown(value)}", right)


@record
class Text:
    """Free text for people."""

    most: int = 120
    lines: bool = False

    @property
    def allowed(self) -> str:
        """What may be written, in words."""
        return f"text of up to {self.most} characters"

    def read(self, value: object, at: Place) -> object:
        """Return the text; control characters and over-long texts are refused."""
        if not isinstance(value, str):
            return refused(at, value, f'Give {self.allowed}, in quotes: "...".')
        if len(value) > self.most:
            return at.problem(f"a text of {len(value)} characters", f"Give {self.allowed}.")
        plain = value.replace("\n", "") if self.lines else value
        if not plain.isprintable():
            return refused(at, value, "Leave out control characters.")
        return value


@record
class Word:
    """One word of a list."""

    words: tuple[str, ...]

    @property
    def allowed(self) -> str:
        """What may be written, in words."""
        return " | ".join(f'"{word}"' for word in self.words)

    def read(self, value: object, at: Place) -> object:
        """Return the word."""
        if isinstance(value, str) and value in self.words:
            return value
        hint = at.hint(value, self.words) if isinstance(value, str) else ""
        return refused(at, value, hint or f"Allowed: {self.allowed}.")


@record
class Name:
    """The name of a part, zone or button."""

    of: str

    @property
    def allowed(self) -> str:
        """What may be written, in words."""
        return f"name of a {self.of}"

    def read(self, value: object, at: Place) -> object:
        """Return the name."""
        if isinstance(value, str) and NAME.fullmatch(value):
            return value
        return refused(at, value, f"Give the {self.allowed}. {NAME_RULE}")


@record
class Button:
    """The name of a button, as people call it: `left`, `front bar`."""

    @property
    def allowed(self) -> str:
        """What may be written, in words."""
        return "name of a button"

    def read(self, value: object, at: Place) -> object:
        """Return the name; signs that the names of switch positions use are kept out."""
        if isinstance(value, str) and BUTTON.fullmatch(value):
            return value
        return refused(at, value, "Give up to 30 letters, digits, spaces and `_ . / -`.")


@record
class TerminalName:
    """The name of a terminal on a switch, as printed there: `feed`, `1`, `30`."""

    @property
    def allowed(self) -> str:
        """What may be written, in words."""
        return "name of a terminal"

    def read(self, value: object, at: Place) -> object:
        """Return the terminal name."""
        if isinstance(value, str) and TERMINAL_NAME.fullmatch(value):
            return value
        return refused(at, value, 'Give a terminal name in quotes, for example "feed" or "1".')


@record
class YesNo:
    """TOML's true or false."""

    @property
    def allowed(self) -> str:
        """What may be written, in words."""
        return "true | false"

    def read(self, value: object, at: Place) -> object:
        """Return the boolean."""
        if isinstance(value, bool):
            return value
        return refused(at, value, "Give true or false, without quotes.")


@record
class Count:
    """A whole number."""

    least: int
    most: int

    @property
    def allowed(self) -> str:
        """What may be written, in words."""
        return f"whole number from {self.least} to {self.most}"

    def read(self, value: object, at: Place) -> object:
        """Return the number as int."""
        # A boolean is an int to Python, not to a person.
        if type(value) is int and self.least <= value <= self.most:
            return value
        return refused(at, value, f"Give a {self.allowed}, without quotes.")


@record
class Number:
    """A plain number without unit."""

    least: float
    most: float

    @property
    def allowed(self) -> str:
        """What may be written, in words."""
        return f"number from {self.least:g} to {self.most:g}"

    def read(self, value: object, at: Place) -> object:
        """Return the number as float; NaN and infinity are refused by the comparison."""
        if isinstance(value, bool) or not isinstance(value, int | float):
            return refused(at, value, f"Give a {self.allowed}, without quotes.")
        if self.least <= value <= self.most:
            return float(value)
        return refused(at, value, f"Give a {self.allowed}, without quotes.")


@record
class ListOf:
    """A list of values of one form, read into a tuple."""

    item: Form
    least: int = 1
    most: int = 50
    example: str = ""
    distinct: bool = False

    @property
    def allowed(self) -> str:
        """What may be written, in words."""
        return f"list of {self.item.allowed}"

    def read(self, value: object, at: Place) -> object:
        """Return a tuple; refused items stay in it as Gap.BROKEN."""
        if not isinstance(value, list):
            return refused(at, value, f"Give a list in square brackets{self._like()}.")
        if not self.least <= len(value) <= self.most:
            number = f"{self.least}" if self.least == self.most else f"{self.least} to {self.most}"
            return refused(at, value, f"Give {number} of them{self._like()}.")
        if self.distinct and any(item in value[:i] for i, item in enumerate(value)):
            return at.problem("the same word twice", "Name each once.")
        return tuple(self.item.read(item, at.inside(i)) for i, item in enumerate(value))

    def _like(self) -> str:
        return f", for example {self.example}" if self.example else ""


@record
class OneOrMore:
    """A single value, or a list of them; always read into a tuple."""

    item: Form
    most: int = 50

    @property
    def allowed(self) -> str:
        """What may be written, in words."""
        return f"{self.item.allowed}, or a list of such"

    def read(self, value: object, at: Place) -> object:
        """Return a tuple; refused items stay in it as Gap.BROKEN."""
        if isinstance(value, list):
            return ListOf(self.item, 0, self.most).read(value, at)
        return (self.item.read(value, at),)


@record
class Either:
    """One of a few words, or else a value of another form."""

    words: tuple[str, ...]
    other: Form

    @property
    def allowed(self) -> str:
        """What may be written, in words."""
        return f"{Word(self.words).allowed} | {self.other.allowed}"

    def read(self, value: object, at: Place) -> object:
        """Return the word, or what the other form reads; a near word gets its hint."""
        if isinstance(value, str):
            if value in self.words:
                return value
            hint = at.hint(value, self.words)
            if hint:
                return refused(at, value, hint)
        return self.other.read(value, at)
