"""Each coil released when off: what still stands on it against its drop-out.

Finds       a coil, or relay, that leakage or back-feed keeps on after its button is let go
Formula     by voltage  V_max < V_d
            by current  V_max < V_d (234.5 + T_cold) / (234.5 + T_d)
            V_d is the lower end of the drop-out voltage, which holds for a winding at T_d. Force
            follows ampere-turns: a cold winding needs less voltage for the same current.
Source      relay-data-sheet (drop-out, and that it follows the winding), valve-coil-ranges (a
            valve coil lets go below 10 % of its rated voltage at the latest), iec-60028 (copper)
Worst case  every position in which no closed contact asks for the coil: indicators across the
            contact at their highest current, sneak paths through other loads, highest supply;
            by current the winding as cold as its zone
Not covered how long it takes to let go; a plunger that dirt or magnetism holds
Result      per coil one finding by voltage, and where anything stands on it one by current, each
            in the position with the most on it
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.contacts.hot_relay import at_temperature
from circuitcheck.checks.finding import NOT_JUDGED, PASS, Finding, Term, Working, judged, stepped
from circuitcheck.checks.finite import finite
from circuitcheck.checks.release.released_winding import DropOut, drop_outs
from circuitcheck.checks.stand_ins import assumed
from circuitcheck.checks.workings.current_working import lost_working
from circuitcheck.solve.solution import COIL_STATES, COLD_START, Range
from circuitcheck.solve.worst_case import PositionSolution

NAME = "coil released when off"
WHY = "A coil that is not sure to let go keeps the valve open, or the relay closed."
BY_VOLTAGE = "highest voltage at the coil while nobody asks for it"
BY_CURRENT = "highest voltage at the cold coil while nobody asks for it"
ASK = "the drop-out voltage is not known: read it in the data sheet"
ASK_HEAT = (
    "the running temperature that the drop-out voltage holds for is not known: ask for the coil's "
    "hot resistance on rated voltage"
)
NOTHING_V = 1e-9
SOURCES = ("relay-data-sheet", "valve-coil-ranges", "iec-60028")


def judge(case: Case) -> list[Finding]:
    """Return the findings of every coil that some position leaves alone."""
    findings = []
    for drop_out in drop_outs(case):
        for quantity, states in ((BY_VOLTAGE, COIL_STATES), (BY_CURRENT, (COLD_START,))):
            most = max(_left_alone(case, drop_out, states), key=_across, default=None)
            if most is not None and (quantity == BY_VOLTAGE or _across(most) > NOTHING_V):
                findings.append(_finding(case, drop_out, quantity, *most))
    return findings


def _left_alone(
    case: Case, drop_out: DropOut, states: tuple[str, ...]
) -> Iterator[tuple[PositionSolution, Range]]:
    """Yield the positions that do not ask for the winding, with the voltage across it."""
    for state in states:
        for solved in case.solution.live(state):
            network = solved.network
            if drop_out.branch in network.branch_of and drop_out.branch not in solved.asked_for:
                yield solved, finite(solved.across_v(drop_out.branch))


def _across(pair: tuple[PositionSolution, Range]) -> float:
    return pair[1].largest()


def _finding(
    case: Case, drop_out: DropOut, quantity: str, solved: PositionSolution, across: Range
) -> Finding:
    working, value = _limit(case, drop_out, quantity), across.largest()
    limit = None if working is None else working.result.value
    branch = solved.network.branches[solved.network.branch_of[drop_out.branch]]
    names = solved.network.node_names
    ends = (names[branch.start], names[branch.end])
    side = "upper" if abs(across.upper) >= abs(across.lower) else "lower"
    result, reason = NOT_JUDGED, ASK if drop_out.working is None else ASK_HEAT
    if value <= NOTHING_V:
        result, reason = PASS, WHY
    elif limit is not None:
        result, reason = judged(value, limit), WHY
    finding = Finding(
        check=NAME,
        subject=drop_out.owner,
        result=result,
        quantity=quantity,
        reason=reason,
        position=solved.position.name,
        coil_state=solved.coil_state,
        value=value,
        limit=limit,
        unit="V",
        conditions=(
            *solved.between_conditions(*ends, side),
            *assumed(case, drop_out.owner, "drop_out", "rated"),
        ),
        sources=SOURCES,
        gap=across.gap,
        working=working,
    )
    if value <= NOTHING_V:
        nothing = Term("V_max", value, "V", "nothing stands across it")
        return stepped(finding, Working("V_0", (Term("V_0", value, "V", "no path"),), nothing))
    most = Term("V_max", value, "V", f"highest voltage across {drop_out.branch}")
    return stepped(finding, lost_working(solved, ends, side, (drop_out.branch,), most))


def _limit(case: Case, drop_out: DropOut, quantity: str) -> Working | None:
    """Return the drop-out voltage as stated, or for the coldest winding."""
    stated = drop_out.working
    if stated is None or quantity == BY_VOLTAGE:
        return stated
    if drop_out.stated_c is None:
        return None
    zone = case.harness.zone_of(case.harness.parts[drop_out.owner].zone)
    cold = at_temperature(
        stated.result, drop_out.stated_c, zone.ambient_c.lower, "winding at its coldest", "V_c"
    )
    return Working(cold.formula, cold.terms, cold.result, steps=(stated,))


CHECK = Check(
    name=NAME,
    judges="highest voltage at each coil while nobody asks for it, against its drop-out",
    why=WHY,
    does_not_cover="how long it takes to let go; a plunger that dirt or magnetism holds",
    sources=SOURCES,
    judge=judge,
)
