"""Highest voltage at each coil, against the coil's own working range.

Finds       a coil that sees more than its maker allows on a charging supply
Formula     V_max <= h U_r                                       as given, for continuous duty
            V_max <= min(h U_r sqrt(d_coil / d_use), c U_r)       for a shorter duty
            Heat is V^2 / R times the share of time, so equal heat allows sqrt(d_coil / d_use) more;
            c caps it where a rated voltage no longer fits the system.
Source      valve-coil-ranges (115 % of rated voltage, continuous duty), vde-0580 (duty); the cap is
            common practice, no source
Worst case  highest supply, contacts new, wires short and cold, coil at its highest resistance of
            the cold start, nothing else worked
Not covered temperature itself (see coil temperature); load dump and other short peaks, which a
            winding does not feel
"""

from __future__ import annotations

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.coils.duty_voltage import CAP, duty_words, highest_limit
from circuitcheck.checks.coils.energised_coil import EnergisedCoil, energised_coils
from circuitcheck.checks.coils.energised_winding import across_working
from circuitcheck.checks.finding import (
    NOT_JUDGED,
    Finding,
    judged,
    stepped,
    worst_with,
)
from circuitcheck.checks.stand_ins import assumed
from circuitcheck.solve.solution import COLD_START

NAME = "coil highest voltage"
WHY = "Heat grows with the square of the voltage; too much of it ages the winding until it shorts."
QUANTITY = "highest voltage at the coil"
ASK = (
    "no highest voltage is given: read it in the coil's data sheet, usually beside the rated "
    "voltage (such as +/-10 % or 115 %)"
)


def judge(case: Case) -> list[Finding]:
    """Return one finding per coil, in the position with the highest voltage."""
    found: dict[str, list[tuple[Finding, EnergisedCoil]]] = {}
    # Without a limit no position is worse by margin: the highest voltage leads.
    for at in sorted(energised_coils(case, COLD_START), key=lambda at: -at.across_v.upper):
        found.setdefault(at.coil.name, []).append((_finding(case, at), at))
    leading = [worst_with(found[coil.name]) for coil in case.harness.coils if coil.name in found]
    return [stepped(finding, across_working(at, "upper", "V_max")) for finding, at in leading]


def _finding(case: Case, at: EnergisedCoil) -> Finding:
    value, working = at.across_v.upper, highest_limit(case, at, at.coil)
    limit = None if working is None else working.result.value
    return Finding(
        check=NAME,
        subject=at.coil.name,
        result=NOT_JUDGED if limit is None else judged(value, limit),
        quantity=QUANTITY,
        reason=ASK if limit is None else WHY,
        position=at.solved.position.name,
        coil_state=at.solved.coil_state,
        value=value,
        limit=limit,
        unit="V",
        conditions=(
            *at.at_highest(case),
            *duty_words(case, at.coil),
            *assumed(case, at.coil.name, "highest", "rated", "duty"),
        ),
        sources=("valve-coil-ranges", "vde-0580", case.library.limit(CAP).source),
        gap=at.across_v.gap,
        working=working,
    )


CHECK = Check(
    name=NAME,
    judges="highest voltage at the cold coil, against its own range and its duty",
    why=WHY,
    does_not_cover="load dump and other short peaks",
    sources=("valve-coil-ranges", "vde-0580", "common-practice"),
    judge=judge,
)
