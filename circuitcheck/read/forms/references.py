"""Forms that point elsewhere: a library row, a terminal, a colour code."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import cast

from circuitcheck.model.library import Library
from circuitcheck.model.library_part_rows import RelayRow, SwitchRow
from circuitcheck.model.library_rows import ContactRow, Row
from circuitcheck.model.terminal import Terminal
from circuitcheck.read.forms.forms import refused
from circuitcheck.read.reading import Place
from circuitcheck.record import record

TERMINAL = re.compile(
    r"(?P<part>[A-Za-z][A-Za-z0-9_-]{0,23})(?:\.(?P<name>[A-Za-z0-9_+-]{1,24}(?:\.[0-9]{1,3})?))?"
)
CAVITY = re.compile(r"(?:plug|receptacle)\.[1-9][0-9]{0,2}")
COLOUR_WORDS = {
    "black": "BK", "brown": "BN", "red": "RD", "orange": "OG", "yellow": "YE", "green": "GN",
    "blue": "BU", "violet": "VT", "grey": "GY", "white": "WH", "pink": "PK", "gold": "GD",
    "turquoise": "TQ", "silver": "SR",
}  # fmt: skip
"""Colours and their two-letter codes (IEC 60757); green-yellow is written GN/YE or GNYE."""
COLOURS = tuple(COLOUR_WORDS.values())


LIBRARY_TABLES: Mapping[str, Callable[[Library], Mapping[str, Row]]] = {
    "batteries": lambda library: library.batteries,
    "coils": lambda library: library.coils,
    "contacts": lambda library: library.contacts,
    "converters": lambda library: library.converters,
    "diodes": lambda library: library.diodes,
    "fuses": lambda library: library.fuses,
    "insulation": lambda library: library.insulations,
    "lamps": lambda library: library.lamps,
    "leds": lambda library: library.leds,
    "pull_hold_coils": lambda library: library.pull_hold_coils,
    "relays": lambda library: library.relays,
    "sockets": lambda library: library.sockets,
    "suppressors": lambda library: library.suppressors,
    "switches": lambda library: library.switches,
}
"""Tables whose rows a harness file may name, by the name of their CSV file."""


@record
class LibraryRow:
    """The name of a row in one library table; of contacts, relays and switches, some kinds only."""

    table: str
    kinds: tuple[str, ...] = ()

    @property
    def allowed(self) -> str:
        """What may be written, in words."""
        kinds = f" ({', '.join(self.kinds)})" if self.kinds else ""
        return f"row of library/{self.table}.csv{kinds}"

    def read(self, value: object, at: Place) -> object:
        """Return the row itself."""
        rows = self.rows(at.reading.library)
        if isinstance(value, str):
            name = value.replace("mm²", "mm2")
            if name in rows:
                return rows[name]
            hint = at.hint(value, rows)
            if hint:
                return refused(at, value, hint)
        names = "; ".join(name for name in list(rows)[:20])
        return refused(at, value, f"Give the name of a {self.allowed}: {names}.")

    def rows(self, library: Library) -> Mapping[str, Row]:
        """Return the rows that may be named, by name."""
        rows = LIBRARY_TABLES[self.table](library)
        if not self.kinds:
            return rows
        kinded = cast(Mapping[str, ContactRow | RelayRow | SwitchRow], rows)
        return {name: row for name, row in kinded.items() if row.kind in self.kinds}


@record
class TerminalRef:
    """Where a wire lands: `PART.terminal`, or `PART` alone where the part has one terminal."""

    @property
    def allowed(self) -> str:
        """What may be written, in words."""
        return 'terminal, "F1.line", "X1.plug.2", or the bare name of a part with one terminal'

    def read(self, value: object, at: Place) -> object:
        """Return the Terminal; whether it exists is looked at when all parts are known."""
        match = TERMINAL.fullmatch(value) if isinstance(value, str) else None
        if match is None:
            return refused(at, value, f"Give a {self.allowed}.")
        return Terminal(match["part"], match["name"] or "")


@record
class Colour:
    """One or two colour codes of IEC 60757: `RD`, `RD/WH`."""

    @property
    def allowed(self) -> str:
        """What may be written, in words."""
        return 'colour code of IEC 60757, "RD", or two for a stripe, "RD/WH"'

    def read(self, value: object, at: Place) -> object:
        """Return a tuple of one or two codes."""
        if not isinstance(value, str) or len(value) > 20:
            return refused(at, value, f"Give a {self.allowed}.")
        word = COLOUR_WORDS.get(value.lower())
        if word:
            return refused(at, value, f'Write "{word}".')
        codes = ("GN", "YE") if value.upper() == "GNYE" else tuple(value.upper().split("/"))
        if len(codes) > 2 or any(code not in COLOURS for code in codes):
            return refused(at, value, f"Codes: {', '.join(COLOURS)}; a stripe as RD/WH.")
        return codes


@record
class Cores:
    """The cores of a cable, by name or in a list; the fields of each are read one by one."""

    @property
    def allowed(self) -> str:
        """What may be written, in words."""
        return (
            'table of tables, { brown = { from = "X1.plug.1", to = "VL.1", colour = "BN" } }, '
            "or a list of such tables (named 1, 2, ...)"
        )

    def read(self, value: object, at: Place) -> object:
        """Return the table or list as it is."""
        if isinstance(value, dict | list) and value:
            return value
        return refused(at, value, f"Give a {self.allowed}.")


@record
class Cavity:
    """One cavity of a connector half: `plug.1`, `receptacle.2`."""

    @property
    def allowed(self) -> str:
        """What may be written, in words."""
        return 'cavity, "plug.1" or "receptacle.1"'

    def read(self, value: object, at: Place) -> object:
        """Return the cavity as the connector names its terminal."""
        if isinstance(value, str) and CAVITY.fullmatch(value):
            return value
        return refused(at, value, f"Give a {self.allowed}.")
