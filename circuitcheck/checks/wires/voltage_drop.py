"""Voltage drop of each coil's circuit: feed, return, and both together.

Finds       a coil whose feed, return or whole loop loses more than the allowed share of the supply
Formula     feed    100 V(battery +, coil) / V_s
            return  100 V(coil, battery -) / V_s
            total   100 (V_s - V_coil) / V_s
            each its own quantity; in a linear circuit a share does not depend on the supply, so the
            largest drop is held against the supply that makes it
Source      abyc-e-11: 3 % for panel feeders and what safety hangs on (lights, blowers, bilge
            pumps), 10 % for everything else. A valve coil has a working range of its own and
            belongs to "everything else", so 10 % in all. No source splits it: feed alone and
            return alone may take the whole, and are listed to show where the loss sits. Whether
            the coil still pulls in is judged by a check of its own.
Worst case  coil at its lowest resistance, wires hot and long, contacts aged, the machine's own load
            on, the position with the most current in the shared wires
Not covered cranking; drop inside the battery, which the supply at the posts already holds
"""

from __future__ import annotations

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.coils.energised_winding import (
    EnergisedWinding,
    Way,
    state_words,
    windings_on,
)
from circuitcheck.checks.finding import (
    NOT_JUDGED,
    PASS,
    Finding,
    judged,
    worst_with,
)
from circuitcheck.checks.stand_ins import stand_ins, unknown_upstream
from circuitcheck.checks.workings.drop_working import QUANTITIES, drop_working, ends_of, with_steps
from circuitcheck.solve.solution import COIL_STATES
from circuitcheck.units import text

NAME = "voltage drop"
WHY = "Voltage lost on the way is missing at the coil, where it pulls the plunger."
ROLES = ("coil", "relay coil", "hold winding")
LIMITS = {
    "total": "voltage_drop_total_percent",
    "feed": "voltage_drop_feed_percent",
    "return": "voltage_drop_return_percent",
}


def judge(case: Case) -> list[Finding]:
    """Return one finding per coil for feed, return and total, each in its worst position."""
    found: dict[tuple[str, str], list[tuple[Finding, EnergisedWinding]]] = {}
    for state in COIL_STATES:
        for solved in case.solution.live(state):
            coils = list(windings_on(case, solved, ROLES))
            solved.between_many_v([ends_of(at, part) for at in coils for part in QUANTITIES])
            for at in coils:
                for part in QUANTITIES:
                    finding = _finding(case, at, part)
                    found.setdefault((at.branch, part), []).append((finding, at))
    return [with_steps(part, *worst_with(pairs)) for (_, part), pairs in found.items()]


def _finding(case: Case, at: EnergisedWinding, part: str) -> Finding:
    limit = case.library.limit(LIMITS[part])
    working, gap_v, supply_v = drop_working(at, part)
    value = working.result.value
    branches = {"total": at.way, "feed": at.way_there, "return": at.way_back}[part]
    result, reason = judged(value, limit.value), WHY
    unknown = unknown_upstream(case, branches)
    if result == PASS and unknown:
        result, reason = NOT_JUDGED, f"the drop may be more: {'; '.join(unknown)}"
    return Finding(
        check=NAME,
        subject=at.owner,
        result=result,
        quantity=QUANTITIES[part],
        reason=reason,
        position=at.solved.position.name,
        coil_state=at.solved.coil_state,
        value=value,
        limit=limit.value,
        unit="%",
        conditions=(
            *at.solved.between_conditions(
                *ends_of(at, part), "lower" if part == "total" else "upper"
            ),
            state_words(case, at),
            *stand_ins(case, branches),
            *_largest_element(at, branches),
        ),
        sources=(limit.source,),
        gap=100.0 * gap_v / supply_v,
        working=working,
    )


def _largest_element(at: EnergisedWinding, branches: Way) -> tuple[str, ...]:
    drops = {branch.name: at.solved.across_v(branch.name).largest() for branch in branches}
    if not drops:
        return ()
    name = max(drops, key=lambda key: drops[key])
    return (f"largest single drop on the way: {name}, {text(drops[name], 'V')}",)


CHECK = Check(
    name=NAME,
    judges="voltage lost in feed, return and both, against a share of the supply at the posts",
    why=WHY,
    does_not_cover="cranking",
    sources=("abyc-e-11",),
    judge=judge,
)
