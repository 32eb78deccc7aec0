"""Voltage lost along a conductor, and the area that keeps it within a limit."""

from __future__ import annotations

from circuitcheck.formulas.batch import require_above_zero, require_not_negative
from circuitcheck.formulas.wire_resistance import COPPER_OHM_MM2_PER_M, resistance_at_ohm


def voltage_drop_v(current_a: float, resistance_ohm_per_m: float, length_m: float) -> float:
    """Voltage lost along a conductor.

        U = I * r * L

    Source: faa-ac-43-13-1b, table 11-7 and 11-8 worked the same way.

    Parameters
    ----------
    current_a : float
        Current, 0 or more. [A]
    resistance_ohm_per_m : float
        Resistance per metre at the conductor's temperature. Above 0. [ohm/m]
    length_m : float
        Length the current runs, out and back if both are meant, 0 or more. [m]

    Returns
    -------
    float
        Voltage drop. [V]

    Raises
    ------
    ValueError
        An argument outside the range above.

    Examples
    --------
    >>> round(voltage_drop_v(2.0, 0.0185, 10.0), 3)
    0.37
    """
    require_not_negative("current_a", current_a)
    require_above_zero("resistance_ohm_per_m", resistance_ohm_per_m)
    require_not_negative("length_m", length_m)
    return current_a * resistance_ohm_per_m * length_m


def area_for_drop_mm2(
    current_a: float,
    length_m: float,
    drop_v: float,
    temperature_c: float = 20.0,
    resistivity_20c_ohm_mm2_per_m: float = COPPER_OHM_MM2_PER_M,
) -> float:
    """Area of copper that loses no more than a given voltage.

        A = rho20 * (234.5 + T) / 254.5 * I * L / U

    Round up to a listed size. Source: abyc-e-11 in its own units, CM = K * I * L / E.

    Parameters
    ----------
    current_a : float
        Current, 0 or more. [A]
    length_m : float
        Length the current runs, out and back, 0 or more. [m]
    drop_v : float
        Permitted voltage drop. Above 0. [V]
    temperature_c : float
        Conductor temperature, -100 to 400. [degC]
    resistivity_20c_ohm_mm2_per_m : float
        Resistivity at 20 degC. Above 0. [ohm mm2/m]

    Returns
    -------
    float
        Area. [mm2]

    Raises
    ------
    ValueError
        An argument outside the range above.

    Examples
    --------
    >>> round(area_for_drop_mm2(10.0, 10.0, 0.36), 2)
    4.79
    """
    require_not_negative("current_a", current_a)
    require_not_negative("length_m", length_m)
    require_above_zero("drop_v", drop_v)
    require_above_zero("resistivity_20c_ohm_mm2_per_m", resistivity_20c_ohm_mm2_per_m)
    resistivity = resistance_at_ohm(resistivity_20c_ohm_mm2_per_m, temperature_c)
    return resistivity * current_a * length_m / drop_v
