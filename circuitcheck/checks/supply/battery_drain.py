"""Battery drain at rest: current drawn with the key off and nothing pressed.

Finds       an add-on that empties the battery while the machine stands: an indicator before the
            key, a converter that idles, a relay left pulled in
Formula     I = sum of the currents back to battery minus, the machine's own loads left out;
            t = C / 2 / I, the time in which half of the capacity C is used
Source      common practice, no source: 50 mA for a whole machine at rest; four weeks until half of
            the battery is used, so that it still cranks
Worst case  supply of the resting battery at its highest, everything at its lowest resistance
Not covered what the machine itself draws; self-discharge; a battery that is old or half empty
Result      one finding on the current; where there is one, one on the time
"""

from __future__ import annotations

from dataclasses import replace

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, Finding, Term, Working, judged
from circuitcheck.checks.workings.current_working import highest_current_working
from circuitcheck.circuit.netlist import Branch
from circuitcheck.model.supply_tap import SupplyTap
from circuitcheck.solve.solution import COLD_START
from circuitcheck.solve.worst_case import PositionSolution

NAME = "battery drain"
WHY = "What draws current while the machine stands leaves it with a flat battery."
CURRENT = "current drawn with the key off and nothing pressed"
TIME = "time until half of the battery is used"
ASK_BATTERY = "the battery's capacity is not known: read its ampere-hours on the label"
NOTHING_A = 1e-9
SOURCES = ("common-practice",)


def judge(case: Case) -> list[Finding]:
    """Return the findings on current and time; none where the file has no resting position."""
    for solved in case.solution.positions:
        position = solved.position
        if position.key == "key off" and not position.pressed and solved.coil_state == COLD_START:
            return _at_rest(case, solved)
    return []


def _at_rest(case: Case, solved: PositionSolution) -> list[Finding]:
    drawn = _drawn(solved) if solved.network.live else Working(
        "I_0", (Term("I_0", 0.0, "A", "no tap is live with the key off"),),
        Term("I", 0.0, "A", CURRENT),
    )  # fmt: skip
    value, limit = drawn.result.value, case.library.limit("battery_drain_off_a")
    current = _finding(solved, CURRENT, "A", value, limit.value, drawn)
    if current.result == FAIL and (unknown := _unknown_taps(case)):
        current = replace(current, result=NOT_JUDGED, reason=unknown)
    if value <= NOTHING_A:
        return [current]
    return [current, _time(case, solved, drawn)]


def _drawn(solved: PositionSolution) -> Working:
    """Return how the current back to battery minus adds up; the machine's own returns apart."""
    ways = [branch for branch in solved.network.branches if _leads_back(solved, branch)]
    steps = tuple(
        highest_current_working(solved, branch.name, f"I_{number}")
        for number, branch in enumerate(ways, start=1)
    )
    if len(steps) == 1:
        return steps[0]
    terms = tuple(step.result for step in steps)
    total = Term("I", sum(term.value for term in terms), "A", CURRENT)
    return Working(" + ".join(term.symbol for term in terms), terms, total, steps=steps)


def _leads_back(solved: PositionSolution, branch: Branch) -> bool:
    reference = solved.network.reference
    return reference in (branch.start, branch.end) and branch.role != "present load"


def _time(case: Case, solved: PositionSolution, drawn: Working) -> Finding:
    battery, limit = case.harness.battery, case.library.limit("battery_rest_h")
    row = case.library.batteries.get(battery.type)
    if row is None:
        return _finding(solved, TIME, "h", None, limit.value, None)
    terms = (
        Term("C", row.capacity_ah, "Ah", f"capacity of {battery.type}"),
        Term("I_d", drawn.result.value, "A", CURRENT),
    )
    hours = row.capacity_ah / 2.0 / drawn.result.value
    working = Working("C / 2 / I_d", terms, Term("t", hours, "h", TIME), steps=(drawn,))
    finding = _finding(solved, TIME, "h", hours, limit.value, working)
    if finding.result == FAIL and (unknown := _unknown_taps(case)):
        return replace(finding, result=NOT_JUDGED, reason=unknown)
    return finding


def _unknown_taps(case: Case) -> str:
    taps = [tap.name for tap in case.harness.of_kind(SupplyTap) if tap.upstream.key == "unknown"]
    if not taps:
        return ""
    return (
        f"it is not known whether {', '.join(taps)} is live with the key off: measure the voltage "
        "there with the key off"
    )


def _finding(
    solved: PositionSolution,
    quantity: str,
    unit: str,
    value: float | None,
    limit: float,
    working: Working | None,
) -> Finding:
    is_current = unit == "A"
    return Finding(
        check=NAME,
        subject="",
        result=NOT_JUDGED if value is None else judged(value, limit, at_most=is_current),
        quantity=quantity,
        reason=ASK_BATTERY if value is None else WHY,
        position=solved.position.name,
        coil_state=solved.coil_state,
        value=value,
        limit=limit,
        unit=unit,
        at_most=is_current,
        conditions=(f"supply {solved.supply_v.upper:.1f} V, the highest of a resting battery",),
        sources=SOURCES,
        working=working,
    )


CHECK = Check(
    name=NAME,
    judges="current drawn with key off and nothing pressed, and how long the battery lasts",
    why=WHY,
    does_not_cover="what the machine itself draws; self-discharge",
    sources=SOURCES,
    judge=judge,
)
