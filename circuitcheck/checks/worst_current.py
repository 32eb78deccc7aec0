"""The largest steady current of a branch over all live positions and both coil states.

Shared ground of the checks on fuses, wires and taps; it judges nothing itself.
"""

from __future__ import annotations

from dataclasses import replace

from circuitcheck.checks.check import Case
from circuitcheck.checks.finding import Working
from circuitcheck.checks.workings.current_working import highest_current_working
from circuitcheck.record import record
from circuitcheck.solve.solution import COIL_STATES
from circuitcheck.solve.worst_case import PositionSolution


@record
class WorstCurrent:
    """A largest current [A] of a branch, with the solution of the position that brings it.

    `gap_a` is how far the bound may stand off.
    """

    branch: str
    current_a: float
    gap_a: float
    solved: PositionSolution

    @property
    def position(self) -> str:
        """Name of the switch position."""
        return self.solved.position.name

    @property
    def coil_state(self) -> str:
        """Cold start or heat-soaked."""
        return self.solved.coil_state

    @property
    def conditions(self) -> tuple[str, ...]:
        """What makes the current so large, in words."""
        amps = self.solved.current_a(self.branch)
        side = "upper" if abs(amps.upper) >= abs(amps.lower) else "lower"
        return self.solved.conditions(self.branch, side)

    @property
    def temperature_c(self) -> float:
        """Hottest that the branch's metal gets in this position [degC]."""
        return self.solved.temperature_c(self.branch).upper

    def working(self, *before: Working) -> Working:
        """Return how the current is worked out, with steps before it such as its limit."""
        return replace(highest_current_working(self.solved, self.branch), steps=before)


def position_currents(case: Case, branch: str) -> tuple[WorstCurrent, ...]:
    """Return the largest current of a branch in each live position, largest first.

    Empty where no position makes the branch live.
    """
    found: dict[str, WorstCurrent] = {}
    for state in COIL_STATES:
        for solved in case.solution.live(state):
            if branch not in solved.network.branch_of:
                continue
            amps, name = solved.current_a(branch), solved.position.name
            if name not in found or amps.largest() > found[name].current_a:
                found[name] = WorstCurrent(branch, amps.largest(), amps.gap, solved)
    # Key on goes before key off among equals: that is how the owner meets it.
    return tuple(
        sorted(found.values(), key=lambda w: (-w.current_a, w.position.startswith("key off")))
    )


def worst_current(case: Case, branch: str) -> WorstCurrent | None:
    """Return the largest current of a branch; None where no position makes it live."""
    return next(iter(position_currents(case, branch)), None)
