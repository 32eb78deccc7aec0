"""What a load notices: the voltage or current from which it shows light, or does not let go.

Shared ground of the check on sneak paths; it judges nothing itself.
"""

from __future__ import annotations

from circuitcheck.checks.check import Case
from circuitcheck.checks.contacts.hot_relay import at_temperature
from circuitcheck.checks.finding import Term, Working
from circuitcheck.checks.release.released_winding import DropOut, drop_outs
from circuitcheck.checks.workings.current_working import lost_working
from circuitcheck.checks.workings.curve_working import curve_current_working
from circuitcheck.circuit.netlist import LampCurve
from circuitcheck.record import record
from circuitcheck.solve.worst_case import PositionSolution


@record
class Noticed:
    """A load that carries current: how much, and from where on it is noticed.

    `limit` is None where it is not known. `side` is the end of the range that the value is.
    """

    owner: str
    quantity: str
    unit: str
    value: float
    gap: float
    side: str
    working: Working
    limit: Working | None
    is_light: bool


def noticed_at(case: Case, solved: PositionSolution, name: str) -> Noticed:
    """Return the value of a load by its kind: voltage of lamps and windings, current of LEDs."""
    curve = next((curve for curve in solved.network.curves if curve.name == name), None)
    if curve is not None and curve.role == "LED":
        limit = case.library.limit("sneak_current_a")
        term = Term("I_g", limit.value, "A", "an LED glimmers above it")
        amps = solved.current_a(name)
        working = curve_current_working(solved, name)
        return Noticed(curve.owner, "current of the LED while nobody asks for it", "A",
                       amps.largest(), amps.gap, _side(amps.lower, amps.upper), working,
                       Working("I_g", (term,), term), True)  # fmt: skip
    across = solved.across_v(name)
    side, value = _side(across.lower, across.upper), across.largest()
    element = curve or solved.network.branches[solved.network.branch_of[name]]
    ends = (solved.network.node_names[element.start], solved.network.node_names[element.end])
    result = Term("V_max", value, "V", f"highest voltage across {name}")
    working = lost_working(solved, ends, side, (name,), result)
    if curve is not None and isinstance(curve.parameters, LampCurve):
        glow = _glow(case, curve.parameters.rated_v)
        words = "voltage across the lamp while nobody asks for it"
        return Noticed(curve.owner, words, "V", value, across.gap, side, working, glow, True)
    words = "voltage across the winding while nobody asks for it"
    limit_of = _let_go(case, name)
    return Noticed(element.owner, words, "V", value, across.gap, side, working, limit_of, False)


def _side(lower: float, upper: float) -> str:
    return "upper" if abs(upper) >= abs(lower) else "lower"


def _glow(case: Case, rated_v: float) -> Working:
    share = case.library.limit("lamp_glow_fraction")
    terms = (
        Term("s", share.value, "1", "share of rated voltage below which a filament is dark"),
        Term("V_0", rated_v, "V", "rated voltage of the lamp"),
    )
    return Working("s * V_0", terms, Term("V_n", share.value * rated_v, "V", "lamp begins to glow"))


def _let_go(case: Case, name: str) -> Working | None:
    """Return the drop-out voltage of the winding at its coldest; None where it is not known."""
    found: DropOut | None = next((one for one in drop_outs(case) if one.branch == name), None)
    if found is None or found.working is None or found.stated_c is None:
        return None
    zone = case.harness.zone_of(case.harness.parts[found.owner].zone)
    cold_c, stated = zone.ambient_c.lower, found.working
    cold = at_temperature(stated.result, found.stated_c, cold_c, "winding at its coldest", "V_n")
    return Working(cold.formula, cold.terms, cold.result, steps=(stated,))
