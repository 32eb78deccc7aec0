"""A solenoid coil in a position that energises it.

Shared ground of the checks that judge coils; it judges nothing itself.
"""

from __future__ import annotations

from circuitcheck.checks.check import Case
from circuitcheck.checks.coils.energised_winding import EnergisedWinding, windings_on
from circuitcheck.model.solenoid_coil import SolenoidCoil
from circuitcheck.record import record
from circuitcheck.solve.worst_case import PositionSolution


@record(kw_only=True)
class EnergisedCoil(EnergisedWinding):
    """One coil in one switch position and coil state."""

    coil: SolenoidCoil


def energised_coils(case: Case, coil_state: str) -> tuple[EnergisedCoil, ...]:
    """Return every coil in every live position that energises it, in the order of positions."""
    return tuple(at for solved in case.solution.live(coil_state) for at in coils_on(case, solved))


def coils_on(case: Case, solved: PositionSolution) -> tuple[EnergisedCoil, ...]:
    """Return the coils that one position energises, in the order of the file."""
    coils = {coil.name: coil for coil in case.harness.coils}
    return tuple(
        EnergisedCoil(coil=coils[at.owner], **vars(at))
        for at in windings_on(case, solved, ("coil",))
    )
