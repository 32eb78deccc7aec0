"""The winding that a pull-in is judged at: as hot as it gets, of the least resistance for that.

Shared ground of the pull-in check; it judges nothing itself.
"""

from __future__ import annotations

from dataclasses import replace

from circuitcheck.checks.check import Case
from circuitcheck.checks.coils.energised_coil import EnergisedCoil
from circuitcheck.formulas.wire_resistance import resistance_at_ohm


def with_hot_winding(case: Case, at: EnergisedCoil) -> EnergisedCoil:
    """Return the coil with its winding as hot as it gets and of the least resistance for that.

    V R20 / R is least there: it falls as the winding warms and rises with R20.
    """
    winding_c = case.solution.heat[at.coil.name].temperature_c.upper
    ohm = resistance_at_ohm(at.coil.resistance_20c_ohm.lower, winding_c)
    solved = at.solved.with_winding(at.coil.name, ohm, winding_c)
    across_v = solved.between_v(at.fed, at.returned)
    return replace(at, solved=solved, across_v=across_v)
