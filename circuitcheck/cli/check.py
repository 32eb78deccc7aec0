"""`circuitcheck check PATH...`: the verdict on a harness file, or a summary of many."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from circuitcheck.cli.exit_codes import OF_VERDICT
from circuitcheck.cli.library_option import library_option, library_with
from circuitcheck.cli.output import colour_wanted, terminal_width, write_whole
from circuitcheck.cli.units_option import units_option

if TYPE_CHECKING:
    from circuitcheck.documents.verdict.verdict import Verdict

EVERY_WORKING = "all"


def _working_choice(
    ctx: click.Context, parameter: click.Parameter, value: str | None
) -> str | None:
    if value is None or value == EVERY_WORKING or (value.isascii() and value.isdigit()):
        return value
    raise click.BadParameter("give the number of a finding, or all")


@click.command()
@click.argument(
    "paths", nargs=-1, required=True, type=click.Path(path_type=Path), metavar="PATH..."
)
@click.option("--json", "as_json", is_flag=True, help="Print the verdict as JSON; of many, a list.")
@click.option(
    "--draw",
    "picture",
    type=click.Path(path_type=Path),
    metavar="PICTURE",
    help="Also draw the diagram, failing items marked: .svg, .pdf or .png.",
)
@click.option(
    "--working",
    metavar="N",
    callback=_working_choice,
    help="Show how finding N is worked out, to be redone by hand; or `all`.",
)
@library_option
@click.option(
    "--changes/--no-changes",
    default=None,
    help="Look for the smallest change that lets a failure pass. One file: yes; many: no.",
)
@click.option(
    "--jobs",
    type=click.IntRange(1, 256),
    metavar="N",
    help="Processes at work on many files; as many as there are processors if left out.",
)
@units_option
@click.option("--wide", is_flag=True, help="List everything that passes and all values taken.")
@click.option("--no-colour", is_flag=True, help="Plain text on a terminal too.")
@click.pass_context
def check(
    ctx: click.Context,
    paths: tuple[Path, ...],
    *,
    as_json: bool,
    picture: Path | None,
    working: str | None,
    rows: Path | None,
    changes: bool | None,
    jobs: int | None,
    system: str,
    wide: bool,
    no_colour: bool,
) -> None:
    """Judge a harness over all switch positions, tolerances and temperatures.

    PATH is a harness file. What fails comes first, what can burn before what only loses volts,
    each with its conditions and the smallest change found that would let it pass. What was not
    judged and not checked is always listed.

    Several files, or a folder with all harness files below it, give a table: the worst file
    first, each with its worst finding. A file that is wrong does not stop the rest.

    Exit codes: 1 something fails; else 3 something could not be judged; else 0. 2 when a file or
    the command is wrong, whatever the other files are.
    """
    if len(paths) > 1 or paths[0].is_dir():
        if picture is not None or working is not None:
            raise click.UsageError("--draw and --working take a single file")
        from circuitcheck.cli.check_many import check_many
        from circuitcheck.cli.many_files import Order

        order = Order(rows, bool(changes), as_json, system)
        ctx.exit(check_many(paths, order, jobs, every=wide, colour=colour_wanted(no_colour)))
    from circuitcheck import check_file

    target = _drawing_target(paths[0], picture) if picture is not None else None
    verdict = check_file(paths[0], library_with(rows), changes=changes is not False)
    if as_json:
        from circuitcheck.documents.verdict.verdict_json import verdict_json

        click.echo(verdict_json(verdict))
    else:
        from circuitcheck.documents.verdict.verdict_text import verdict_text

        colour = colour_wanted(no_colour)
        text = verdict_text(
            verdict, width=terminal_width(), colour=colour, every=wide, system=system
        )
        click.echo(text, nl=False, color=colour)
    if working is not None:
        _print_working(verdict, working, system, as_json)
    if target is not None:
        _draw(verdict, target)
    ctx.exit(OF_VERDICT[verdict.word])


def _print_working(verdict: Verdict, choice: str, system: str, as_json: bool) -> None:
    from circuitcheck.documents.verdict.working_text import working_text

    numbers = [entry.number for entry in verdict.entries]
    chosen = numbers if choice == EVERY_WORKING else [int(choice)]
    if not set(chosen) <= set(numbers):
        raise click.UsageError(f"--working {choice}: findings are numbered 1 to {len(numbers)}")
    for number in chosen:
        text = working_text(verdict, number, width=terminal_width(), system=system)
        click.echo(f"\n{text}", nl=False, err=as_json)


def _drawing_target(file: Path, picture: Path) -> Path:
    from circuitcheck.cli.draw import drawing_target

    return drawing_target(file, picture)


def _draw(verdict: Verdict, target: Path) -> None:
    from circuitcheck.documents.plain_text import harmless
    from circuitcheck.drawing import draw

    write_whole(
        target,
        lambda beside: draw(verdict.harness, beside, verdict.findings, verdict.number_of),
    )
    click.echo(harmless(f"{target} is drawn."), err=True)
