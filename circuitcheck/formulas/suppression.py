"""A coil switched off: stored energy, what a suppressor lets through, how long current lasts."""

from __future__ import annotations

import math

from circuitcheck.formulas.batch import require_above_zero, require_not_negative


def stored_energy_j(inductance_h: float, current_a: float) -> float:
    """Energy in a coil's field.

        W = L * I ** 2 / 2

    What a switch contact must burn when there is no suppression; the bare peak voltage cannot be
    worked out from L and R. Source: openstax-university-physics, inductance.

    Parameters
    ----------
    inductance_h : float
        Inductance, plunger seated. Above 0. [H]
    current_a : float
        Current before switch-off, 0 or more. [A]

    Returns
    -------
    float
        Energy. [J]

    Raises
    ------
    ValueError
        An argument outside the range above.

    Examples
    --------
    >>> round(stored_energy_j(0.06, 1.67), 3)
    0.084
    """
    require_above_zero("inductance_h", inductance_h)
    require_not_negative("current_a", current_a)
    return inductance_h * current_a**2 / 2.0


def decay_time_s(
    inductance_h: float,
    loop_ohm: float,
    start_a: float,
    end_a: float,
    clamp_v: float = 0.0,
) -> float:
    """Time a coil's current takes to fall through a suppressor.

        t = L / R * ln((I0 * R + U) / (I * R + U))

    R is coil plus suppressor resistance, U the constant voltage of diode and Zener. Holds for a
    coil whose inductance does not change. Source: openstax-university-physics m58752 for U = 0.

    Parameters
    ----------
    inductance_h : float
        Inductance. Above 0. [H]
    loop_ohm : float
        Coil and suppressor resistance in series. Above 0. [ohm]
    start_a, end_a : float
        Currents; `end_a` above 0 and not above `start_a`. [A]
    clamp_v : float
        Constant voltage in the loop, 0 or more. [V]

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
    >>> round(1e3 * decay_time_s(0.05, 10.0, 1.2, 0.6), 4)
    3.4657
    """
    require_above_zero("inductance_h", inductance_h)
    require_above_zero("loop_ohm", loop_ohm)
    require_above_zero("end_a", end_a)
    require_not_negative("start_a - end_a", start_a - end_a)
    require_not_negative("clamp_v", clamp_v)
    ratio = (start_a * loop_ohm + clamp_v) / (end_a * loop_ohm + clamp_v)
    return inductance_h / loop_ohm * math.log(ratio)


def clamped_peak_v(current_a: float, clamp_v: float, series_ohm: float) -> float:
    """Voltage across a coil whose current passes over to a suppressor.

        U = E + r I

    E is the constant voltage of diode, Zener or TVS, r what it gains per ampere; a resistor has
    E = 0. Source: worked-out; a straight line through breakdown and clamping voltage as the data
    sheets of tvs-types print them.

    Parameters
    ----------
    current_a : float
        Current before switch-off, 0 or more. [A]
    clamp_v, series_ohm : float
        E [V] and r [ohm], 0 or more.

    Returns
    -------
    float
        Voltage, opposite in sign to the supply. [V]

    Raises
    ------
    ValueError
        An argument outside the range above.

    Examples
    --------
    >>> round(clamped_peak_v(1.5, 29.5, 0.6), 1)
    30.4
    """
    require_not_negative("current_a", current_a)
    require_not_negative("clamp_v", clamp_v)
    require_not_negative("series_ohm", series_ohm)
    return clamp_v + series_ohm * current_a


def suppressor_energy_j(
    inductance_h: float,
    winding_ohm: float,
    start_a: float,
    clamp_v: float,
    series_ohm: float,
) -> float:
    """Energy that a suppressor takes up while a coil's current falls to nothing.

        Q = L / (R + r) (I0 - E / (R + r) ln(1 + I0 (R + r) / E))
        W = E Q + r (L I0^2 / 2 - E Q) / (R + r)

    Q is the charge that flows; the rest of L I0^2 / 2 heats the winding. Source: worked-out, the
    integral of the decay in `decay_time_s`; the two shares add up to the stored energy.

    Parameters
    ----------
    inductance_h, winding_ohm : float
        Coil. Above 0. [H], [ohm]
    start_a : float
        Current before switch-off, 0 or more. [A]
    clamp_v, series_ohm : float
        Suppressor: E [V] and r [ohm], 0 or more.

    Returns
    -------
    float
        Energy. [J]

    Raises
    ------
    ValueError
        An argument outside the range above.

    Examples
    --------
    >>> round(suppressor_energy_j(0.05, 10.0, 1.2, 0.0, 30.0), 4)
    0.027
    """
    require_above_zero("inductance_h", inductance_h)
    require_above_zero("winding_ohm", winding_ohm)
    require_not_negative("start_a", start_a)
    require_not_negative("clamp_v", clamp_v)
    require_not_negative("series_ohm", series_ohm)
    loop_ohm = winding_ohm + series_ohm
    lost_a = 0.0
    if clamp_v > 0.0:
        # log1p where the clamp is large, a difference of logarithms where the ratio would overflow
        ratio = start_a * loop_ohm / clamp_v
        if math.isfinite(ratio):
            log = math.log1p(ratio)
        else:
            log = math.log(start_a * loop_ohm) - math.log(clamp_v)
        lost_a = clamp_v / loop_ohm * log
    charge_c = inductance_h / loop_ohm * (start_a - lost_a)
    stored_j = stored_energy_j(inductance_h, start_a)
    return clamp_v * charge_c + series_ohm * (stored_j - clamp_v * charge_c) / loop_ohm


def diode_reverse_voltage_v(supply_upper_v: float, transient_v: float) -> float:
    """Reverse voltage a suppression diode across a coil must stand.

        U = max(U_supply, U_transient)

    While the coil is on, the diode sees the supply and whatever rides on it. Source: iso-16750-2
    for the transients (load dump, regulator failure).

    Parameters
    ----------
    supply_upper_v : float
        Highest supply. Above 0. [V]
    transient_v : float
        Highest transient on it, measured from 0 V, 0 or more. [V]

    Returns
    -------
    float
        Reverse voltage. [V]

    Raises
    ------
    ValueError
        An argument outside the range above.

    Examples
    --------
    >>> diode_reverse_voltage_v(14.9, 101.0)
    101.0
    """
    require_above_zero("supply_upper_v", supply_upper_v)
    require_not_negative("transient_v", transient_v)
    return max(supply_upper_v, transient_v)
