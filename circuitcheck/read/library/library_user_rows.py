"""A user's own file of rows: TOML tables named like the library's, with the same checks."""

from __future__ import annotations

import csv
import difflib
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import cast

from circuitcheck.errors import InputError, LibraryError, Problem
from circuitcheck.model import library as m
from circuitcheck.model.library_diagnosis_rows import ANY_PART
from circuitcheck.model.library_merge import row_key
from circuitcheck.read.forms.printable import printable, shown
from circuitcheck.read.library import library_parts as parts
from circuitcheck.read.library.library_cells import Cells
from circuitcheck.read.library.library_tables import (
    joined,
    library_path,
    row_makers,
    unmet_references,
)
from circuitcheck.read.library.library_user_cells import MISSING, UserCells, user_cells
from circuitcheck.read.parts.part_rules import PART_FIELDS
from circuitcheck.read.toml_source import TomlSource, load_toml

NOT_FOR_USERS = {
    "limits": "a limit is a check's, not a part's",
    "supply": "give the supply in [conditions] of the harness file",
    "engine_space_factor": "the factors on an ampacity are not a user's to change",
    "bundle_factor": "the factors on an ampacity are not a user's to change",
}
OF_US = ("source", "how")
MOST_ROWS = 2_000
MOST_PROBLEMS = 200
JOINED = ("contact_ratings", "socket_cavities")
"""Tables read first: rows of other tables are made with them."""


@dataclass
class _UserFile:
    """One file under way."""

    source: TomlSource
    key: str
    problems: list[Problem] = field(default_factory=list)
    line_of: dict[tuple[str, str], int | None] = field(default_factory=dict)

    def problem(self, path: tuple[str | int, ...], place: str, wrong: str, right: str) -> None:
        if len(self.problems) < MOST_PROBLEMS:
            line = self.source.line(path)
            self.problems.append(Problem(self.source.file, place, wrong, right, line))


def read_user_rows(path: str | Path, library: m.Library, *, text: str | None = None) -> m.UserRows:
    """Return the rows of a user's own file, each given by the user, with the file as source.

    The file is TOML; `[[fuses]]` adds a row to fuses.csv, keys are its columns. `library` is what
    the rows join. Raises InputError with every problem of the file.
    """
    source = load_toml(path, text)
    own = _UserFile(source, source.file)
    tables = _tables(own)
    rows: dict[str, list[m.Row]] = {}
    first: dict[str, Callable[[Cells], m.Row]] = _makers(library, {})
    for table in JOINED:
        rows[table] = list(_rows(own, table, tables.get(table, []), first[table]))
    makers = _makers(library, rows)
    for table, entries in tables.items():
        if table not in JOINED:
            rows[table] = list(_rows(own, table, entries, makers[table]))
    _refuse_stray_cavities(own, rows)
    _refuse_unknown_priors(own, rows.get("fault_priors", ()), library)
    result = m.UserRows(_source(own), dict(_joined(own, rows)))
    if not own.problems:
        _refuse_unmet(own, library.with_rows(result))
    if own.problems:
        raise InputError(sorted(own.problems, key=lambda problem: problem.line or 0))
    return result


def _refuse_stray_cavities(own: _UserFile, rows: Mapping[str, Sequence[m.Row]]) -> None:
    """Refuse contacts of a socket that the file does not give: they would join nothing."""
    sockets = {row.name for row in rows.get("sockets", ())}
    for row in cast(Sequence[m.SocketCavityRow], rows["socket_cavities"]):
        if row.socket not in sockets:
            line = own.line_of.get(("socket_cavities", row.name))
            wrong = f"no [[sockets]] of this file is called {row.socket!r}"
            place, right = f"socket_cavities, {row.name}", "Add the socket itself."
            own.problems.append(Problem(own.source.file, place, wrong, right, line))


def _refuse_unknown_priors(own: _UserFile, rows: Sequence[m.Row], library: m.Library) -> None:
    """Refuse rows of how likely faults are that name no kind of part, or no way it can fail."""
    modes = {name.partition(": ")[2]: None for name in library.fault_priors}
    kinds = (*PART_FIELDS, "wire", ANY_PART)
    for row in rows:
        kind, _, mode = row.name.partition(": ")
        line = own.line_of.get(("fault_priors", row.name))
        for word, known, wrong in (
            (kind, kinds, "no kind of part is called"),
            (mode, tuple(modes), "no failure mode is called"),
        ):
            if word not in known:
                near = difflib.get_close_matches(word.casefold(), known, n=1, cutoff=0.6)
                hint = f'Did you mean "{near[0]}"?' if near else f"There are: {', '.join(known)}."
                said = f"name: {wrong} {shown(word)}"
                place = f"fault_priors, {printable(row.name)}"
                own.problems.append(Problem(own.source.file, place, said, hint, line))


def _source(own: _UserFile) -> m.Source:
    return m.Source(
        own.key, "rows given by the user", "the user", "as read", own.source.file, m.GIVEN
    )


def _tables(own: _UserFile) -> dict[str, list[Mapping[str, object]]]:
    """Return the tables that may be read, each a list of TOML tables."""
    known = dict.fromkeys((*row_makers((), ()), *JOINED))
    allowed = [table for table in known if table not in NOT_FOR_USERS]
    tables = {}
    for name, entries in own.source.tables.items():
        place = printable(name, most=30)
        if name in NOT_FOR_USERS:
            own.problem((name,), place, "no table for rows of your own", f"{NOT_FOR_USERS[name]}.")
        elif name not in allowed:
            near = difflib.get_close_matches(name, allowed, n=1, cutoff=0.6)
            hint = f"Did you mean [[{near[0]}]]?" if near else f"Tables: {', '.join(allowed)}."
            own.problem((name,), place, "no such table", hint)
        elif not isinstance(entries, list) or not all(isinstance(e, dict) for e in entries):
            own.problem(
                (name,), place, f"got {shown(entries)}", f"Write each row under [[{name}]]."
            )
        elif len(entries) > MOST_ROWS:
            own.problem((name,), place, f"{len(entries)} rows", f"At most {MOST_ROWS} are read.")
        else:
            tables[name] = entries
    return tables


def _makers(
    library: m.Library, rows: Mapping[str, Sequence[m.Row]]
) -> dict[str, Callable[[Cells], m.Row]]:
    """Return the makers; ratings and cavities of the user stand beside those of the library."""
    own_ratings = cast(Sequence[m.ContactRatingRow], rows.get("contact_ratings", ()))
    own_cavities = cast(Sequence[m.SocketCavityRow], rows.get("socket_cavities", ()))
    groups = {row.group for row in own_ratings}
    sockets = {row.socket for row in own_cavities}
    ratings = [row for row in library.contact_ratings if row.group not in groups]
    cavities = [
        row for s in library.sockets.values() for row in s.cavities if row.socket not in sockets
    ]
    makers = row_makers((*ratings, *own_ratings), (*cavities, *own_cavities))
    return {**makers, "socket_cavities": parts.socket_cavity}


def _rows(
    own: _UserFile,
    table: str,
    entries: Sequence[Mapping[str, object]],
    make: Callable[[Cells], m.Row],
) -> Iterator[m.Row]:
    columns = _columns(table)
    seen: dict[object, int] = {}
    for index, given in enumerate(entries):
        cells = user_cells(table, given, columns, own.key)
        row = _row(cells, make)
        _refuse_strange(cells, columns)
        name = given.get("name")
        place = f"{table}, {printable(name) if isinstance(name, str) else f'row {index + 1}'}"
        right = f"The columns are those of library/{table}.csv."
        missing = [column for column, wrong in cells.faults if wrong == MISSING]
        if missing:
            own.problem((table, index), place, f"{', '.join(missing)} missing", right)
        for column, wrong in cells.faults:
            if wrong != MISSING:
                own.problem((table, index, column), place, f"{printable(column)}: {wrong}", right)
        if row is None or cells.faults:
            continue
        point = row.percents if isinstance(row, m.FuseOpeningBand) else None
        if (row_key(row), point) in seen:
            own.problem((table, index), place, "a row is given twice", "Keep one of the two.")
        seen[row_key(row), point] = index
        own.line_of.setdefault((table, row.name), own.source.line((table, index)))
        yield row


def _row(cells: UserCells, make: Callable[[Cells], m.Row]) -> m.Row | None:
    """Return the row, or None where its values cannot stand together in one."""
    try:
        return make(cells)
    except ValueError as error:  # a Band out of order, or a division by nothing
        cells.disagree("name", f"has values that do not go together: {error}")
        return None


def _refuse_strange(cells: UserCells, columns: Sequence[str]) -> None:
    for key in cells.given:
        if key in OF_US:
            cells.faults.append((key, "not for you to give: the file itself is the source"))
        elif key not in columns:
            near = difflib.get_close_matches(key, columns, n=1, cutoff=0.6)
            hint = f", did you mean {near[0]}?" if near else ""
            cells.faults.append((key, f"no such column{hint}"))


def _columns(table: str) -> list[str]:
    """Return the columns of a table of the library that a row of one's own has too."""
    with (library_path() / f"{table}.csv").open(encoding="utf-8", newline="") as file:
        return [column for column in next(csv.reader(file)) if column not in OF_US]


def _joined(
    own: _UserFile, rows: Mapping[str, Sequence[m.Row]]
) -> Iterator[tuple[str, tuple[m.Row, ...]]]:
    """Yield the tables as the library keeps them; cavities are within their sockets."""
    for table, entries in rows.items():
        if table == "socket_cavities" or not entries:
            continue
        try:
            yield table, joined(table, entries)
        except LibraryError as error:
            said = str(error).removeprefix("library/fuse_opening_times.csv, ").rstrip(".")
            own.problem((table,), table, said, "Give every point of the style.")


def _refuse_unmet(own: _UserFile, library: m.Library) -> None:
    for gap in unmet_references(library):
        line = own.line_of.get((gap.table, gap.name))
        right = "Add that row too, or name one of the library's."
        place, wrong = f"{gap.table}, {gap.name}", f"{gap.column}: {gap.wrong}"
        own.problems.append(Problem(own.source.file, place, wrong, right, line))
