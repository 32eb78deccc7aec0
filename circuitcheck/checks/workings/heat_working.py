"""How the temperature of a winding is worked out by hand, from presses and heat path.

Shared ground of the check on coil temperature; it judges nothing itself.
"""

from __future__ import annotations

from circuitcheck.checks.check import Case
from circuitcheck.checks.finding import Term, Working
from circuitcheck.formulas.coil import periodic_share, winding_temperature_c
from circuitcheck.formulas.wire_resistance import COPPER_ZERO_C
from circuitcheck.solve.heat.coil_heat import BURNT_C, press_cycle
from circuitcheck.solve.heat.windings import Winding, windings
from circuitcheck.solve.solution import CoilHeat


def heat_working(case: Case, coil: Winding, heat: CoilHeat) -> Working:
    """Return the temperature from the rise, with the steps that lead to it."""
    rth, hottest_c = coil.thermal_resistance_k_per_w, heat.temperature_c.upper
    assert rth is not None  # heat.judged says so
    result = Term("T", hottest_c, "degC", "winding")
    if heat.supply_v <= 0.0 or hottest_c <= heat.ambient_c:
        return Working("T_air", (Term("T_air", hottest_c, "degC", "air: it is never on"),), result)
    if hottest_c >= BURNT_C:
        return Working("T_b", (Term("T_b", BURNT_C, "degC", "it burns out on the way"),), result)
    cycle, tau = press_cycle(case.harness.use), coil.thermal_time_constant_s
    share = Term("s", 1.0, "1", "share of the steady rise: held on")
    steps: list[Working] = []
    when = "at the end of a press"
    if cycle.press_s is not None and cycle.cycle_s is not None and tau is not None:
        reached = periodic_share(cycle.press_s, cycle.cycle_s, tau.lower)
        share = Term("s", reached, "1", "share of the steady rise at the end of a press")
        times = (
            Term("t_p", cycle.press_s, "s", "longest press"),
            Term("t_c", cycle.cycle_s, "s", "from press to press"),
            Term("tau", tau.lower, "s", "time constant of the coil, lower end"),
        )
        formula = "(1 - exp(-t_p / tau)) / (1 - exp(-t_c / tau))"
        steps, when = [Working(formula, times, share)], "at the start of a press"
    r20, air_c = _together_20c_ohm(case, coil), heat.ambient_c
    # The bound counts the power at one temperature of the winding: it follows from the rise.
    ohm = rth.upper * share.value * heat.supply_v**2 / (hottest_c - air_c)
    copper = (
        Term("R_20", r20, "ohm", "winding at 20 degC, lowest of its tolerance"),
        Term("T_0", COPPER_ZERO_C, "degC", "copper would lose its resistance at minus this"),
        Term("T_w", winding_temperature_c(ohm, r20), "degC", f"winding {when}, solved with it"),
        Term("T_20", 20.0, "degC", "where R_20 holds"),
    )
    warm = Term("R_w", ohm, "ohm", f"winding {when}")
    return Working(
        "T_air + R_th * s * V**2 / R_w",
        (
            Term("T_air", air_c, "degC", "air around the coil"),
            Term("R_th", rth.upper, "K/W", "thermal resistance, winding to air"),
            share,
            Term("V", heat.supply_v, "V", "voltage at the coil"),
            warm,
        ),
        result,
        steps=(*steps, Working("R_20 * (T_0 + T_w) / (T_0 + T_20)", copper, warm)),
    )


def _together_20c_ohm(case: Case, coil: Winding) -> float:
    """Return the resistance that heats: with a pull winding that stays on, both in parallel."""
    other = next((w for w in windings(case.harness) if w.branch == coil.beside), None)
    r20 = coil.resistance_20c_ohm.lower
    if other is None or not other.carries_on:
        return r20
    beside = other.resistance_20c_ohm.lower
    return r20 * beside / (r20 + beside)
