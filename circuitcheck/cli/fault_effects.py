"""`circuitcheck fault-effects FILE`: what each single fault would do, unasked movement first."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from circuitcheck.cli.exit_codes import SOMETHING_FAILS
from circuitcheck.cli.library_option import library_option, library_with
from circuitcheck.cli.output import colour_wanted, terminal_width
from circuitcheck.cli.units_option import units_option

if TYPE_CHECKING:
    from circuitcheck.faults.fault import Fault
    from circuitcheck.model.harness import Harness


@click.command("fault-effects")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--part", metavar="NAME", default="", help="Faults of one part or wire, in full.")
@click.option("--csv", "as_csv", is_flag=True, help="Print as CSV, for a spreadsheet.")
@click.option("--json", "as_json", is_flag=True, help="Print as JSON, for other programs.")
@library_option
@units_option
@click.option("--no-colour", is_flag=True, help="Plain text on a terminal too.")
@click.pass_context
def fault_effects(
    ctx: click.Context,
    file: Path,
    *,
    part: str,
    as_csv: bool,
    as_json: bool,
    rows: Path | None,
    system: str,
    no_colour: bool,
) -> None:
    """Show what each single fault would do, and how it would show.

    Every part and wire of FILE fails in each of its ways, one at a time, in every switch position.
    What moves unasked comes first, then what blows a fuse or runs hot, what does not work, and
    last what nobody would see.

    Exit codes: 0; 1 for a coil whose movement needs a functional-safety assessment first; 2 when
    the file or the command is wrong.
    """
    if as_csv and as_json:
        raise click.UsageError("give --csv or --json, not both")
    from circuitcheck.faults.effects import single_fault_effects
    from circuitcheck.faults.fault_list import single_faults
    from circuitcheck.read.harness_file import read_harness

    library = library_with(rows)
    harness = read_harness(file, library)
    _stop_where_movement_can_hurt(ctx, harness)
    chosen = _of_part(harness, single_faults(harness, library), part)
    found = single_fault_effects(harness, library, chosen)
    if as_csv:
        from circuitcheck.documents.diagnosis.fault_effects_files import fault_effects_csv

        click.echo(fault_effects_csv(harness, found).encode(), nl=False)
    elif as_json:
        from circuitcheck.documents.diagnosis.fault_effects_files import fault_effects_json

        click.echo(fault_effects_json(harness, found))
    else:
        from circuitcheck.documents.diagnosis.fault_effects_text import fault_effects_text

        colour = colour_wanted(no_colour)
        width = terminal_width()
        text = fault_effects_text(
            harness, found, width=width, colour=colour, system=system, part=part
        )
        click.echo(text, nl=False, color=colour)


def _stop_where_movement_can_hurt(ctx: click.Context, harness: Harness) -> None:
    """Say nothing of a coil that needs a functional-safety assessment but that it does."""
    from circuitcheck.documents.cautions import stops
    from circuitcheck.documents.plain_text import wrapped

    for finding in stops(harness):
        said = f"{finding.subject} {finding.quantity}. {finding.reason}"
        click.echo("\n".join(wrapped(said, terminal_width())), err=True)
    if stops(harness):
        ctx.exit(SOMETHING_FAILS)


def _of_part(harness: Harness, faults: Sequence[Fault], part: str) -> tuple[Fault, ...]:
    """Return the faults of one part or wire; all where none is named."""
    if not part:
        return tuple(faults)
    known = (*harness.parts, *harness.wires)
    if part not in known:
        from circuitcheck.read.forms.near_match import NearMatch

        hint = NearMatch().hint(part, known) or f"There are {', '.join(known)}."
        raise click.UsageError(f"--part {part}: no such part or wire. {hint}")
    some = tuple(one for one in faults if part in (one.subject, one.other))
    if not some:
        raise click.UsageError(
            f"--part {part}: it has no faults of its own; those of its joints belong to the wires "
            "that land on it"
        )
    return some
