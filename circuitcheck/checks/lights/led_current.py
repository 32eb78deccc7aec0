"""Current of each lit LED: enough to be seen, not so much that it burns.

Finds       an LED whose resistor is too small for the highest supply, or too large to be seen by
Formula     I = (V - V_f) / R_s;  I_max <= the most of a small LED;  I_min >= the least to be seen
Source      common practice, no source: 2 mA to 30 mA; forward voltages are printed at about 20 mA
            (led-forward-voltage)
Worst case  highest: every live position, highest supply, lowest resistor and forward voltage.
            Lowest: positions that ask for it, else the one in which it is brightest; lowest supply
Not covered how bright it looks in the sun; its heat; flashing and dimmed LEDs
Result      two findings per LED that lights; polarity and reverse voltage: see indicator
"""

from __future__ import annotations

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.finding import NOT_JUDGED, Finding, judged
from circuitcheck.checks.stand_ins import assumed, is_stand_in
from circuitcheck.checks.workings.curve_working import curve_current_working
from circuitcheck.model.indicator import LedIndicator
from circuitcheck.record import record
from circuitcheck.solve.solution import COIL_STATES, Range
from circuitcheck.solve.worst_case import PositionSolution

NAME = "LED current"
HIGHEST, LOWEST = "highest current of the LED", "lowest current of the lit LED"
WHY = "Beyond its current an LED overheats and fails early; it needs more resistance in series."
DIM = "So little current is not seen by day: the driver takes the light for off."
ASK = "what it draws is not known: read its data sheet, or measure its current while it is lit"
SOURCES = ("common-practice", "led-forward-voltage")
MODEL_KEYS = ("forward", "series")


@record
class _Lit:
    """One curve of an LED in a position in which it conducts."""

    solved: PositionSolution
    curve: str
    current_a: Range


def judge(case: Case) -> list[Finding]:
    """Return the findings of every LED that lights in some live position."""
    findings: list[Finding] = []
    for part in case.harness.of_kind(LedIndicator):
        lit = _lit(case, part)
        if not lit:
            continue
        most = max(lit, key=lambda one: one.current_a.upper)
        findings.append(_finding(case, part, most, HIGHEST))
        asked = [one for one in lit if one.curve in one.solved.asked_for]
        brightest = max(lit, key=lambda one: one.current_a.lower)
        least = min(asked, key=lambda one: one.current_a.lower, default=brightest)
        findings.append(_finding(case, part, least, LOWEST))
    return findings


def _lit(case: Case, part: LedIndicator) -> list[_Lit]:
    """Return where it shows light at nominal values, as the check on indicators has it."""
    least_a = case.library.limit("sneak_current_a").value
    return [
        _Lit(solved, curve.name, amps)
        for state in COIL_STATES
        for solved in case.solution.live(state)
        for curve in solved.network.curves
        if curve.owner == part.name and (amps := solved.current_a(curve.name)).nominal >= least_a
    ]


def _finding(case: Case, part: LedIndicator, lit: _Lit, quantity: str) -> Finding:
    is_most = quantity == HIGHEST
    row = case.library.limit("led_highest_current_a" if is_most else "led_least_current_a")
    value = lit.current_a.upper if is_most else lit.current_a.lower
    result, reason = judged(value, row.value, at_most=is_most), WHY if is_most else DIM
    if is_stand_in(case, part.name, *MODEL_KEYS):
        result, reason = NOT_JUDGED, ASK
    return Finding(
        check=NAME,
        subject=part.name,
        result=result,
        quantity=quantity,
        reason=reason,
        position=lit.solved.position.name,
        coil_state=lit.solved.coil_state,
        value=value,
        limit=row.value,
        unit="A",
        at_most=is_most,
        conditions=(
            *lit.solved.conditions(lit.curve, "upper" if is_most else "lower"),
            *assumed(case, part.name, "type", *MODEL_KEYS),
        ),
        sources=SOURCES,
        gap=lit.current_a.gap,
        working=curve_current_working(lit.solved, lit.curve, highest=is_most),
    )


CHECK = Check(
    name=NAME,
    judges="current of each lit LED, against what it stands and what is needed to see it",
    why=WHY,
    does_not_cover="how bright it looks in the sun; its heat; flashing LEDs",
    sources=SOURCES,
    judge=judge,
)
