"""`circuitcheck bill-of-materials FILE`: what has to be bought."""

from __future__ import annotations

from pathlib import Path

import click

from circuitcheck.cli.listing_output import Wanted, list_options, put_list


@click.command("bill-of-materials")
@list_options
def bill_of_materials(file: Path, rows: Path | None, wanted: Wanted) -> None:
    """Print the bill of materials of the harness in FILE: wire, contacts, seals, fuses, coverings.

    Wire is added up as it is cut, with 10 % for waste. The machine's own battery, tap and frames
    are not in it.
    """
    from circuitcheck.documents.papers.bill_of_materials import bill_of_materials as made

    put_list(file, rows, wanted, made, "Bill of materials")
