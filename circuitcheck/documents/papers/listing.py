"""A list of the workshop as rows and columns: to text, CSV, JSON and cells to print.

Numbers stand in SI (lengths in metres) in CSV and JSON, in the reader's units elsewhere.
"""

from __future__ import annotations

import json
from collections.abc import Sequence

from circuitcheck.documents.csv_text import csv_text
from circuitcheck.documents.plain_text import Page, columns, harmless
from circuitcheck.documents.quantity_text import METRIC, in_system, quantity_text
from circuitcheck.record import record

_SIZES = ("gauge", "item")
"""Columns of circuitcheck's own words in which wire sizes stand."""
Cell = str | float | None
LENGTH, SMALL, COUNT = "m", "mm", "1"
"""Units of columns: a length, a small length that is shown in millimetres, a number of pieces."""


@record
class Column:
    """One column: `key` names it in CSV and JSON, `heading` before people.

    `unit` is one of LENGTH, SMALL, COUNT, empty for words. Both lengths are kept in metres.
    """

    key: str
    heading: str
    unit: str = ""

    @property
    def csv_key(self) -> str:
        """The heading of the CSV column, with its unit."""
        return f"{self.key}_m" if self.unit in (LENGTH, SMALL) else self.key


@record
class Listing:
    """A list: heading, columns, rows, and sentences that belong to it.

    The first `table` columns make the table on a screen, the others follow below each row. On
    paper columns are put together as `printed` says, heading and keys; each stands alone without.
    """

    heading: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]
    notes: tuple[str, ...] = ()
    table: int = 7
    printed: tuple[tuple[str, tuple[str, ...]], ...] = ()

    def on_paper(self, system: str = METRIC) -> tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]:
        """Return headings and rows in words as they stand on paper."""
        rows = self.cells(system)
        if not self.printed:
            return self.headings(), rows
        at = {column.key: k for k, column in enumerate(self.columns)}
        groups = [[at[key] for key in keys] for _, keys in self.printed]
        merged = tuple(tuple(self._together(row, group) for group in groups) for row in rows)
        return tuple(heading for heading, _ in self.printed), merged

    def _together(self, row: Sequence[str], group: Sequence[int]) -> str:
        """Return cells as one; behind the first a small length bears its heading."""
        said: list[str] = []
        for index in group:
            if row[index]:
                small = bool(said) and self.columns[index].unit == SMALL
                said.append(f"{self.columns[index].heading} {row[index]}" if small else row[index])
        return ", ".join(said)

    def headings(self) -> tuple[str, ...]:
        """Return the headings of the columns."""
        return tuple(column.heading for column in self.columns)

    def cells(self, system: str = METRIC) -> tuple[tuple[str, ...], ...]:
        """Return all rows in words."""
        return tuple(
            tuple(_shown(cell, c, system) for c, cell in zip(self.columns, row, strict=True))
            for row in self.rows
        )


def _shown(cell: Cell, column: Column, system: str) -> str:
    if cell is None:
        return "unknown" if column.unit == LENGTH else ""
    if isinstance(cell, str):
        shown = harmless(cell)
        return in_system(shown, system).replace("mm2", "mm²") if column.key in _SIZES else shown
    if column.unit == COUNT:
        return f"{cell:g}"
    if column.unit == SMALL:
        return f"{cell * 1000.0:.3g} mm"
    return f"{cell:.2f} m" if system == METRIC else quantity_text(cell, "m", system=system)


def listing_csv(listing: Listing) -> str:
    """Return a list as CSV (RFC 4180) with a heading line; lengths are plain metres."""
    return csv_text([column.csv_key for column in listing.columns], listing.rows)


def listing_json(listing: Listing) -> str:
    """Return a list as JSON: its heading, notes and one object a row, in SI."""
    keys = [column.csv_key for column in listing.columns]
    record = {
        "heading": listing.heading,
        "notes": list(listing.notes),
        "rows": [dict(zip(keys, row, strict=True)) for row in listing.rows],
    }
    return json.dumps(record, indent=2, ensure_ascii=False) + "\n"


def listing_text(listing: Listing, *, width: int = 80, system: str = METRIC) -> str:
    """Return a list for a screen of `width` columns: a table, or records where it is narrow."""
    rows = listing.cells(system)
    shown = [n for n in range(listing.table) if any(row[n] for row in rows)]
    widths = [max(columns(cell) for cell in (listing.headings()[n], *_at(rows, n))) for n in shown]
    page = Page(width)
    page.say(listing.heading)
    page.gap()
    if rows and sum(widths) + 2 * (len(widths) - 1) <= width:
        _table(page, listing, rows, shown, widths)
    else:
        _records(page, listing, rows)
    page.gap()
    for note in listing.notes:
        page.say(in_system(note, system), first="- ")
    return page.text()


def _at(rows: Sequence[Sequence[str]], column: int) -> list[str]:
    return [row[column] for row in rows]


def _table(
    page: Page,
    listing: Listing,
    rows: Sequence[Sequence[str]],
    shown: Sequence[int],
    widths: Sequence[int],
) -> None:
    def line(cells: Sequence[str]) -> str:
        padded = [
            cells[n] + " " * (width - columns(cells[n]))
            for n, width in zip(shown, widths, strict=True)
        ]
        return "  ".join(padded).rstrip()

    page.lines += [line(listing.headings()), "  ".join("-" * width for width in widths)]
    for row in rows:
        page.lines.append(line(row))
        more = [
            f"{column.heading}: {cell}"
            for column, cell in zip(listing.columns, row, strict=True)
            if cell and column not in listing.columns[: listing.table]
        ]
        if more:
            page.say("; ".join(more), first="    ")


def _records(page: Page, listing: Listing, rows: Sequence[Sequence[str]]) -> None:
    label = 1 + min(14, max((columns(heading) for heading in listing.headings()), default=0))
    for row in rows:
        page.say(row[0])
        for heading, cell in zip(listing.headings()[1:], row[1:], strict=True):
            if cell:
                page.say(cell, first=f"  {heading:<{label}}", rest=" " * (label + 2))
        page.gap()
