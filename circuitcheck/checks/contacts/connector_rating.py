"""Current through each connector contact, against its rated current in its zone's air.

Finds       a contact that carries more than it may in the heat of its place
Formula     I_max <= I_rated sqrt((T_lim - T_air) / (T_lim - T_rated)), never more than I_rated
            The rise of a contact grows with I^2 (derating curve as IEC 60512-5-2 draws it).
Source      contact-figures (rated currents, air they hold in), sae-uscar-2 (temperature class)
Worst case  highest supply, coils cold and at their lowest resistance, hottest air of the zone, all
            that can be on together
Not covered heat of neighbours when all cavities are loaded; plating wear; the crimp's workmanship
"""

from __future__ import annotations

import math
from dataclasses import replace

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.finding import (
    FAIL,
    NOT_JUDGED,
    Finding,
    Probe,
    Term,
    Working,
    judged,
)
from circuitcheck.checks.worst_current import worst_current
from circuitcheck.model.connector import Connector
from circuitcheck.solve.solution import COLD_START

NAME = "connector rating"
WHY = "An overloaded contact heats, loses its spring and ends as the bad joint that comes and goes."
ASK = (
    "the contact family is not known: measure the blade's or pin's width (1.5, 2.8, 4.8, 6.3 or "
    "9.5 mm) and see whether the halves have a seal"
)


def judge(case: Case) -> list[Finding]:
    """Return one finding per cavity in use, in the position with the most current."""
    names: dict[str, Connector] = {}
    for solved in case.solution.live(COLD_START):
        for branch in solved.network.branches:
            part = case.harness.parts.get(branch.owner)
            if branch.role == "contact" and isinstance(part, Connector):
                names[branch.name] = part
    return [_finding(case, part, name) for name, part in names.items()]


def _finding(case: Case, part: Connector, name: str) -> Finding:
    most = worst_current(case, name)
    assert most is not None  # a live position uses it
    air_c = case.harness.zone_of(part.zone).ambient_c.upper
    top = case.library.limit("connector_temperature_c")
    result, reason, working = NOT_JUDGED, ASK, None
    if part.contact is not None and part.contact.rated_current_a is not None:
        if air_c >= top.value:
            result = FAIL
            reason = f"the air is hotter than a contact may ever be ({top.value:.0f} degC)"
        else:
            working = _working(case, part.contact.rated_current_a, air_c, name)
            working = replace(working, steps=(most.working(),))
            result, reason = judged(most.current_a, working.result.value), WHY
    return Finding(
        check=NAME,
        subject=part.name,
        result=result,
        quantity=f"current of contact {name}",
        reason=reason,
        position=most.position,
        coil_state=most.coil_state,
        value=most.current_a,
        limit=None if working is None else working.result.value,
        unit="A",
        conditions=(
            *most.conditions,
            f"contact {part.contact.name if part.contact else 'not known'}",
            f"air {air_c:.0f} degC, the hottest of zone {part.zone}",
        ),
        sources=(part.contact.source if part.contact else "contact-figures", top.source),
        gap=most.gap_a,
        working=working,
    )


def _working(case: Case, rated_a: float, air_c: float, name: str) -> Working:
    rated_c = case.library.limit("connector_rated_air_c").value
    top_c = case.library.limit("connector_temperature_c").value
    rated = Term("I_r", rated_a, "A", "rated current of the contact family")
    if air_c <= rated_c:
        limit = Term("I_l", rated_a, "A", "rated current, air no hotter than it holds in")
        return Working("I_r", (rated,), limit, Probe("current", name))
    share = math.sqrt((top_c - air_c) / (top_c - rated_c))
    return Working(
        "I_r * ((T_lim - T_air) / (T_lim - T_r))**0.5",
        (
            rated,
            Term("T_lim", top_c, "degC", "highest temperature of the contact"),
            Term("T_air", air_c, "degC", "hottest air of the zone"),
            Term("T_r", rated_c, "degC", "air that the rated current holds in"),
        ),
        Term("I_l", rated_a * share, "A", "rated current, derated"),
        Probe("current", name),
    )


CHECK = Check(
    name=NAME,
    judges="highest current of each connector contact, against its rating in its air",
    why=WHY,
    does_not_cover="heat of neighbouring contacts; workmanship of crimps",
    sources=("contact-figures", "sae-uscar-2"),
    judge=judge,
)
