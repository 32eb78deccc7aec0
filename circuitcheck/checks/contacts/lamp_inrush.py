"""Current that a contact makes on when cold lamps hang behind it.

    I_make = I_c - I_lamps + k_1 I_1 V_s / V_1 + k_2 I_2 V_s / V_2 + ...

I_c the highest steady current, I_lamps what the warm lamps take of it at least, k hot over cold
resistance. A cold filament is its resistance over k; what lies before it is left out. Source:
lamp-starting. Shared ground of the checks on contacts; it judges nothing itself.
"""

from __future__ import annotations

from circuitcheck.checks.check import Case
from circuitcheck.checks.contacts.contact_loads import Contact
from circuitcheck.checks.finding import Term, Working
from circuitcheck.checks.workings.current_working import highest_current_working
from circuitcheck.circuit.netlist import LampCurve
from circuitcheck.record import record
from circuitcheck.solve.worst_case import PositionSolution


@record
class LampInrush:
    """The position with the largest inrush; steady is what its lamps take once they are lit."""

    solved: PositionSolution
    lamps: tuple[str, ...]
    current_a: float
    working: Working
    steady_a: float
    steady_working: Working


def lamp_inrush(case: Case, contact: Contact) -> LampInrush | None:
    """Return the largest inrush through a contact; None where no lamp hangs behind it."""
    found = [
        one
        for solved, loads in contact.uses
        if (one := _at(contact.name, solved, loads)) is not None
    ]
    return max(found, key=lambda one: one.current_a, default=None)


def _at(name: str, solved: PositionSolution, loads: frozenset[str]) -> LampInrush | None:
    curves = [c for c in solved.network.curves if c.role == "lamp" and c.name in loads]
    if not curves:
        return None
    steady = highest_current_working(solved, name)
    lit = [solved.current_a(curve.name) for curve in curves]
    supply = Term("V_s", solved.supply_v.upper, "V", "supply at the battery posts, the highest")
    least = Term("I_l", sum(amps.smallest() for amps in lit), "A", "of it, the lamps at least")
    terms, formula = [supply, steady.result, least], f"{steady.result.symbol} - I_l"
    total = steady.result.value - least.value
    for number, curve in enumerate(curves, start=1):
        lamp = curve.parameters
        assert isinstance(lamp, LampCurve)
        ratio, amps = lamp.cold_ratio.upper, lamp.current_a.upper
        terms += [
            Term(f"k_{number}", ratio, "1", f"hot over cold resistance of {curve.name}"),
            Term(f"I_{number}", amps, "A", f"current of {curve.name} at its rated voltage"),
            Term(f"V_{number}", lamp.rated_v, "V", f"rated voltage of {curve.name}"),
        ]
        formula += f" + k_{number} * I_{number} * V_s / V_{number}"
        total += ratio * amps * supply.value / lamp.rated_v
    most = sum(amps.largest() for amps in lit)
    warm = tuple(
        Term(f"I_{number}", amps.largest(), "A", f"highest steady current of {curve.name}")
        for number, (curve, amps) in enumerate(zip(curves, lit, strict=True), start=1)
    )
    return LampInrush(
        solved,
        tuple(curve.name for curve in curves),
        total,
        Working(formula, tuple(terms), Term("I_make", total, "A", "inrush"), steps=(steady,)),
        most,
        Working(
            " + ".join(term.symbol for term in warm), warm, Term("I_s", most, "A", "lamps, lit")
        ),
    )
