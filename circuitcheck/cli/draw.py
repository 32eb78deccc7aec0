"""`circuitcheck draw FILE`: the wiring diagram of a harness file."""

from __future__ import annotations

from pathlib import Path

import click

from circuitcheck.cli.library_option import library_option, library_with
from circuitcheck.cli.units_option import units_option
from circuitcheck.errors import InputError, Problem

SUFFIXES = (".svg", ".pdf", ".png")


def drawing_target(file: Path, output: Path | None) -> Path:
    """Return where to draw; refuses another suffix, and the harness file itself."""
    from circuitcheck.read.printable import printable

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
@library_option
@units_option
@click.option("--unchecked", is_flag=True, help="Draw without judging; nothing is marked.")
def draw(
    file: Path, *, output: Path | None, rows: Path | None, system: str, unchecked: bool
) -> None:
    """Draw the wiring diagram of the harness in FILE.

    What fails carries a sign with the number that `circuitcheck check` gives it; the legend below
    the diagram says what each one means.
    """
    from circuitcheck import check_harness
    from circuitcheck.cli.output import write_whole
    from circuitcheck.documents.quantity_text import in_system
    from circuitcheck.drawing import draw as draw_harness
    from circuitcheck.read.harness_file import read_harness
    from circuitcheck.read.printable import printable

    target = drawing_target(file, output)
    library = library_with(rows)
    harness = read_harness(file, library)
    # No drawing shows a change that would pass, so that none is looked for.
    verdict = None if unchecked else check_harness(harness, library, changes=False)
    findings = verdict.findings if verdict else None
    number_of = verdict.number_of if verdict else None

    def in_units(words: str) -> str:
        return in_system(words, system)

    write_whole(target, lambda beside: draw_harness(harness, beside, findings, number_of, in_units))
    click.echo(f"{printable(str(target), most=200)} is drawn.")
