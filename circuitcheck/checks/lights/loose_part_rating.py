"""Diodes and resistors that are parts of their own: current, reverse voltage, power in the heat.

Finds       a steering diode that its load overloads or a load dump breaks down; a resistor that its
            own heat burns
Formula     diode     I_max <= I_F;  where it ever blocks: max(V_reverse, V_load dump) <= V_R
            resistor  V_max^2 / R_min <= P f,  f = 1 up to 70 degC, (155 - T) / (155 - 70) above
Source      iso-16750-2 (load dump, with clamp unless the file says none), rectifier-diode-types
            (ratings); that a resistor is derated from 70 degC to nothing at 155 degC is common
            practice, no source
Worst case  highest supply, coils cold and at their lowest resistance, all that can be on together;
            the hottest air of the zone
Not covered what sits across a coil (see suppression rating); inrush of lamps through a diode; how a
            diode is cooled
Result      per diode one finding on its current, one on its reverse voltage; one per resistor
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.finding import NOT_JUDGED, PASS, Finding, Term, Working, judged
from circuitcheck.checks.finite import finite
from circuitcheck.checks.release.suppressed import suppressed_windings
from circuitcheck.checks.release.suppressor_working import power_working, reverse_working
from circuitcheck.checks.stand_ins import is_stand_in
from circuitcheck.checks.workings.curve_working import curve_current_working
from circuitcheck.model.diode import Diode
from circuitcheck.model.resistor import Resistor
from circuitcheck.solve.solution import COLD_START
from circuitcheck.solve.worst_case import PositionSolution
from circuitcheck.transient.supply_events import load_dump
from circuitcheck.units import text

NAME = "diode and resistor rating"
WHY = "A diode that breaks down joins what it should keep apart; an overloaded one burns open."
HOT = "A resistor beyond its rating discolours, drifts and burns what it lies on."
CURRENT, REVERSE, POWER = "highest current", "reverse voltage", "power turned to heat"
ASK = "is not given: read it in its data sheet"
LEAST_V = 0.5
"""Less than this the wrong way round is no blocking."""
SOURCES = ("iso-16750-2", "rectifier-diode-types", "common-practice")


def judge(case: Case) -> list[Finding]:
    """Return the findings of every diode and resistor that is not across a coil."""
    across = {name for winding in suppressed_windings(case) for name, _ in winding.beside}
    live = case.solution.live(COLD_START)
    findings: list[Finding] = []
    for part in case.harness.parts.values():
        if part.name in across or not live:
            continue
        if isinstance(part, Diode):
            findings += _diode(case, part, live)
        elif isinstance(part, Resistor):
            findings.append(_resistor(case, part, live))
    return findings


def _diode(case: Case, part: Diode, live: tuple[PositionSolution, ...]) -> Iterator[Finding]:
    name = part.name
    most = max(live, key=lambda solved: finite(solved.current_a(name)).largest())
    amps = finite(most.current_a(name))
    working = curve_current_working(most, name)
    rated_a = None if is_stand_in(case, name, "current") else part.current_a
    yield _finding(name, CURRENT, WHY, most, amps.largest(), rated_a, "A",
                   most.conditions(name, "upper"), amps.gap, working)  # fmt: skip
    blocked = min(live, key=lambda solved: finite(solved.across_v(name)).lower)
    reverse_v = -finite(blocked.across_v(name)).lower
    dump = load_dump(
        case.library, case.harness.system_v, clamped=case.harness.conditions.load_dump_clamped
    )
    if reverse_v <= LEAST_V:
        words = ("it never has to block",)
        nothing = Term("V_r", max(0.0, reverse_v), "V", "highest reverse voltage in any position")
        work = Working("V_r", (nothing,), nothing)
        yield _finding(name, REVERSE, WHY, blocked, nothing.value, part.reverse_v, "V", words, 0.0,
                       work)  # fmt: skip
        return
    work = reverse_working(reverse_v, dump.supply_v)
    words = (f"{dump.name}, {text(dump.supply_v, 'V')}",)
    yield _finding(name, REVERSE, WHY, blocked, work.result.value, part.reverse_v, "V", words, 0.0,
                   work)  # fmt: skip


def _resistor(case: Case, part: Resistor, live: tuple[PositionSolution, ...]) -> Finding:
    name = part.name
    most = max(live, key=lambda solved: finite(solved.across_v(name)).largest())
    across, ohm = finite(most.across_v(name)), part.resistance_ohm.lower
    working = power_working(across.largest(), ohm)
    air_c = case.harness.zone_of(part.zone).ambient_c.upper
    limit, words = None, (f"air {air_c:.0f} degC, the hottest of its zone",)
    if part.power_w is not None:
        full_c = case.library.limit("resistor_full_power_c").value
        none_c = case.library.limit("resistor_no_power_c").value
        share = min(1.0, max(0.0, (none_c - air_c) / (none_c - full_c)))
        limit = part.power_w * share
        terms = (
            Term("P_r", part.power_w, "W", "power rating"),
            Term("f", share, "1", f"share left in air of {air_c:.0f} degC"),
        )
        step = Working("P_r * f", terms, Term("P_l", limit, "W", "power it stands there"))
        working = Working(working.formula, working.terms, working.result, steps=(step,))
    return _finding(name, POWER, HOT, most, working.result.value, limit, "W", words, 0.0, working)


def _finding(
    subject: str,
    quantity: str,
    why: str,
    solved: PositionSolution,
    value: float,
    limit: float | None,
    unit: str,
    words: tuple[str, ...],
    gap: float,
    working: Working,
) -> Finding:
    result = NOT_JUDGED if limit is None else judged(value, limit)
    if limit is None and value <= 0.0:
        result = PASS
    return Finding(
        NAME, subject, result, quantity, f"its {quantity} rating {ASK}" if limit is None else why,
        solved.position.name, solved.coil_state, value, limit, unit, conditions=words,
        sources=SOURCES, gap=gap, working=working,
    )  # fmt: skip


CHECK = Check(
    name=NAME,
    judges="current and reverse voltage of each diode, power of each resistor, not across a coil",
    why=WHY,
    does_not_cover="what sits across a coil; inrush through a diode; how it is cooled",
    sources=SOURCES,
    judge=judge,
)
