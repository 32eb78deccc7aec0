"""A test sheet as rows for paper: plain text under number, what is read, what it must be, note."""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.documents.quantity_text import METRIC
from circuitcheck.documents.test_sheet.sheet_words import SheetPart, sheet_parts
from circuitcheck.readings.sheet_records import ReadingSheet

PaperRow = tuple[str, str, str, str]
PaperTable = tuple[str, tuple[str, ...], tuple[str, ...], tuple[PaperRow, ...]]
"""Title, cautions, what is done, rows."""


def sheet_tables(sheet: ReadingSheet, *, system: str = METRIC) -> tuple[PaperTable, ...]:
    """Return the parts of a sheet in order; drops in several positions stand one below the other.

    Of those only the first row says where to look.
    """
    return tuple(
        (part.title, part.cautions, part.do, tuple(_rows(part)))
        for part in sheet_parts(sheet, system=system)
    )


def _rows(part: SheetPart) -> Iterator[PaperRow]:
    for row in part.rows:
        if len(part.columns) == 1:
            yield str(row.numbers[0]), row.what, row.expected[0], row.note
            continue
        given = [(n, b) for n, b in zip(part.columns, row.expected, strict=True) if b]
        for n, (number, (name, band)) in enumerate(zip(row.numbers, given, strict=True)):
            yield str(number), f"{row.what}: {name}", band, "" if n else row.note
