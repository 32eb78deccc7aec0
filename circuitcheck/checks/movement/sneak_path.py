"""Sneak paths: loads that carry current in a position in which nobody asked for them.

Finds       a lamp that glows, a coil or relay that is half on, by a path through other loads
Formula     lamp, winding  V_max <= V_notice;  LED  I_max <= I_notice
            V_notice: a quarter of the lamp's rated voltage, below it a filament shows no light; the
            drop-out voltage of the cold winding. I_notice: an LED glimmers above it.
Source      common practice, no source, for what is noticed; relay-data-sheet and valve-coil-ranges
            for drop-out. Who asked is read from the solved circuit: a load is asked for where
            closed contacts and wires alone lead to it and back.
Worst case  every live position, coils cold and soaked, each load where its current is largest
Not covered paths that open up only when a wire or fuse is lost; less than a tenth of a milliampere
Result      one finding per load that carries more than that unasked, with the path; a lamp or LED
            that no position ever asks for is wired to light through another load, and passes
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.finding import NOT_JUDGED, PASS, Finding, Term, Working, judged, worst
from circuitcheck.checks.movement.noticed import Noticed, noticed_at
from circuitcheck.checks.workings.current_path import current_path
from circuitcheck.circuit.netlist import WINDINGS
from circuitcheck.solve.solution import COIL_STATES
from circuitcheck.solve.worst_case import PositionSolution
from circuitcheck.units import text

NAME = "sneak path"
WHY = "A lamp that glows unasked tells a lie; a coil that is half on may stay on or let go late."
MEANT = "No position asks for it by itself: it is wired to light through another load."
ASK = "the drop-out voltage is not known: read it in the data sheet"
SOURCES = ("common-practice", "relay-data-sheet", "valve-coil-ranges")


def judge(case: Case) -> list[Finding]:
    """Return one finding per load that carries current unasked, in its worst position."""
    least_a = case.library.limit("sneak_current_a").value
    asked = frozenset(
        name for solved in case.solution.live(COIL_STATES[0]) for name in solved.asked_for
    )
    found: dict[str, list[Finding]] = {}
    for state in COIL_STATES:
        for solved in case.solution.live(state):
            for name in _unasked(solved, least_a):
                found.setdefault(name, []).append(_finding(case, solved, name, name in asked))
    return [worst(sorted(some, key=lambda f: -(f.value or 0.0))) for some in found.values()]


def _unasked(solved: PositionSolution, least_a: float) -> Iterator[str]:
    """Yield the windings, lamps and LEDs that carry more than a current without being asked."""
    roles = {branch.name: branch.role for branch in solved.network.branches}
    roles |= {curve.name: curve.role for curve in solved.network.curves}
    for name in solved.carrying(least_a):
        if roles[name] in (*WINDINGS, "lamp", "LED") and name not in solved.asked_for:
            yield name


def _finding(case: Case, solved: PositionSolution, name: str, is_asked: bool) -> Finding:
    notice, path = noticed_at(case, solved, name), current_path(solved, name)
    limit = None if notice.limit is None else notice.limit.result.value
    amps = solved.current_a(name).largest()
    if notice.is_light and not is_asked:
        result, reason, limit = PASS, MEANT, None
    elif limit is None:
        result, reason = NOT_JUDGED, ASK
    else:
        result, reason = judged(notice.value, limit), WHY
    return Finding(
        check=NAME,
        subject=notice.owner,
        result=result,
        quantity=notice.quantity,
        reason=reason,
        position=solved.position.name,
        coil_state=solved.coil_state,
        value=notice.value,
        limit=limit,
        unit=notice.unit,
        conditions=(
            f"path: {', '.join(path)}",
            f"up to {text(amps, 'A')} through {name}",
            *solved.conditions(name, notice.side),
        ),
        sources=SOURCES,
        gap=notice.gap,
        working=_working(notice, limit),
    )


def _working(notice: Noticed, limit: float | None) -> Working:
    """Return how the value is worked out, with the limit as a step before it."""
    steps = () if notice.limit is None or limit is None else (notice.limit,)
    value = notice.working
    result = Term(value.result.symbol, notice.value, notice.unit, value.result.meaning)
    return Working(value.formula, value.terms, result, value.probe, (*value.steps, *steps))


CHECK = Check(
    name=NAME,
    judges="current of each load while nobody asks for it, against what the load notices",
    why=WHY,
    does_not_cover="paths that open up when a wire or fuse is lost",
    sources=SOURCES,
    judge=judge,
)
