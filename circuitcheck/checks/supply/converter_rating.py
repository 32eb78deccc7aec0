"""Converters: load against what they deliver, input against the range they work in.

Finds       a converter that its loads overload, or that the supply takes out of its range
Formula     I_out <= I_rated;  V_in,min >= V_lower;  V_in,max <= V_upper of its input range
Source      common practice, no source: the figures printed on it hold for good, in its own air
Worst case  all that can be on behind it, coils cold and at their lowest resistance; input at the
            weakest supply with everything on, and at the highest
Not covered start-up with cold lamps or capacitors behind it; its derating in heat; radio noise
Result      one finding on load and two on input per converter
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.finding import NOT_JUDGED, Finding, Term, Working, judged
from circuitcheck.checks.stand_ins import is_stand_in
from circuitcheck.checks.workings.current_working import highest_current_working
from circuitcheck.circuit.netlist import ConverterBranch
from circuitcheck.model.converter import Converter
from circuitcheck.solve.solution import COIL_STATES
from circuitcheck.solve.worst_case import PositionSolution

NAME = "converter rating"
WHY = "An overloaded converter limits its current or shuts down, and everything behind it stops."
RANGE_WHY = "Outside its input range a converter shuts down or is destroyed."
LOAD = "highest current of its output"
LOWEST, HIGHEST = "lowest voltage at its input", "highest voltage at its input"
ASK = "its input range is not given: read it on the converter"
ASK_LOAD = "its rated output current is not given: read it on the converter"
SOURCES = ("common-practice",)
At = tuple[PositionSolution, ConverterBranch]


def judge(case: Case) -> list[Finding]:
    """Return the findings of every converter that some live position feeds."""
    found: dict[str, list[At]] = {}
    for state in COIL_STATES:
        for solved in case.solution.live(state):
            for one in solved.ranges.converters:
                found.setdefault(one.name, []).append((solved, one))
    parts = {part.name: part for part in case.harness.of_kind(Converter)}
    return [finding for name, at in found.items() for finding in _findings(case, parts[name], at)]


def _findings(case: Case, part: Converter, every: list[At]) -> Iterator[Finding]:
    solved, load = max(((at[0], _load(*at)) for at in every), key=lambda pair: pair[1].result.value)
    rated_a = None if is_stand_in(case, part.name, "rated_current") else part.rated_a
    yield _finding(part, LOAD, solved, load, rated_a, "A", True)
    lower, upper = part.input_v if part.input_v is not None else (None, None)
    ends = [(solved, solved.between_v(*_input(solved, one))) for solved, one in every]
    solved, volts = min(ends, key=lambda end: end[1].lower)
    low = _input_working(part, volts.lower)
    yield _finding(part, LOWEST, solved, low, lower, "V", False, volts.gap)
    solved, volts = max(ends, key=lambda end: end[1].upper)
    high = _input_working(part, volts.upper)
    yield _finding(part, HIGHEST, solved, high, upper, "V", True, volts.gap)


def _load(solved: PositionSolution, one: ConverterBranch) -> Working:
    """Return the currents of all that hangs on the output, added up."""
    names = [
        branch.name
        for branch in solved.network.branches
        if one.output in (branch.start, branch.end)
    ]
    steps = tuple(
        highest_current_working(solved, name, f"I_{number}")
        for number, name in enumerate(names, start=1)
    )
    terms = tuple(step.result for step in steps)
    total = Term("I_out", sum(term.value for term in terms), "A", LOAD)
    if not terms:
        return Working("I_0", (Term("I_0", 0.0, "A", "nothing hangs on it"),), total)
    return Working(" + ".join(term.symbol for term in terms), terms, total, steps=steps)


def _input(solved: PositionSolution, one: ConverterBranch) -> tuple[str, str]:
    names = solved.network.node_names
    return names[one.source], names[one.minus]


def _input_working(part: Converter, volts: float) -> Working:
    term = Term("V_in", volts, "V", f"solved from {part.name}.in to {part.name}.minus, worst case")
    return Working("V_in", (term,), term)


def _finding(
    part: Converter,
    quantity: str,
    solved: PositionSolution,
    working: Working,
    limit: float | None,
    unit: str,
    at_most: bool,
    gap: float = 0.0,
) -> Finding:
    value, is_load = working.result.value, quantity == LOAD
    return Finding(
        check=NAME,
        subject=part.name,
        result=NOT_JUDGED if limit is None else judged(value, limit, at_most=at_most),
        quantity=quantity,
        reason=(ASK_LOAD if is_load else ASK) if limit is None else WHY if is_load else RANGE_WHY,
        position=solved.position.name,
        coil_state=solved.coil_state,
        value=value,
        limit=limit,
        unit=unit,
        at_most=at_most,
        conditions=(f"supply {solved.supply_v.lower:.1f} V to {solved.supply_v.upper:.1f} V",),
        sources=SOURCES,
        gap=gap,
        working=working,
    )


CHECK = Check(
    name=NAME,
    judges="load of each converter against its rating, and its input against its range",
    why=WHY,
    does_not_cover="start-up currents; derating in heat; radio noise",
    sources=SOURCES,
    judge=judge,
)
