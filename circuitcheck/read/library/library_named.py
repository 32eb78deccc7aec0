"""The rows that a harness file names, joined to the library while the file is read."""

from __future__ import annotations

from pathlib import Path

from circuitcheck.errors import InputError
from circuitcheck.model.assumption import OF_LIBRARY, Assumption
from circuitcheck.model.library import UserRows
from circuitcheck.read.forms.fields import Given
from circuitcheck.read.library.library_user_rows import read_user_rows
from circuitcheck.read.reading import Reading

KEY = "library"


def add_named_rows(top: Given, folder: Path) -> UserRows | None:
    """Read the file named at the top, add its rows to the library of the reading.

    Its problems stand among those of the harness file. Every row that stands in for one of the
    library, also one given on the command line, is recorded as an assumption.
    """
    reading = top.place.reading
    name = top.optional(KEY, str)
    rows = None if name is None else _rows(top, folder, name)
    if rows is not None:
        reading.library = reading.library.with_rows(rows)
    _tell_replaced(reading)
    return rows


def _rows(top: Given, folder: Path, name: str) -> UserRows | None:
    path = folder / name
    if not path.resolve().is_relative_to(folder.resolve()):
        top.at(KEY).problem(
            f'"{name}" leads out of the folder of this file', "Put the rows beside this file."
        )
        return None
    try:
        return read_user_rows(path, top.place.reading.library)
    except InputError as error:
        if not path.is_file():
            top.at(KEY).problem(f'there is no file "{name}" beside this one', "Check the name.")
        else:
            top.place.reading.problems += error.problems
        return None


def _tell_replaced(reading: Reading) -> None:
    for table, name, file in reading.library.replaced:
        said = f"the row of {file} instead of the library's own"
        reading.assumptions.setdefault(Assumption(OF_LIBRARY, f"{table}, {name}", said, ""))
