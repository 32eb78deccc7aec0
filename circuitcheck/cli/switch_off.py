"""`circuitcheck switch-off FILE`: the ways to suppress each coil, side by side."""

from __future__ import annotations

from pathlib import Path

import click

from circuitcheck.cli.draw import drawing_target
from circuitcheck.cli.library_option import library_option, library_with
from circuitcheck.cli.output import terminal_width, write_whole


@click.command("switch-off")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--coil", metavar="NAME", help="One coil alone, e.g. VL.")
@click.option(
    "--plot",
    metavar="PATH",
    type=click.Path(path_type=Path),
    help="Draw one coil's current and voltage to a file ending in .svg, .pdf or .png.",
)
@click.option("--json", "as_json", is_flag=True, help="Print the figures as JSON, in SI units.")
@library_option
def switch_off(
    file: Path, *, coil: str | None, plot: Path | None, as_json: bool, rows: Path | None
) -> None:
    """Compare what can sit across each coil in FILE: diode, Zener, resistor, TVS.

    Peak at coil and contact, how long the coil takes to let go, what the suppressor has to take,
    and which suits.
    """
    from circuitcheck.checks.release.released_together import released_together
    from circuitcheck.checks.release.suppressor_choices import coil_choices
    from circuitcheck.checks.run import open_case
    from circuitcheck.documents.switching.switch_off_json import switch_off_json
    from circuitcheck.documents.switching.switch_off_text import switch_off_text
    from circuitcheck.read.harness_file import read_harness

    target = None if plot is None else drawing_target(file, plot)
    library = library_with(rows)
    harness = read_harness(file, library)
    case = open_case(harness, library, gaps=False)
    every = coil_choices(case)
    together = released_together(case, [one.coil for one in every])
    if coil is not None:
        names = [name for one in every for name in (one.coil.winding.branch,)]
        every = tuple(
            one for one in every if coil in (one.coil.winding.branch, one.coil.winding.owner)
        )
        together = tuple(t for t in together if any(c.branch == coil for c in t.coils))
        if not every:
            known = f"there are {', '.join(names)}" if names else "no position works any"
            raise click.UsageError(f"no coil {coil!r}; {known}")
    if target is not None:
        from circuitcheck.drawing.release_plot import release_plot
        from circuitcheck.drawing.release_render import render_release

        if not every:
            raise click.UsageError("no position works a coil: there is nothing to draw")
        if not every[0].choices:
            raise click.UsageError(f"{every[0].coil.winding.branch}: {every[0].advice}")
        picture = release_plot(harness, every[0])
        write_whole(target, lambda beside: render_release(picture, beside))
    if as_json:
        click.echo(switch_off_json(every, together), nl=False)
        return
    click.echo(switch_off_text(harness, every, together, width=terminal_width()), nl=False)
