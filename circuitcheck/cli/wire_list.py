"""`circuitcheck wire-list FILE`: every wire with its ends, as text or CSV."""

from __future__ import annotations

from pathlib import Path

import click

from circuitcheck.cli.output import terminal_width


@click.command("wire-list")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--csv", "as_csv", is_flag=True, help="Print as CSV, for a spreadsheet.")
def wire_list(file: Path, *, as_csv: bool) -> None:
    """Print the wire list of the harness in FILE: from, to, gauge, colour, length and ends."""
    from circuitcheck.documents.wire_list import wire_list_csv, wire_list_text
    from circuitcheck.read.harness_file import read_harness
    from circuitcheck.read.library_tables import read_library

    harness = read_harness(file, read_library())
    if as_csv:
        click.get_binary_stream("stdout").write(wire_list_csv(harness).encode())
    else:
        click.echo(wire_list_text(harness, width=terminal_width()), nl=False)
