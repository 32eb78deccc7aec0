"""How the highest current of a branch is worked out by hand.

Shared ground of the checks that judge currents; it judges nothing itself.
"""

from __future__ import annotations

import math

from circuitcheck.checks.check import Case
from circuitcheck.checks.energised_coil import coils_on
from circuitcheck.checks.finding import Probe, Term, Working
from circuitcheck.solve.worst_case import PositionSolution

REDONE_WITHIN = 1e-6
"""Relative; within it the plain loop and the solver say the same."""


def highest_current_working(
    case: Case, solved: PositionSolution, name: str, value_a: float
) -> Working:
    """Return the closed form of the highest current of a branch.

    The plain loop V_s / (R_1 + R_2 + ...) where it is one: a single coil behind, nothing beside.
    Otherwise the loop that the supply sees at this current.
    """
    supply = Term("V_s", solved.supply_v.upper, "V", "supply at the battery posts, the highest")
    result, probe = Term("I_c", value_a, "A", "highest current"), Probe("current", name)
    behind = [
        at
        for at in coils_on(case, solved)
        if name == at.coil.name or name in {branch.name for branch in at.way}
    ]
    if len(behind) == 1:
        names = [b.name for b in behind[0].way_there] + [behind[0].coil.name]
        names += [b.name for b in behind[0].way_back]
        ohms = [solved.resistance_ohm(branch).lower for branch in names]
        if math.isclose(supply.value / sum(ohms), value_a, rel_tol=REDONE_WITHIN):
            terms = [
                Term(f"R_{number}", ohm, "ohm", f"{branch}, lowest")
                for number, (branch, ohm) in enumerate(zip(names, ohms, strict=True), start=1)
            ]
            formula = f"V_s / ({' + '.join(term.symbol for term in terms)})"
            return Working(formula, (supply, *terms), result, probe)
    loop_ohm = supply.value / value_a if value_a else math.inf
    loop = Term("R_l", loop_ohm, "ohm", "resistance that the supply sees at this current")
    return Working("V_s / R_l", (supply, loop), result, probe)
