"""`circuitcheck library WORDS...`: search the library's rows."""

from __future__ import annotations

from pathlib import Path

import click

from circuitcheck.cli.library_option import library_option, library_with
from circuitcheck.cli.output import terminal_width
from circuitcheck.cli.units_option import units_option


@click.command()
@click.argument("words", nargs=-1, required=True)
@library_option
@units_option
@click.option("--most", default=20, show_default=True, help="Rows shown at most.", metavar="N")
def library(words: tuple[str, ...], most: int, rows: Path | None, system: str) -> None:
    """Show the rows of the library in which every one of WORDS occurs.

    For example: circuitcheck library 16 AWG; circuitcheck library blade 5 A.
    """
    from circuitcheck.documents.library_text import library_text

    text = library_text(
        library_with(rows), " ".join(words), most=most, width=terminal_width(), system=system
    )
    click.echo(text, nl=False)
