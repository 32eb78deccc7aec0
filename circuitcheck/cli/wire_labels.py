"""`circuitcheck wire-labels FILE`: labels to print and wrap round the wires."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from circuitcheck.cli.listing_output import Wanted, list_options, put_list

if TYPE_CHECKING:
    from circuitcheck.documents.papers.listing import Listing
    from circuitcheck.drawing.paper import Paper
    from circuitcheck.drawing.sheet import Sheet
    from circuitcheck.model.harness import Harness


@click.command("wire-labels")
@list_options
def wire_labels(file: Path, rows: Path | None, wanted: Wanted) -> None:
    """Print labels for both ends of every wire in FILE; --print PATH writes them to cut out.

    Each label is so long that it goes twice round its wire, and its words come again all along.
    """
    from circuitcheck.documents.papers.wire_labels import wire_labels as made

    put_list(file, rows, wanted, made, "Wire labels", label_sheets)


def label_sheets(
    harness: Harness, listing: Listing, drawing: str, paper: Paper | None, system: str
) -> Sequence[Sheet]:
    """Return the labels as sheets, ready to be cut."""
    from circuitcheck.drawing.label_sheets import Label, label_pages
    from circuitcheck.drawing.legend import Legend
    from circuitcheck.drawing.paper import A4
    from circuitcheck.drawing.title_block import title_block_of

    labels = []
    for row in listing.rows:
        first, second, around_m = row[2], row[3], row[5]
        if isinstance(around_m, float):
            labels.append(Label((str(first), str(second)), around_m * 1000.0))
    block = title_block_of(harness, drawing)
    pages = label_pages(labels, block, paper or A4, Legend(listing.notes))
    return [page.sheet(listing.heading) for page in pages]
