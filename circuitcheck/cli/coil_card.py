"""`circuitcheck coil-card FILE`: the card that stays in the machine."""

from __future__ import annotations

from pathlib import Path

import click

from circuitcheck.cli.listing_output import Wanted, list_options, put_list


@click.command("coil-card")
@list_options
def coil_card(file: Path, rows: Path | None, wanted: Wanted) -> None:
    """Print the card that stays in the machine: what each coil moves, wires, fuse, cautions.

    Who revised the harness file and when stands on it, or dots to fill in by hand.
    """
    from circuitcheck.documents.papers.coil_card import coil_card

    put_list(file, rows, wanted, lambda harness, _: coil_card(harness), "Coil card")
