"""Lines of plain text for a narrow screen: harmless to a terminal, never wider than asked."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass, field

from circuitcheck.documents.quantity_text import METRIC

NARROWEST, WIDEST, PHONE = 24, 80, 40


def harmless(text: str) -> str:
    """Return `text` with every control, invisible or direction-turning character spelt out.

    >>> harmless("W1\\x1b[31m")
    'W1\\\\x1b[31m'
    """
    return "".join(c if c.isprintable() else _spelt(c) for c in text)


def _spelt(character: str) -> str:
    if character in "\n\r\t":
        return " "
    code = ord(character)
    return f"\\x{code:02x}" if code < 0x100 else f"\\u{code:04x}"


def columns(text: str) -> int:
    """Return how many columns of a terminal a text takes."""
    return sum(_columns(character) for character in text)


def _columns(character: str) -> int:
    if unicodedata.combining(character):
        return 0
    return 2 if unicodedata.east_asian_width(character) in "WF" else 1


def wrapped(text: str, width: int, *, first: str = "", rest: str = "") -> list[str]:
    """Return lines of at most `width` columns; a word longer than a line is cut.

    `first` and `rest` begin the first line and the others. User text in `text` becomes harmless.
    """
    lines, line, blank = [], first, True
    for word in _words(text):
        line += "" if blank else " "
        room, whole_line = width - columns(line), width - columns(rest)
        is_cut_anyway = columns(word) > whole_line and room >= LEAST_PIECE
        if not blank and columns(word) > room and not is_cut_anyway:
            lines.append(line.rstrip())
            line, room = rest, whole_line
        *cut, last = _pieces(word, room, whole_line)
        for piece in cut:
            lines.append(f"{line}{piece}")
            line = rest
        line, blank = f"{line}{last}", False
    return [*lines, line.rstrip()]


_STEPPED = ("V", "A", "W", "J", "H", "Ah", "ohm")
_UNITS = frozenset(
    [f"{step}{unit}" for step in ("", "k", "M", "m", "u") for unit in _STEPPED]
    + ["%", "degC", "degF", "K", "s", "ms", "us", "min", "h", "m", "mm", "mm2", "AWG", "ft", "in"]
)


def _words(text: str) -> list[str]:
    """Return the words of a text; a number and its unit stay together as one."""
    words: list[str] = []
    for word in harmless(text).split():
        if words and word.rstrip("),;:.") in _UNITS and _is_number(words[-1]):
            words[-1] += f" {word}"
        else:
            words.append(word)
    return words


def _is_number(word: str) -> bool:
    digits = word.lstrip("(<>=").removeprefix("-").removeprefix("+").replace(".", "")
    return digits.isascii() and digits.isdigit()


def _pieces(word: str, room: int, room_below: int) -> Iterator[str]:
    """Yield a word in pieces that fit a line and those below it, cut behind joints if any."""
    while columns(word) > room:
        cut = _fitting(word, room)
        joint = max(word.rfind(sign, 1, cut) for sign in JOINTS) + 1
        cut = joint if joint > 1 else cut
        yield word[:cut]
        word, room = word[cut:], room_below
    yield word


JOINTS = "/-_.,;"
LEAST_PIECE = 8
"""Columns that a piece of a word too long for any line needs, to begin behind other words."""


def _fitting(word: str, room: int) -> int:
    """Return how many characters of a word fit, at least one."""
    taken = 0
    for count, character in enumerate(word):
        taken += _columns(character)
        if taken > room:
            return max(1, count)
    return len(word)


@dataclass
class Page:
    """Collects wrapped lines; `colour` marks the first line of a paragraph where it is wanted.

    `system` is the system of units that the reader wants, for those who write on the page.
    """

    width: int
    colour: bool = False
    system: str = METRIC
    lines: list[str] = field(default_factory=list)

    def say(self, text: str, *, first: str = "", rest: str | None = None, colour: str = "") -> None:
        """Add one paragraph. Colour adds to the words, it never stands for one."""
        hanging = " " * columns(first) if rest is None else rest
        lines = wrapped(text, self.width, first=first, rest=hanging)
        if self.colour and colour:
            lines = [f"\x1b[{COLOURS[colour]}m{line}\x1b[0m" for line in lines]
        self.lines += lines

    def gap(self) -> None:
        """Add an empty line, never two in a row."""
        if self.lines and self.lines[-1]:
            self.lines.append("")

    def text(self) -> str:
        """Return the page, ending in one line end."""
        return "\n".join(self.lines).rstrip() + "\n"


COLOURS = {"red": "31", "green": "32", "yellow": "33", "bold": "1"}
