"""`circuitcheck netlist FILE`: the circuit of a switch position for a circuit simulator."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from circuitcheck.cli.library_option import library_option, library_with

if TYPE_CHECKING:
    from circuitcheck.model.harness import Harness
    from circuitcheck.model.library import Library
    from circuitcheck.solve.circuit_point import CircuitPoint

CONDITIONS = ("nominal", "lower", "upper")
COIL_STATES = ("cold start", "heat-soaked")


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--position", metavar="NAME", help='Switch position, e.g. "key on, left".')
@click.option(
    "--condition",
    type=click.Choice(CONDITIONS),
    default="nominal",
    show_default=True,
    help="Every value nominal, or all at their lower or upper ends.",
)
@click.option(
    "--coil-state",
    type=click.Choice(COIL_STATES),
    default=COIL_STATES[0],
    show_default=True,
    help="Coils as cold as their zone, or heated by their duty.",
)
@click.option("--holding", is_flag=True, help="With the pull windings cut out.")
@click.option(
    "--finding",
    type=click.IntRange(min=1),
    metavar="N",
    help="Position and corner of finding N of `circuitcheck check`, instead of the above.",
)
@library_option
def netlist(
    file: Path,
    *,
    position: str | None,
    condition: str,
    coil_state: str,
    holding: bool,
    finding: int | None,
    rows: Path | None,
) -> None:
    """Print the circuit of one switch position as a netlist that a circuit simulator reads.

    Names of nodes and elements are generated; comments say what they stand for.
    """
    from circuitcheck.documents.netlist_text import netlist_text
    from circuitcheck.read.harness_file import read_harness

    library = library_with(rows)
    harness = read_harness(file, library)
    if finding is not None:
        point = _of_finding(harness, library, finding)
    elif position is not None:
        point = _of_position(harness, library, position, condition, coil_state, holding)
    else:
        raise click.UsageError("give --position NAME or --finding N")
    click.echo(netlist_text(point, harness.circuit), nl=False)


def _of_position(
    harness: Harness,
    library: Library,
    position: str,
    condition: str,
    coil_state: str,
    holding: bool,
) -> CircuitPoint:
    from circuitcheck.circuit.netlist import HOLDING, PULLING
    from circuitcheck.solve.circuit_point import chosen_point
    from circuitcheck.solve.worst_case import solve_harness

    solution = solve_harness(harness, library)
    try:
        solved = solution.of(position, coil_state, HOLDING if holding else PULLING)
    except KeyError:
        names = dict.fromkeys(s.position.name for s in solution.positions)
        if position in names:
            raise click.UsageError("--holding: no pull winding is cut out here") from None
        known = ", ".join(f'"{name}"' for name in names)
        raise click.UsageError(f"no switch position {position!r}; there are {known}") from None
    return chosen_point(solved, condition)


def _of_finding(harness: Harness, library: Library, number: int) -> CircuitPoint:
    from circuitcheck import check_harness
    from circuitcheck.documents.verdict.finding_point import finding_point

    verdict = check_harness(harness, library)
    entries = {entry.number: entry for entry in verdict.entries}
    if number not in entries:
        raise click.UsageError(f"--finding {number}: findings are numbered 1 to {len(entries)}")
    point = finding_point(verdict, entries[number].worst)
    if point is None:
        raise click.UsageError(
            f"--finding {number}: it rests on no single current or voltage of a switch position; "
            "give --position instead"
        )
    return point
