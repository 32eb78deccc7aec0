"""`circuitcheck wire-list FILE`: every wire with its ends, as text or CSV."""

from __future__ import annotations

from pathlib import Path

import click

from circuitcheck.cli.library_option import library_option, library_with
from circuitcheck.cli.output import terminal_width
from circuitcheck.cli.units_option import units_option


@click.command("wire-list")
@click.argument("file", type=click.Path(path_type=Path))
@library_option
@units_option
@click.option("--csv", "as_csv", is_flag=True, help="Print as CSV, for a spreadsheet.")
def wire_list(file: Path, *, as_csv: bool, rows: Path | None, system: str) -> None:
    """Print the wire list of the harness in FILE: from, to, gauge, colour, length and ends."""
    from circuitcheck.documents.wire_list import wire_list_csv, wire_list_text
    from circuitcheck.read.harness_file import read_harness

    harness = read_harness(file, library_with(rows))
    if as_csv:
        click.echo(wire_list_csv(harness).encode(), nl=False)
    else:
        click.echo(wire_list_text(harness, width=terminal_width(), system=system), nl=False)
