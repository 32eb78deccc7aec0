"""`circuitcheck draw FILE`: the wiring diagram of a harness file."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from circuitcheck.cli.library_option import library_option, library_with
from circuitcheck.errors import InputError, Problem

if TYPE_CHECKING:
    from circuitcheck.checks.finding import Finding
    from circuitcheck.model.harness import Harness
    from circuitcheck.model.library import Library

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


def _judged(harness: Harness, library: Library) -> Sequence[Finding]:
    """Return all findings; no change that would pass is looked for, as no drawing shows one."""
    from circuitcheck.checks.run import open_case, run_checks
    from circuitcheck.documents.cautions import stops

    return stops(harness) or run_checks(open_case(harness, library))


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option(
    "--output",
    metavar="PATH",
    type=click.Path(path_type=Path),
    help="Where to draw; the ending .svg, .pdf or .png says how. FILE with .svg if left out.",
)
@library_option
@click.option("--unchecked", is_flag=True, help="Draw without judging; nothing is marked.")
def draw(file: Path, *, output: Path | None, rows: Path | None, unchecked: bool) -> None:
    """Draw the wiring diagram of the harness in FILE.

    What fails carries a numbered sign; the legend below the diagram says what each one means.
    """
    from circuitcheck.cli.output import write_whole
    from circuitcheck.drawing import draw as draw_harness
    from circuitcheck.read.harness_file import read_harness
    from circuitcheck.read.printable import printable

    target = drawing_target(file, output)
    library = library_with(rows)
    harness = read_harness(file, library)
    findings = None if unchecked else _judged(harness, library)
    write_whole(target, lambda beside: draw_harness(harness, beside, findings))
    click.echo(f"{printable(str(target), most=200)} is drawn.")
