"""Temperatures of one winding: soaked by its use, and at the reference of its pull-in figure.

With y = 234.5 + T, b = 234.5 + T_air and y (y - b) = K A, where K = R_th / R20 belongs to the coil
and A to its supply and duty, d ln y / d ln K = (1 - b/y) / (2 - b/y). It grows with y/b, so the
ratio y_soak / y_ref is monotone in K and its largest value lies at one end of K. Both ends are
worked out. Shared ground of the pull-in check; it judges nothing itself. Source: worked-out.
"""

from __future__ import annotations

from dataclasses import replace

from circuitcheck.checks.check import Case
from circuitcheck.checks.energised_coil import EnergisedCoil
from circuitcheck.formulas.coil import steady_resistance_ohm, winding_temperature_c
from circuitcheck.formulas.wire_resistance import COPPER_ZERO_C, resistance_at_ohm
from circuitcheck.model.solenoid_coil import SolenoidCoil
from circuitcheck.solve.heat.coil_heat import press_cycle


def soaked_and_reference_c(case: Case, coil: SolenoidCoil) -> tuple[float, float]:
    """Return the temperatures of one winding, soaked and at its reference, where they differ most.

    Worked out for the coil that heats most (K upper) and the one that heats least (K lower).
    """
    heat, rth = case.solution.heat[coil.name], coil.thermal_resistance_k_per_w
    assert rth is not None  # heat.judged says so
    tau_s = None if coil.thermal_time_constant_s is None else coil.thermal_time_constant_s.lower
    duty = 1.0 if coil.duty is None else coil.duty
    cycle, pairs = press_cycle(case.harness.use), []
    ends = ((rth.upper, coil.resistance_20c_ohm.lower), (rth.lower, coil.resistance_20c_ohm.upper))
    for k_per_w, r20 in ends:
        soaked_c, _ = cycle.peak_and_rest_c(heat.supply_v, r20, heat.ambient_c, k_per_w, tau_s)
        ohm = steady_resistance_ohm(r20, coil.rated_v, coil.rated_ambient_c, k_per_w * duty)
        pairs.append((soaked_c, winding_temperature_c(ohm, r20)))
    return max(pairs, key=lambda pair: (COPPER_ZERO_C + pair[0]) / (COPPER_ZERO_C + pair[1]))


def with_hot_winding(case: Case, at: EnergisedCoil) -> EnergisedCoil:
    """Return the coil with its winding as hot as it gets and of the least resistance for that.

    V R20 / R is least there: it falls as the winding warms and rises with R20.
    """
    winding_c = case.solution.heat[at.coil.name].temperature_c.upper
    ohm = resistance_at_ohm(at.coil.resistance_20c_ohm.lower, winding_c)
    solved = at.solved.with_winding(at.coil.name, ohm, winding_c)
    across_v = solved.between_v(at.fed, at.returned)
    return replace(at, solved=solved, across_v=across_v)
