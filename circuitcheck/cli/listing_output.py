"""A list of the workshop to the screen, to CSV, to JSON or to sheets: options that all share."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import wraps
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from circuitcheck.cli.draw import drawing_target
from circuitcheck.cli.library_option import library_option, library_with
from circuitcheck.cli.output import terminal_width
from circuitcheck.cli.sheets_output import paper_of, paper_option, phone_option, write_sheets
from circuitcheck.cli.units_option import units_option
from circuitcheck.record import record

if TYPE_CHECKING:
    from circuitcheck.documents.papers.listing import Listing
    from circuitcheck.drawing.paper import Paper
    from circuitcheck.drawing.sheet import Sheet
    from circuitcheck.model.harness import Harness
    from circuitcheck.model.library import Library

Make = Callable[["Harness", "Library"], "Listing"]
SheetsOf = Callable[["Harness", "Listing", str, "Paper | None", str], "Sequence[Sheet]"]


@record
class Wanted:
    """How a list is wanted: on the screen where nothing else is asked for."""

    as_csv: bool
    as_json: bool
    printed: Path | None
    paper: str | None
    phone: bool
    system: str


def list_options(command: Callable[[Path, Path | None, Wanted], None]) -> Callable[..., Any]:
    """Give a command the options of a list: it takes FILE, user rows and what is wanted."""

    @wraps(command)
    def collected(file: Path, rows: Path | None, **given: Any) -> None:
        command(file, rows, Wanted(**given))

    options = [
        click.argument("file", type=click.Path(path_type=Path)),
        library_option,
        units_option,
        click.option("--csv", "as_csv", is_flag=True, help="Print as CSV, for a spreadsheet."),
        click.option("--json", "as_json", is_flag=True, help="Print as JSON, in SI units."),
        click.option(
            "--print",
            "printed",
            type=click.Path(path_type=Path),
            metavar="PATH",
            help="Write sheets for the printer: .pdf; .svg and .png one file a sheet.",
        ),
        paper_option,
        phone_option,
    ]
    taking: Callable[..., Any] = collected
    for option in reversed(options):
        taking = option(taking)
    return taking


def put_list(
    file: Path,
    rows: Path | None,
    wanted: Wanted,
    make: Make,
    drawing: str,
    sheets_of: SheetsOf | None = None,
) -> None:
    """Read FILE and put out the list made of it; `drawing` names it in the title block.

    `sheets_of` sets it on sheets; a table if left out.
    """
    from circuitcheck.documents.papers.listing import listing_csv, listing_json, listing_text
    from circuitcheck.read.harness_file import read_harness

    if sum((wanted.as_csv, wanted.as_json, wanted.printed is not None)) > 1:
        raise click.UsageError("give one of --csv, --json and --print")
    if wanted.printed is None and (wanted.paper or wanted.phone):
        raise click.UsageError("--paper and --phone belong to --print PATH")
    library = library_with(rows)
    harness = read_harness(file, library)
    if harness.user_rows is not None:
        library = library.with_rows(harness.user_rows)
    listing = make(harness, library)
    if wanted.printed is not None:
        target = drawing_target(file, wanted.printed)
        paper = paper_of(wanted.paper, wanted.phone)
        sheets = (sheets_of or list_sheets)(harness, listing, drawing, paper, wanted.system)
        write_sheets(file, target, sheets, phone=wanted.phone)
    elif wanted.as_csv:
        click.echo(listing_csv(listing).encode(), nl=False)
    elif wanted.as_json:
        click.echo(listing_json(listing), nl=False)
    else:
        text = listing_text(listing, width=terminal_width(), system=wanted.system)
        click.echo(text, nl=False)


def list_sheets(
    harness: Harness, listing: Listing, drawing: str, paper: Paper | None, system: str
) -> Sequence[Sheet]:
    """Return a list as sheets, its notes beside the title block or, if many, below its rows."""
    from circuitcheck.documents.quantity_text import in_system
    from circuitcheck.drawing.legend import Legend
    from circuitcheck.drawing.paper import A4
    from circuitcheck.drawing.table_sheets import Table, table_pages
    from circuitcheck.drawing.title_block import title_block_of

    notes = [in_system(note, system) for note in listing.notes]
    # The title block names the circuit.
    heading = listing.heading.removeprefix(f"{harness.circuit}: ")
    tables = [Table(heading[:1].upper() + heading[1:], *listing.on_paper(system))]
    beside = Legend(tuple(notes))
    if len(notes) > _MOST_BESIDE:
        tables.append(Table("Notes", ("",), tuple((note,) for note in notes)))
        beside = Legend(())
    block = title_block_of(harness, drawing)
    pages = table_pages(tables, block, paper or A4, beside)
    return [page.sheet(listing.heading) for page in pages]


_MOST_BESIDE = 3
