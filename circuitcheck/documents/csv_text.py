"""Cells and rows of CSV (RFC 4180) that no spreadsheet takes for a formula."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence

_BEGINS = ("=", "+", "-", "@", "\t", "\r", "\n", "\uff1d", "\uff0b", "\uff0d")


def safe_cell(cell: str) -> str:
    """Return a cell that is no formula, whichever sign a spreadsheet skips before it looks.

    >>> safe_cell("=1+1"), safe_cell("W1")
    ("'=1+1", 'W1')
    """
    looked_at = cell.lstrip(" \u00a0\ufeff")
    begins = looked_at[:1] in _BEGINS
    return f"'{cell}" if begins or cell[:1] in ("\t", "\r", "\n") else cell


def csv_text(heading: Sequence[str], rows: Iterable[Sequence[str | float | None]]) -> str:
    """Return rows below a heading; numbers are plain, None is an empty cell."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(heading)
    for row in rows:
        writer.writerow(_cell(cell) for cell in row)
    return out.getvalue()


def _cell(cell: str | float | None) -> str:
    if cell is None:
        return ""
    return safe_cell(cell) if isinstance(cell, str) else f"{cell:.6g}"
