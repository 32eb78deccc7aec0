"""`circuitcheck routing FILE`: the routing drawing of a harness file."""

from __future__ import annotations

from pathlib import Path

import click

from circuitcheck.cli.draw import drawing_target
from circuitcheck.cli.library_option import library_option, library_with
from circuitcheck.cli.sheets_output import paper_of, paper_option, phone_option, write_sheets
from circuitcheck.cli.units_option import units_option


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option(
    "--output",
    metavar="PATH",
    type=click.Path(path_type=Path),
    help="Where to draw; the ending .svg, .pdf or .png says how. FILE-routing.svg if left out.",
)
@paper_option
@phone_option
@library_option
@units_option
@click.option("--unchecked", is_flag=True, help="Draw without judging; nothing is marked.")
def routing(
    file: Path,
    *,
    output: Path | None,
    paper: str | None,
    phone: bool,
    rows: Path | None,
    system: str,
    unchecked: bool,
) -> None:
    """Draw how the wires of the harness in FILE run: branches, lengths, coverings, clips.

    Connector faces and a table of branches come with it. Without [branch.NAME] tables in FILE the
    routes are assumed from zones, and the drawing says so. Several sheets go into one PDF, or to
    PATH-1, PATH-2 and so on.
    """
    from circuitcheck import check_harness
    from circuitcheck.documents.quantity_text import in_system
    from circuitcheck.drawing.marks import failures
    from circuitcheck.drawing.routing import routing_sheets
    from circuitcheck.read.harness_file import read_harness

    size = paper_of(paper, phone)
    target = drawing_target(file, output or file.with_name(f"{file.stem}-routing.svg"))
    library = library_with(rows)
    harness = read_harness(file, library)
    if harness.user_rows is not None:
        library = library.with_rows(harness.user_rows)

    def in_units(words: str) -> str:
        return in_system(words, system)

    marks = None
    if not unchecked:
        verdict = check_harness(harness, library, changes=False)
        marks = failures(verdict.findings, verdict.number_of, in_units)
    sheets = routing_sheets(harness, library, marks, in_units, paper=size)
    write_sheets(file, target, sheets, phone=phone)
