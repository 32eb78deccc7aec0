"""The switch positions that `circuitcheck draw` shall show, solved and ready to be written."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from circuitcheck.drawing.position_values import PositionValues
    from circuitcheck.model.harness import Harness
    from circuitcheck.model.library import Library
    from circuitcheck.solve.position_solution import PositionSolution

_NAMED = 12
"""So many positions are named where one is asked for that there is not."""


def values_asked_for(
    harness: Harness, library: Library, names: Sequence[str], *, worst: bool
) -> tuple[PositionValues, ...]:
    """Return the values of the named positions, or without names of all with a live wire.

    A position with pull windings that something cuts out comes twice. Raises UsageError for a
    position that there is not, and where a movement that can hurt stops the work.
    """
    from circuitcheck.documents.cautions import stops
    from circuitcheck.drawing.position_values import values_of
    from circuitcheck.solve.worst_case import solve_harness

    if harness.user_rows is not None:
        library = library.with_rows(harness.user_rows)
    stopped = stops(harness)
    if stopped:
        raise click.UsageError(f"no values are drawn: {stopped[0].subject}: {stopped[0].reason}")
    solved: dict[str, list[list[PositionSolution]]] = {}
    found: dict[tuple[str, str], list[PositionSolution]] = {}
    for one in solve_harness(harness, library, gaps=False).positions:
        state = one.position.name, one.pull_state
        if state not in found:
            found[state] = []
            solved.setdefault(one.position.name, []).append(found[state])
        found[state].append(one)
    wanted = _wanted(solved, names)
    values = [values_of(harness, states, worst=worst) for states in wanted]
    if names:
        return tuple(values)
    live = tuple(one for one in values if any(wire.is_live for wire in one.wires.values()))
    if len(live) < len(values):
        click.echo(f"{len(values) - len(live)} positions with no live wire are left out.", err=True)
    if not live:
        raise click.UsageError("no switch position has a live wire")
    return live


def _wanted(
    solved: Mapping[str, list[list[PositionSolution]]], names: Sequence[str]
) -> list[list[PositionSolution]]:
    for name in names:
        if name not in solved:
            from circuitcheck.read.forms.printable import printable

            shown = [printable(known) for known in list(solved)[:_NAMED]]
            more = f" and {len(solved) - _NAMED} more" if len(solved) > _NAMED else ""
            raise click.UsageError(
                f"no switch position {printable(name)!r}; there are: {'; '.join(shown)}{more}"
            )
    return [states for name in (names or solved) for states in solved[name]]
