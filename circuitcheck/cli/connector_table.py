"""`circuitcheck connector-table FILE`: every cavity of every connector."""

from __future__ import annotations

from pathlib import Path

import click

from circuitcheck.cli.listing_output import Wanted, list_options, put_list


@click.command("connector-table")
@list_options
def connector_table(file: Path, rows: Path | None, wanted: Wanted) -> None:
    """Print the connector table of the harness in FILE: cavity, wire, colour, contact, seal.

    Empty cavities of a sealed connector are named with the sealing plug that closes them.
    """
    from circuitcheck.documents.papers.connector_table import connector_table as made

    put_list(file, rows, wanted, made, "Connector table")
