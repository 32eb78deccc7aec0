"""`circuitcheck draw FILE`: the wiring diagram of a harness file."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from circuitcheck.cli.library_option import library_option, library_with
from circuitcheck.cli.units_option import units_option
from circuitcheck.errors import InputError, Problem

if TYPE_CHECKING:
    from circuitcheck.drawing.position_values import PositionValues
    from circuitcheck.drawing.sheet import Sheet

SUFFIXES = (".svg", ".pdf", ".png")
ONE_SHEET = "one-sheet"
PAPERS = ("A4", "Letter", "A3", ONE_SHEET)
PNG_DPI, PHONE_DPI = 200, 152
"""A strip of 160 mm comes out 957 pixels wide: twice what a telephone counts as its width."""


def drawing_target(file: Path, output: Path | None) -> Path:
    """Return where to draw; refuses another suffix, and the harness file itself."""
    from circuitcheck.read.forms.printable import printable

    target = output or file.with_suffix(".svg")
    shown = printable(str(target), most=200)
    if target.suffix.lower() not in SUFFIXES:
        wrong = "the drawing's name has no known ending"
        raise InputError([Problem(shown, "", wrong, f"End it in {', '.join(SUFFIXES)}.")])
    if target.exists() and file.exists() and target.samefile(file):
        wrong = "the drawing would take the place of the harness file"
        raise InputError([Problem(shown, "", wrong, "Give another name with --output.")])
    if not target.parent.is_dir():
        raise InputError([Problem(shown, "", "there is no such folder", "Create it first.")])
    return target


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option(
    "--output",
    metavar="PATH",
    type=click.Path(path_type=Path),
    help="Where to draw; the ending .svg, .pdf or .png says how. FILE with .svg if left out.",
)
@click.option(
    "--paper",
    type=click.Choice(PAPERS),
    help="Size of each sheet; one-sheet is as large as it takes. If left out, one A4 or A3 where "
    "the diagram has room, else several A3.",
)
@click.option("--phone", is_flag=True, help="One narrow strip for a telephone, to be scrolled.")
@click.option("--sheet", "number", type=click.IntRange(min=1), help="Draw this sheet alone.")
@click.option(
    "--position",
    "positions",
    multiple=True,
    metavar="NAME",
    help='Volts and amperes in this switch position, e.g. "key on, left"; may be repeated.',
)
@click.option("--all-positions", is_flag=True, help="Volts and amperes, each position by itself.")
@click.option("--worst", is_flag=True, help="With positions: lowest to highest, not nominal.")
@library_option
@units_option
@click.option("--unchecked", is_flag=True, help="Draw without judging; nothing is marked.")
def draw(
    file: Path,
    *,
    output: Path | None,
    paper: str | None,
    phone: bool,
    number: int | None,
    positions: tuple[str, ...],
    all_positions: bool,
    worst: bool,
    rows: Path | None,
    system: str,
    unchecked: bool,
) -> None:
    """Draw the wiring diagram of the harness in FILE.

    What fails carries a sign with the number that `circuitcheck check` gives it; the legend below
    the diagram says what each one means. A long harness goes over several sheets: a PDF takes
    them all, SVG and PNG go to PATH-1, PATH-2 and so on.
    """
    from circuitcheck.cli.output import write_whole
    from circuitcheck.documents.quantity_text import in_system
    from circuitcheck.drawing import Wanted, wiring_diagram
    from circuitcheck.drawing.paper import PAPERS as SIZES
    from circuitcheck.drawing.render import render
    from circuitcheck.drawing.sheet import files_for
    from circuitcheck.read.harness_file import read_harness

    if phone and paper is not None:
        raise click.UsageError("--phone takes no --paper: the strip is as long as it needs")
    if worst and not (positions or all_positions):
        raise click.UsageError("--worst belongs to --position or --all-positions")
    target = drawing_target(file, output)
    library = library_with(rows)
    harness = read_harness(file, library)
    values: Sequence[PositionValues] = ()
    findings, number_of = None, None
    if positions or all_positions:
        from circuitcheck.cli.draw_positions import values_asked_for

        values = values_asked_for(harness, library, positions, worst=worst)
    elif not unchecked:
        from circuitcheck import check_harness

        # No drawing shows a change that would pass, so that none is looked for.
        verdict = check_harness(harness, library, changes=False)
        findings, number_of = verdict.findings, verdict.number_of
    wanted = Wanted(SIZES.get(paper or ""), paper == ONE_SHEET, phone, values)

    def in_units(words: str) -> str:
        return in_system(words, system)

    sheets = wiring_diagram(harness, findings, number_of, in_units, wanted)
    dpi = PHONE_DPI if phone else PNG_DPI
    files = files_for(target, _chosen(sheets, number))
    for path, drawn in files:
        checked = drawing_target(file, path)
        write_whole(checked, partial(render, drawn, dpi=dpi))
    _say([path for path, _ in files], len(sheets) if number is None else 1)


def _chosen(sheets: Sequence[Sheet], number: int | None) -> Sequence[Sheet]:
    if number is None:
        return sheets
    if number > len(sheets):
        raise click.UsageError(f"--sheet {number}: there are {len(sheets)}")
    return sheets[number - 1 : number]


def _say(paths: Sequence[Path], sheets: int) -> None:
    from circuitcheck.read.forms.printable import printable

    names = [printable(str(path), most=200) for path in paths]
    if len(names) > 1:
        click.echo(f"{names[0]} to {names[-1]} are drawn, {len(names)} sheets.")
    else:
        click.echo(f"{names[0]} is drawn" + (f", {sheets} sheets." if sheets > 1 else "."))
