"""`circuitcheck library WORDS...`: search the library's rows."""

from __future__ import annotations

import click

from circuitcheck.cli.output import terminal_width


@click.command()
@click.argument("words", nargs=-1, required=True)
@click.option("--most", default=20, show_default=True, help="Rows shown at most.", metavar="N")
def library(words: tuple[str, ...], most: int) -> None:
    """Show the rows of the library in which every one of WORDS occurs.

    For example: circuitcheck library 16 AWG; circuitcheck library blade 5 A.
    """
    from circuitcheck.documents.library_text import library_text
    from circuitcheck.read.library_tables import read_library

    click.echo(
        library_text(read_library(), " ".join(words), most=most, width=terminal_width()), nl=False
    )
