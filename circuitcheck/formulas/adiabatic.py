"""Heating of a conductor by a fault so short that no heat leaves it."""

from __future__ import annotations

import math

from circuitcheck.formulas.batch import require_above_zero, require_not_negative
from circuitcheck.formulas.wire_resistance import COPPER_ZERO_C
from circuitcheck.record import record

COPPER_K_LEAD = 226.0  # A s**0.5 / mm2, iec-60364-5-54


@record
class Metal:
    """Adiabatic constants of a conductor: resistance is zero at -`zero_c`, `k_lead` leads k.

    k_lead = sqrt(Q_c * (zero_c + 20) / rho_20)
    """

    zero_c: float
    k_lead: float


COPPER = Metal(COPPER_ZERO_C, COPPER_K_LEAD)


def adiabatic_k(initial_c: float, final_c: float, metal: Metal = COPPER) -> float:
    """Adiabatic constant of a conductor between two temperatures.

        k = k_lead * sqrt(ln((Z + T_final) / (Z + T_initial))), copper: 226 and 234.5

    Source: iec-60364-5-54.

    Parameters
    ----------
    initial_c : float
        Conductor temperature before the fault. Above -Z. [degC]
    final_c : float
        Highest permitted temperature; not below `initial_c`. [degC]
    metal : Metal
        Constants of the conductor; copper if left out.

    Returns
    -------
    float
        k. [A s**0.5 / mm2]

    Raises
    ------
    ValueError
        A temperature outside the range above.

    Examples
    --------
    >>> round(adiabatic_k(70.0, 160.0))
    115
    """
    require_above_zero(f"initial_c + {metal.zero_c:g}", metal.zero_c + initial_c)
    require_not_negative("final_c - initial_c", final_c - initial_c)
    ratio = (metal.zero_c + final_c) / (metal.zero_c + initial_c)
    return metal.k_lead * math.sqrt(math.log(ratio))


def withstand_time_s(
    area_mm2: float, current_a: float, initial_c: float, final_c: float, metal: Metal = COPPER
) -> float:
    """Time a conductor takes from one temperature to another at a fault current.

        t = (k * A / I) ** 2

    Holds up to about 5 s; beyond, heat leaves the wire and the true time is longer, so the
    value stays on the safe side. Source: iec-60364-5-54.

    Parameters
    ----------
    area_mm2 : float
        Area of the conductor. Above 0. [mm2]
    current_a : float
        Fault current. Above 0. [A]
    initial_c, final_c, metal
        As `adiabatic_k`. [degC]

    Returns
    -------
    float
        Time. [s]

    Raises
    ------
    ValueError
        An argument outside the range above.

    Examples
    --------
    >>> round(withstand_time_s(1.5, 200.0, 70.0, 160.0), 2)
    0.74
    """
    require_above_zero("area_mm2", area_mm2)
    require_above_zero("current_a", current_a)
    return (adiabatic_k(initial_c, final_c, metal) * area_mm2 / current_a) ** 2


def withstand_current_a(
    area_mm2: float, time_s: float, initial_c: float, final_c: float, metal: Metal = COPPER
) -> float:
    """Fault current a conductor stands for a time.

        I = k * A / sqrt(t)

    Source: iec-60364-5-54. Arguments and errors as `withstand_time_s`.

    Examples
    --------
    >>> round(withstand_current_a(1.0, 1.0, 70.0, 160.0))
    115
    """
    require_above_zero("area_mm2", area_mm2)
    require_above_zero("time_s", time_s)
    return adiabatic_k(initial_c, final_c, metal) * area_mm2 / math.sqrt(time_s)


def temperature_after_c(
    area_mm2: float, current_a: float, time_s: float, initial_c: float, metal: Metal = COPPER
) -> float:
    """Conductor temperature after a fault current has flowed for a time.

        T = (Z + T_initial) * exp(t * (I / (k_lead * A)) ** 2) - Z, copper: 234.5 and 226

    The same balance solved for the temperature; an upper bound, as no heat leaves the wire.
    Source: iec-60364-5-54.

    Parameters
    ----------
    area_mm2 : float
        Area of the conductor. Above 0. [mm2]
    current_a : float
        Fault current, 0 or more. [A]
    time_s : float
        Duration, 0 or more. [s]
    initial_c : float
        Conductor temperature before the fault. Above -Z. [degC]
    metal : Metal
        Constants of the conductor; copper if left out.

    Returns
    -------
    float
        Temperature; infinite where it leaves the range of numbers. [degC]

    Raises
    ------
    ValueError
        An argument outside the range above.

    Examples
    --------
    >>> round(temperature_after_c(1.5, 200.0, 0.744, 70.0))
    160
    """
    require_above_zero("area_mm2", area_mm2)
    require_not_negative("current_a", current_a)
    require_not_negative("time_s", time_s)
    require_above_zero(f"initial_c + {metal.zero_c:g}", metal.zero_c + initial_c)
    exponent = time_s * (current_a / (metal.k_lead * area_mm2)) ** 2
    if exponent > 700.0:
        return math.inf
    return (metal.zero_c + initial_c) * math.exp(exponent) - metal.zero_c
