"""Look-up of one row by its name."""

from __future__ import annotations

import difflib
import re
from collections.abc import Mapping
from typing import TypeVar

from circuitcheck.errors import LibraryError
from circuitcheck.model.library_rows import Row

R = TypeVar("R", bound=Row)


def look_up(rows: Mapping[str, R], name: str, table: str) -> R:
    """Return the row of a name; LibraryError names the nearest rows where there is none."""
    key = name.strip().replace("mm²", "mm2")
    if key in rows:
        return rows[key]
    near = difflib.get_close_matches(key, rows, n=3, cutoff=0.5)
    hint = f" Did you mean {' or '.join(repr(n) for n in near)}?" if near else ""
    raise LibraryError(f"library/{table}.csv has no row {name!r}.{hint}")


def plain_size(name: str) -> str:
    """Write a metric size the way the table does: no trailing zeros."""
    area = re.match(r"\s*(\d+\.\d*?)0*(?=\s*mm)", name)
    return name if area is None else area.group(1).rstrip(".") + name[area.end() :]
