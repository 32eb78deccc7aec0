"""How the figures of a suppressor are worked out by hand.

Shared ground of the checks on suppressors; it judges nothing itself.
"""

from __future__ import annotations

from circuitcheck.checks.finding import Term, Working
from circuitcheck.formulas.suppression import diode_reverse_voltage_v


def reverse_working(highest_v: float, load_dump_v: float) -> Working:
    """Return the voltage that a diode must block: the highest supply or a load dump."""
    terms = (
        Term("V_s", highest_v, "V", "supply at the battery posts, the highest"),
        Term("V_d", load_dump_v, "V", "load dump"),
    )
    reverse_v = diode_reverse_voltage_v(highest_v, load_dump_v)
    return Working("max(V_s, V_d)", terms, Term("V_r", reverse_v, "V", "the higher of the two"))


def power_working(highest_v: float, resistance_ohm: float) -> Working:
    """Return the power of a resistor on the highest voltage that stands across it."""
    return Working(
        "V_max**2 / R_s",
        (
            Term("V_max", highest_v, "V", "highest voltage across it"),
            Term("R_s", resistance_ohm, "ohm", "suppressor, lower end"),
        ),
        Term("P", highest_v**2 / resistance_ohm, "W", "power turned to heat"),
    )
