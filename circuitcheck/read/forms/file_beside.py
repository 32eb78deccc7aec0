"""Form of a file named in a harness file: beside it or in a folder below, never elsewhere."""

from __future__ import annotations

import re

from circuitcheck.read.forms.forms import refused
from circuitcheck.read.reading import Place
from circuitcheck.record import record

_STEP = r"[A-Za-z0-9_][A-Za-z0-9_ .-]{0,39}"
_PLAIN = re.compile(rf"(?:{_STEP}/){{0,4}}{_STEP}(?<=\.toml)")


@record
class FileBeside:
    """A plain relative path to a TOML file, with `/` between folders."""

    @property
    def allowed(self) -> str:
        """What may be written, in words."""
        return 'file beside this one, "my_rows.toml" or "rows/mine.toml"'

    def read(self, value: object, at: Place) -> object:
        """Return the path as written; whether the file is there is looked at later."""
        if isinstance(value, str) and _PLAIN.fullmatch(value):
            return value
        return refused(
            at, value, f"Give a {self.allowed}: no `..`, no drive, nothing from the root."
        )
