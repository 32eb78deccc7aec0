"""The largest steady current of a branch over all live positions and both coil states.

Shared ground of the checks on fuses, wires and taps; it judges nothing itself.
"""

from __future__ import annotations

from dataclasses import dataclass

from circuitcheck.checks.check import Case
from circuitcheck.solve.solution import COIL_STATES


@dataclass(frozen=True)
class WorstCurrent:
    """A largest current [A], where it flows, and what makes it so, in words.

    `gap_a` is how far the bound may stand off; `temperature_c` the hottest that the branch's
    metal gets in that position.
    """

    branch: str
    current_a: float
    gap_a: float
    position: str
    coil_state: str
    conditions: tuple[str, ...]
    temperature_c: float


def position_currents(case: Case, branch: str) -> tuple[WorstCurrent, ...]:
    """Return the largest current of a branch in each live position, largest first.

    Empty where no position makes the branch live.
    """
    found: dict[str, WorstCurrent] = {}
    for state in COIL_STATES:
        for solved in case.solution.live(state):
            if branch not in solved.network.branch_of:
                continue
            amps = solved.current_a(branch)
            name = solved.position.name
            if name not in found or amps.largest() > found[name].current_a:
                side = "upper" if abs(amps.upper) >= abs(amps.lower) else "lower"
                found[name] = WorstCurrent(
                    branch,
                    amps.largest(),
                    amps.gap,
                    name,
                    state,
                    solved.conditions(branch, side),
                    solved.temperature_c(branch).upper,
                )
    # Key on goes before key off among equals: that is how the owner meets it.
    return tuple(
        sorted(found.values(), key=lambda w: (-w.current_a, w.position.startswith("key off")))
    )


def worst_current(case: Case, branch: str) -> WorstCurrent | None:
    """Return the largest current of a branch; None where no position makes it live."""
    return next(iter(position_currents(case, branch)), None)
