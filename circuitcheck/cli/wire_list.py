"""`circuitcheck wire-list FILE`: every wire with its length to cut and both ends."""

from __future__ import annotations

from pathlib import Path

import click

from circuitcheck.cli.listing_output import Wanted, list_options, put_list


@click.command("wire-list")
@list_options
def wire_list(file: Path, rows: Path | None, wanted: Wanted) -> None:
    """Print the wire list of the harness in FILE: ends, gauge, colour, length, cut, strip, seals.

    The cut length has the slack that the file gives, or the usual one, and follows the wire's way
    through the branches where the file has them.
    """
    from circuitcheck.documents.papers.wire_list import wire_list as made

    put_list(file, rows, wanted, made, "Wire list")
