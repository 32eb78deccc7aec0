"""How the current of a lamp, LED or diode is worked out by hand from the voltage across it.

    diode, LED  I = (V - E) / r            straight line, r with the resistor in series
    lamp        I = I_0 (V / V_0)^n        lit;  k I_0 V / V_0 while its filament is cold

Shared ground of the checks; it judges nothing itself.
"""

from __future__ import annotations

from circuitcheck.checks.finding import Term, Working
from circuitcheck.model.tolerance_band import Band
from circuitcheck.solve.circuit_point import point_of_bound
from circuitcheck.solve.curves.curves import Lamp, StraightDiode
from circuitcheck.solve.worst_case import PositionSolution

BLOCKED_A = 1e-9
"""Less than this is what a blocking diode leaks."""
LED_WORDS = {"LED": "LED with its resistor", "diode": "diode", "suppressor": "diode"}


def curve_current_working(
    solved: PositionSolution, name: str, *, highest: bool = True, symbol: str = "I_x"
) -> Working:
    """Return how the largest (or smallest) current of a curve follows from its voltage."""
    amps = solved.current_a(name)
    value = amps.largest() if highest else amps.smallest()
    result = Term(symbol, value, "A", f"current of {name}")
    number = {one.name: j for j, one in enumerate(solved.ranges.active)}.get(name)
    if number is None or value == 0.0:
        return Working("I_0", (Term("I_0", value, "A", "it never conducts here"),), result)
    element = len(solved.network.branches) + [c.name for c in solved.network.curves].index(name)
    side = "upper" if (abs(amps.upper) >= abs(amps.lower)) == highest else "lower"
    point = point_of_bound(solved, solved.ranges.currents[element], side)
    row = len(solved.network.branches) + number
    found = point.solution()
    volts, reached = abs(float(found.branch_v[row, 0])), abs(float(found.branch_a[row, 0]))
    across = Term("V_x", volts, "V", f"voltage across {name} in this worst case")
    curve, end = solved.ranges.active[number].curve, point.end_of_curve(name)
    if reached < BLOCKED_A:
        return Working("I_0", (Term("I_0", value, "A", "it blocks: leakage alone"),), result)
    if isinstance(curve, StraightDiode):
        formula, terms = _straight(curve, end, solved.ranges.active[number].role)
    else:
        formula, terms = _lamp(curve, end, volts)
    gap = Term("g", value - reached, "A", "by which the bound may stand off (gap)")
    if abs(gap.value) > 1e-7 * value:
        return Working(f"{formula} + g", (across, *terms, gap), result)
    return Working(formula, (across, *terms), result)


def _straight(curve: StraightDiode, end: int, role: str) -> tuple[str, tuple[Term, ...]]:
    drop = Term("E", _at(curve.drop_v, end), "V", f"{LED_WORDS[role]} conducts above it")
    slope = Term("r", _at(curve.slope_ohm, end), "ohm", "rise per ampere, series resistor included")
    return "(V_x - E) / r", (drop, slope)


def _lamp(curve: Lamp, end: int, volts: float) -> tuple[str, tuple[Term, ...]]:
    # A lamp conducts best at its highest current: its band runs the other way round.
    rated_a, ratio = _at(curve.current_a, -end), _at(curve.cold_ratio, -end)
    terms = (
        Term("I_0", rated_a, "A", "current at rated voltage"),
        Term("V_0", curve.rated_v, "V", "rated voltage of the lamp"),
    )
    if ratio * volts / curve.rated_v < (volts / curve.rated_v) ** curve.exponent:
        cold = Term("k", ratio, "1", "hot over cold resistance: the filament is cold")
        return "k * I_0 * V_x / V_0", (*terms, cold)
    return "I_0 * (V_x / V_0)**n", (*terms, Term("n", curve.exponent, "1", "exponent of lamps"))


def _at(band: Band, end: int) -> float:
    return (band.nominal, band.upper, band.lower)[end]
