"""`circuitcheck test-sheet FILE`: what to read where, with what it must be, after building."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from circuitcheck.cli.exit_codes import SOMETHING_FAILS
from circuitcheck.cli.library_option import library_option, library_with
from circuitcheck.cli.output import terminal_width
from circuitcheck.cli.units_option import units_option

if TYPE_CHECKING:
    from circuitcheck.model.harness import Harness
    from circuitcheck.readings.sheet_records import ReadingSheet


@click.command("test-sheet")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--csv", "as_csv", is_flag=True, help="Print as CSV, for a spreadsheet.")
@click.option("--json", "as_json", is_flag=True, help="Print as JSON.")
@click.option(
    "--print",
    "paper",
    type=click.Path(path_type=Path),
    metavar="PATH",
    help="Write A4 pages to fill in: .pdf; .svg and .png one file a page.",
)
@click.option("--all", "every", is_flag=True, help="Every point in every position, every joint.")
@click.option(
    "--air",
    default="20 degC",
    show_default=True,
    help="Air in which coils are measured unplugged.",
)
@library_option
@units_option
@click.pass_context
def test_sheet(
    ctx: click.Context,
    /,
    *,
    file: Path,
    as_csv: bool,
    as_json: bool,
    paper: Path | None,
    every: bool,
    air: str,
    rows: Path | None,
    system: str,
) -> None:
    """Print the test sheet of the harness in FILE: what to read, and what it must be.

    Supply off first, then key on, each coil, drops along the wires under load, engine running,
    cranking. Each band holds every machine within the file's limits and the meter's own error.
    """
    from circuitcheck.read.harness_file import read_harness
    from circuitcheck.readings.sheet_plan import expected_readings

    library = library_with(rows)
    harness = read_harness(file, library)
    _stop_where_movement_can_hurt(ctx, harness)
    sheet = expected_readings(harness, library, air_c=_air_c(air), every=every)
    if paper is not None:
        _print(sheet, file, paper, system)
        return
    if as_csv:
        from circuitcheck.documents.test_sheet.sheet_files import sheet_csv

        click.echo(sheet_csv(sheet).encode(), nl=False)
    elif as_json:
        from circuitcheck.documents.test_sheet.sheet_files import sheet_json

        click.echo(sheet_json(sheet))
    else:
        from circuitcheck.documents.test_sheet.sheet_text import sheet_text

        click.echo(sheet_text(sheet, width=terminal_width(), system=system), nl=False)


def _air_c(air: str) -> float:
    from circuitcheck.units import TEMPERATURE, QuantityError, quantity

    try:
        value = quantity(air, TEMPERATURE)
    except QuantityError as error:
        raise click.UsageError(f"--air: {error}") from None
    if not -40.0 <= value <= 60.0:
        raise click.UsageError(f"--air: {air} is no air to measure in; give -40 degC to 60 degC")
    return value


def _stop_where_movement_can_hurt(ctx: click.Context, harness: Harness) -> None:
    """Give no sheet for a coil that needs a functional-safety assessment first."""
    from circuitcheck.documents.cautions import stops
    from circuitcheck.documents.plain_text import wrapped

    for finding in stops(harness):
        said = f"{finding.subject} {finding.quantity}. {finding.reason}"
        click.echo("\n".join(wrapped(said, terminal_width())), err=True)
    if stops(harness):
        ctx.exit(SOMETHING_FAILS)


def _print(sheet: ReadingSheet, file: Path, paper: Path, system: str) -> None:
    from circuitcheck.cli.draw import drawing_target
    from circuitcheck.cli.output import write_whole
    from circuitcheck.documents.plain_text import harmless
    from circuitcheck.documents.test_sheet.sheet_tables import sheet_tables
    from circuitcheck.drawing.reading_sheet import PaperPart, reading_sheet_pages
    from circuitcheck.drawing.render import render
    from circuitcheck.drawing.sheet import files_for

    target = drawing_target(file, paper)
    parts = [PaperPart(*table) for table in sheet_tables(sheet, system=system)]
    pages = reading_sheet_pages(sheet.harness, parts)
    for path, sheets in files_for(target, pages):
        write_whole(path, partial(render, sheets))
        click.echo(harmless(f"{path} is written."))
