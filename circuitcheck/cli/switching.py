"""`circuitcheck switching FILE`: what each action does in its first moments."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from circuitcheck.cli.draw import drawing_target
from circuitcheck.cli.library_option import library_option, library_with
from circuitcheck.cli.output import terminal_width, write_whole

if TYPE_CHECKING:
    from circuitcheck.transient.switching_on.switching_report import SwitchingReport


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--action", metavar="NAME", help='One action alone, e.g. "press left".')
@click.option(
    "--plot",
    metavar="PATH",
    type=click.Path(path_type=Path),
    help="Draw the action, or the worst one, to a file ending in .svg, .pdf or .png.",
)
@click.option(
    "--fuse", metavar="NAME", help="The fuse in the picture: F1, or a tap for the machine's."
)
@click.option("--json", "as_json", is_flag=True, help="Print the figures as JSON, in SI units.")
@library_option
def switching(
    file: Path,
    *,
    action: str | None,
    plot: Path | None,
    fuse: str | None,
    as_json: bool,
    rows: Path | None,
) -> None:
    """Show what each action in FILE does in its first moments.

    Peak at each fuse, when each coil has the current to pull in, how far coils already on dip.
    Both ends are worked out: cold coils on the highest supply, hot coils on the lowest.
    """
    from circuitcheck.documents.switching.switching_json import switching_json
    from circuitcheck.documents.switching.switching_text import switching_text
    from circuitcheck.read.harness_file import read_harness
    from circuitcheck.solve.worst_case import solve_harness
    from circuitcheck.transient.switching_on.switching_report import switching_report

    target = None if plot is None else drawing_target(file, plot)
    library = library_with(rows)
    harness = read_harness(file, library)
    if harness.user_rows is not None:
        library = library.with_rows(harness.user_rows)
    _require_action(harness, action)
    report = switching_report(solve_harness(harness, library), [action] if action else [])
    if target is not None:
        _draw(report, target, fuse)
    elif fuse is not None:
        raise click.UsageError("--fuse chooses what the picture shows: give --plot PATH too")
    if as_json:
        click.echo(switching_json(report), nl=False)
        return
    click.echo(switching_text(report, width=terminal_width()), nl=False)


def _require_action(harness: object, action: str | None) -> None:
    from circuitcheck.model.harness import Harness
    from circuitcheck.transient.switching_on.actions import actions

    assert isinstance(harness, Harness)
    names = [one.name for one in actions(harness)]
    if action is not None and action not in names:
        known = ", ".join(f'"{name}"' for name in names)
        raise click.UsageError(f"no action {action!r}; there are {known}")


def _draw(report: SwitchingReport, target: Path, fuse: str | None) -> None:
    from circuitcheck.drawing.switching_plot import switching_plot
    from circuitcheck.drawing.switching_render import render_switching
    from circuitcheck.transient.switching_on.switching_report import fuse_name

    if not report.reports:
        raise click.UsageError("no action changes anything: there is nothing to draw")
    drawn = report.reports[0]
    found = drawn.strongest_figures.fuses
    fuses = {one.branch.removesuffix("/fuse"): one.branch for one in found}
    if fuse is not None and fuse not in fuses:
        harness = report.solution.harness
        known = [
            name if name == one.branch else f"{name} for the {fuse_name(harness, one)}"
            for name, one in sorted(
                zip(fuses, found, strict=True), key=lambda pair: "/" in pair[1].branch
            )
        ]
        raise click.UsageError(f"no fuse {fuse!r}; there are {', '.join(known)}")
    chosen = fuses[fuse] if fuse is not None else ""
    picture = switching_plot(report.solution, drawn, chosen)
    write_whole(target, lambda beside: render_switching(picture, beside))
