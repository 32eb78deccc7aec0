"""Open a TOML file with care: size, bytes, nesting and line length first, then the parser.

Also finds the line on which each table and key stands, so that a problem can point at it.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from pathlib import Path

from circuitcheck.errors import InputError, Problem
from circuitcheck.read.forms.printable import printable
from circuitcheck.record import record

MOST_BYTES = 1_000_000
MOST_LINE_CHARACTERS = 4_000
MOST_NESTING = 8
MOST_KEY_PARTS = 6

KeyPath = tuple[str | int, ...]

_TOKEN = re.compile(
    r'"""(?:[^"\\]|\\.|"(?!""))*+(?:"""|\Z)'
    r"|'''(?:[^']|'(?!''))*+(?:'''|\Z)"
    r'|"(?:[^"\\\n]|\\[^\n])*+(?:"|(?=\n)|\Z)'
    r"|'[^'\n]*+(?:'|(?=\n)|\Z)"
    r"|#[^\n]*+"
    r"|[A-Za-z0-9_-]++"
    r"|[\[\]{},=.\n]"
    r"|[^\sA-Za-z0-9_\[\]{},=.\"'#-]++",
    re.DOTALL,
)
_PLACE_IN_MESSAGE = re.compile(r"\(at (?:line ([0-9]+), column ([0-9]+)|end of document)\)$")


@record
class TomlSource:
    """The tables of a TOML file, and the line of each key path."""

    file: str
    tables: Mapping[str, object]
    lines: Mapping[KeyPath, int]

    def line(self, path: KeyPath) -> int | None:
        """Return the line of a key path, or of the nearest table around it."""
        for length in range(len(path), 0, -1):
            if path[:length] in self.lines:
                return self.lines[path[:length]]
        return None


def load_toml(path: str | Path, text: str | None = None) -> TomlSource:
    """Read a TOML file, or `text` as if it stood in `path`.

    Raises InputError when it cannot be opened, is too large, is no UTF-8 text, or is no TOML.
    """
    file = printable(str(path), most=200)
    data = _read_bytes(Path(path), file) if text is None else text.encode("utf-8", "surrogatepass")
    if len(data) > MOST_BYTES:
        size = f"more than {MOST_BYTES} bytes" if text is None else f"{len(data)} bytes"
        raise _refusal(file, f"the file has {size}", f"At most {MOST_BYTES} bytes are read.")
    content = _decoded(data, file)
    lines = _scan(content, file)
    try:
        tables = tomllib.loads(content)
    except tomllib.TOMLDecodeError as error:
        raise _syntax_error(file, str(error)) from None
    except (ValueError, RecursionError) as error:
        raise _refusal(
            file, f"no TOML: {printable(str(error), most=80)}", "Write plain TOML."
        ) from None
    return TomlSource(file, tables, lines)


def _refusal(file: str, wrong: str, right: str, line: int | None = None) -> InputError:
    return InputError([Problem(file, "", wrong, right, line)])


def _read_bytes(path: Path, file: str) -> bytes:
    try:
        if path.is_dir():
            raise _refusal(file, "this is a folder", "Name the harness file inside it.")
        if path.exists() and not path.is_file():
            raise _refusal(file, "this is no plain file", "Name a harness file on disk.")
        with path.open("rb") as stream:
            return stream.read(MOST_BYTES + 1)
    except FileNotFoundError:
        raise _refusal(
            file,
            "there is no such file",
            "Check the name, or write one with `circuitcheck new FILE`.",
        ) from None
    except PermissionError:
        raise _refusal(
            file, "this file may not be read by you", "Change its permissions."
        ) from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise _refusal(
            file, f"it cannot be opened: {printable(reason, most=80)}", "Check the name."
        ) from None


def _decoded(data: bytes, file: str) -> str:
    at = data.find(b"\0")
    if at >= 0:
        raise _refusal(
            file,
            f"byte {at + 1} is zero: this is no text file",
            "A harness file is plain text in UTF-8.",
            data.count(b"\n", 0, at) + 1,
        )
    try:
        content = data.decode("utf-8")
    except UnicodeDecodeError as error:
        raise _refusal(
            file,
            f"byte {error.start + 1} (0x{data[error.start]:02x}) is not UTF-8",
            "Save the file as UTF-8.",
            data.count(b"\n", 0, error.start) + 1,
        ) from None
    return content.removeprefix("\ufeff").replace("\r\n", "\n")


def _scan(content: str, file: str) -> dict[KeyPath, int]:
    for number, line in enumerate(content.split("\n"), start=1):
        if len(line) > MOST_LINE_CHARACTERS:
            raise _refusal(
                file,
                f"a line of {len(line)} characters",
                f"At most {MOST_LINE_CHARACTERS} characters stand on one line.",
                number,
            )
    return _LineFinder(file).read(content)


class _LineFinder:
    """Walks the tokens of a TOML text, well formed or not, and notes where each key stands."""

    def __init__(self, file: str):
        self.file = file
        self.lines: dict[KeyPath, int] = {}
        self.line = 1
        self.table: KeyPath = ()
        # Rows of an array of tables so far, by its name; `[[` has been met in this header.
        self.rows: dict[KeyPath, int] = {}
        self.is_row = False
        # One entry per open bracket: the bracket, the path it holds, the index of a list.
        self.open: list[tuple[str, KeyPath, int]] = []
        self.key: list[str] = []
        self.value_of: KeyPath | None = None

    def read(self, content: str) -> dict[KeyPath, int]:
        """Return the line of each key path."""
        for match in _TOKEN.finditer(content):
            token = match.group()
            if token == "\n":
                self._end_of_line()
            elif token == "[" and self.value_of is None and not self.open:
                self._header()
            elif token in "[{":
                self._opens(token)
            elif token in "]}":
                self._closes()
            elif token == ",":
                self._comma()
            elif token == "=":
                self._equals()
            elif token[0] not in "#.":
                self._word(token)
            self.line += token.count("\n")
        return self.lines

    def _header(self) -> None:
        # The words of a header are collected like a dotted key; its line end closes it.
        self.key = []
        self.open.append(("header", (), 0))

    def _end_of_line(self) -> None:
        if self.open and self.open[0][0] == "header":
            self._close_header()
        if not self.open:
            self.key, self.value_of = [], None

    def _close_header(self) -> None:
        self.table = tuple(self.key)
        self._note(self.table)
        if self.is_row:
            row = self.rows.get(self.table, -1) + 1
            self.rows[self.table], self.table = row, (*self.table, row)
            self._note(self.table)
        self.is_row = False
        self.open, self.key, self.value_of = [], [], None

    def _opens(self, bracket: str) -> None:
        if self.open and self.open[0][0] == "header":
            self.is_row = self.is_row or bracket == "["
            return
        if len(self.open) >= MOST_NESTING:
            raise _refusal(
                self.file,
                f"brackets nested more than {MOST_NESTING} deep",
                "No value of a harness file needs that.",
                self.line,
            )
        path = self.value_of if self.value_of is not None else self.table
        if self.open and self.open[-1][0] == "[":
            path = (*self.open[-1][1], self.open[-1][2])
            self._note(path)
        self.open.append((bracket, path, 0))
        self.key, self.value_of = [], None

    def _closes(self) -> None:
        if self.open and self.open[0][0] == "header":
            return
        if self.open:
            self.open.pop()
        self.key, self.value_of = [], None if not self.open else self.open[-1][1]

    def _comma(self) -> None:
        if self.open and self.open[-1][0] == "[":
            bracket, path, index = self.open[-1]
            self.open[-1] = (bracket, path, index + 1)
        self.key, self.value_of = [], None

    def _equals(self) -> None:
        base = self.open[-1][1] if self.open else self.table
        self.value_of = (*base, *self.key)
        self._note(self.value_of)
        self.key = []

    def _word(self, token: str) -> None:
        if self.value_of is not None and (not self.open or self.open[-1][0] != "["):
            return
        if len(self.key) >= MOST_KEY_PARTS:
            if not self.open or self.open[-1][0] != "[":
                raise _refusal(
                    self.file,
                    f"a key of more than {MOST_KEY_PARTS} parts",
                    "Keys of a harness file have at most three, as in [part.F1].",
                    self.line,
                )
            return
        self.key.append(_unquoted(token))

    def _note(self, path: KeyPath) -> None:
        self.lines.setdefault(path, self.line)


def _unquoted(token: str) -> str:
    if "\\" in token and token[0] == '"':
        try:
            return str(tomllib.loads(f"key = {token}")["key"])
        except tomllib.TOMLDecodeError:
            return token
    return token.strip("\"'") if token[0] in "\"'" else token


_SAYINGS = (
    ("Cannot overwrite a value", "a key is given twice", "Keep one of the two."),
    ("Cannot declare", "a table is given twice", "Give each part, wire and zone its own name."),
    ("Cannot mutate immutable", "a table is given twice", "Keep one of the two."),
    ("Duplicate inline table key", "a key is given twice", "Keep one of the two."),
    ("Invalid value", "no value that TOML knows", 'Put text and quantities in quotes: "5 A".'),
    ("Illegal character '\\n'", "a text is not closed", 'Add the missing `"` on this line.'),
    ("Illegal character", "a control character", "Delete it."),
    ("Unclosed array", "a list is not closed", "Add the missing `]`, or a comma before here."),
    ("Unclosed inline table", "a table is not closed", "Add the missing `}`, or a comma here."),
    (
        "Invalid initial character for a key part",
        "no key where one is due",
        "A table in braces stands on one line and has no comma before `}`.",
    ),
    ("Unterminated string", "a text is not closed", 'Add the missing `"`.'),
    ("Expected newline", "more text after the end of a value", "Put each key on its own line."),
)


def _syntax_error(file: str, message: str) -> InputError:
    place = _PLACE_IN_MESSAGE.search(message)
    line = int(place[1]) if place and place[1] else None
    column = f" at column {place[2]}" if place and place[2] else ""
    said = printable(_PLACE_IN_MESSAGE.sub("", message).strip(), most=100)
    for start, wrong, right in _SAYINGS:
        if said.startswith(start):
            return _refusal(file, f"{wrong}{column} ({said})", right, line)
    return _refusal(file, f"no TOML{column} ({said})", "Write `key = value` lines.", line)
