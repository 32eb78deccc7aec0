"""Temperatures of one winding: soaked by its use, and at the reference of its pull-in figure.

With y = 234.5 + T, b = 234.5 + T_air and y (y - b) = K A, where K = R_th / R20 belongs to the coil
and A to its supply and duty, d ln y / d ln K = (1 - b/y) / (2 - b/y). It grows with y/b, so the
ratio y_soak / y_ref is monotone in K and its largest value lies at one end of K. Both ends are
worked out. Source: worked-out.
"""

from __future__ import annotations

from circuitcheck.formulas.coil import steady_resistance_ohm, winding_temperature_c
from circuitcheck.formulas.wire_resistance import COPPER_ZERO_C, resistance_at_ohm
from circuitcheck.model.solenoid_coil import SolenoidCoil
from circuitcheck.solve.heat.coil_heat import press_cycle
from circuitcheck.solve.worst_case import Solution


def soaked_and_reference_c(solution: Solution, coil: SolenoidCoil) -> tuple[float, float]:
    """Return the temperatures of one winding, soaked and at its reference, where they differ most.

    Worked out for the coil that heats most (K upper) and the one that heats least (K lower). Its
    thermal resistance must be known. [degC]
    """
    heat, rth = solution.heat[coil.name], coil.thermal_resistance_k_per_w
    assert rth is not None
    tau_s = None if coil.thermal_time_constant_s is None else coil.thermal_time_constant_s.lower
    duty = 1.0 if coil.duty is None else coil.duty
    cycle, pairs = press_cycle(solution.harness.use), []
    ends = ((rth.upper, coil.resistance_20c_ohm.lower), (rth.lower, coil.resistance_20c_ohm.upper))
    for k_per_w, r20 in ends:
        soaked_c, _ = cycle.peak_and_rest_c(heat.supply_v, r20, heat.ambient_c, k_per_w, tau_s)
        ohm = steady_resistance_ohm(r20, coil.rated_v, coil.rated_ambient_c, k_per_w * duty)
        pairs.append((soaked_c, winding_temperature_c(ohm, r20)))
    return max(pairs, key=_ratio)


def reference_ohm(solution: Solution, coil: SolenoidCoil) -> float:
    """Return the resistance that a coil's pull-in and drop-out figures are stated for. [ohm]

        R = R20 (234.5 + T_max) / (234.5 + 20) * (234.5 + T_ref) / (234.5 + T_soak)

    Of the winding of least resistance: it belongs to the one as hot as its use makes it, T_max,
    so that current over what is needed is there what voltage over what is needed is. The cold
    winding at 20 degC where its heat is not known.
    """
    r20 = coil.resistance_20c_ohm.lower
    heat = solution.heat[coil.name]
    if coil.thermal_resistance_k_per_w is None or not heat.judged:
        return r20
    hot_ohm = resistance_at_ohm(r20, heat.temperature_c.upper)
    return hot_ohm / _ratio(soaked_and_reference_c(solution, coil))


def _ratio(pair: tuple[float, float]) -> float:
    soaked_c, reference_c = pair
    return (COPPER_ZERO_C + soaked_c) / (COPPER_ZERO_C + reference_c)
