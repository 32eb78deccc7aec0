"""`circuitcheck papers FILE`: all papers of a harness into one folder."""

from __future__ import annotations

from functools import partial
from pathlib import Path

import click

from circuitcheck.cli.library_option import library_option, library_with
from circuitcheck.cli.sheets_output import SIZES
from circuitcheck.cli.units_option import units_option
from circuitcheck.errors import InputError, Problem


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option(
    "--output",
    metavar="FOLDER",
    type=click.Path(path_type=Path),
    help="Folder for the papers, made if it is not there; FILE-papers if left out.",
)
@click.option("--paper", type=click.Choice(SIZES), help="Size of each sheet; A4 if left out.")
@library_option
@units_option
def papers(
    file: Path, *, output: Path | None, paper: str | None, rows: Path | None, system: str
) -> None:
    """Write wire list, connector table, bill of materials, wire labels and coil card of FILE.

    Each goes into the folder as a PDF to print and as CSV for a spreadsheet. What stands there of
    the same name is replaced.
    """
    from circuitcheck.cli.listing_output import list_sheets
    from circuitcheck.cli.output import write_whole
    from circuitcheck.cli.sheets_output import paper_of
    from circuitcheck.cli.wire_labels import label_sheets
    from circuitcheck.documents.papers.listing import listing_csv
    from circuitcheck.documents.papers.papers import all_papers
    from circuitcheck.drawing.render import render
    from circuitcheck.read.forms.printable import printable
    from circuitcheck.read.harness_file import read_harness

    library = library_with(rows)
    harness = read_harness(file, library)
    if harness.user_rows is not None:
        library = library.with_rows(harness.user_rows)
    folder = _folder(output or file.with_name(f"{file.stem}-papers"))
    for name, title, listing in all_papers(harness, library):
        make = label_sheets if name == "wire-labels" else list_sheets
        sheets = make(harness, listing, title, paper_of(paper, False), system)
        as_csv = listing_csv(listing).encode()
        write_whole(folder / f"{name}.pdf", partial(render, sheets))
        write_whole(folder / f"{name}.csv", partial(_put, as_csv))
        count = "1 sheet" if len(sheets) == 1 else f"{len(sheets)} sheets"
        shown = printable(str(folder / name), most=200)
        click.echo(f"{shown}.pdf ({count}) and {name}.csv are written.")


def _put(text: bytes, path: Path) -> None:
    path.write_bytes(text)


def _folder(folder: Path) -> Path:
    """Return the folder, made if it is not there; a file of that name is refused."""
    from circuitcheck.read.forms.printable import printable

    if folder.exists() and not folder.is_dir():
        shown = printable(str(folder), most=200)
        raise InputError([Problem(shown, "", "this is a file", "Name a folder with --output.")])
    folder.mkdir(parents=True, exist_ok=True)
    return folder
