"""The option `--library FILE`: rows of the user's own, joined to the library."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from circuitcheck.model.library import Library

library_option = click.option(
    "--library",
    "rows",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="A TOML file of library rows of your own.",
)


def library_with(rows: Path | None) -> Library:
    """Return the library, with the rows of a file if one is given."""
    from circuitcheck.read.library.library_tables import read_library

    library = read_library()
    if rows is None:
        return library
    from circuitcheck.read.library.library_user_rows import read_user_rows

    return library.with_rows(read_user_rows(rows, library))
