"""Sheets to files: options of paper, names of the files, what is said of them."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from circuitcheck.cli.draw import PHONE_DPI, PNG_DPI, drawing_target

if TYPE_CHECKING:
    from circuitcheck.drawing.paper import Paper
    from circuitcheck.drawing.sheet import Sheet

SIZES = ("A4", "Letter", "A3")
LONGEST_STRIP_MM = 4000.0

paper_option = click.option("--paper", type=click.Choice(SIZES), help="Size of each sheet.")
phone_option = click.option(
    "--phone", is_flag=True, help="One narrow strip for a telephone, to be scrolled."
)


def paper_of(name: str | None, phone: bool) -> Paper | None:
    """Return the paper asked for, None where it is left open."""
    from circuitcheck.drawing.paper import PAPERS, phone_paper

    if phone and name is not None:
        raise click.UsageError("--phone takes no --paper: the strip is as long as it needs")
    if phone:
        return phone_paper(LONGEST_STRIP_MM)
    return PAPERS[name] if name else None


def write_sheets(file: Path, target: Path, sheets: Sequence[Sheet], *, phone: bool = False) -> None:
    """Write the sheets to `target`, or beside it with a number each, and say so."""
    from circuitcheck.cli.output import write_whole
    from circuitcheck.drawing.render import render
    from circuitcheck.drawing.sheet import files_for
    from circuitcheck.read.forms.printable import printable

    files = files_for(target, sheets)
    for path, drawn in files:
        checked = drawing_target(file, path)
        write_whole(checked, partial(render, drawn, dpi=PHONE_DPI if phone else PNG_DPI))
    names = [printable(str(path), most=200) for path, _ in files]
    if len(names) > 1:
        click.echo(f"{names[0]} to {names[-1]} are drawn, {len(names)} sheets.")
    else:
        click.echo(f"{names[0]} is drawn" + (f", {len(sheets)} sheets." if sheets[1:] else "."))
