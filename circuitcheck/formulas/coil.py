"""A solenoid coil's resistance and temperature, solved together."""

from __future__ import annotations

import math
from typing import overload

import numpy as np

from circuitcheck.formulas.batch import (
    Array,
    Number,
    plain,
    require_above_zero,
    require_between,
    require_not_negative,
)
from circuitcheck.formulas.wire_resistance import COPPER_ZERO_C, resistance_at_ohm
from circuitcheck.record import record

REFERENCE_C = 20.0
CLOSE = 1e-12  # relative; where an iteration counts as settled
MOST_STEPS = 200


@overload  # a plain number in, a plain number out
def winding_temperature_c(  # type: ignore[overload-overlap]
    resistance_ohm: float, reference_ohm: float, reference_c: float = ...
) -> float: ...
@overload
def winding_temperature_c(
    resistance_ohm: Number, reference_ohm: Number, reference_c: float = ...
) -> Array: ...
def winding_temperature_c(
    resistance_ohm: Number, reference_ohm: Number, reference_c: float = REFERENCE_C
) -> Number:
    """Mean temperature of a copper winding, from its resistance.

        T2 = R2 / R1 * (234.5 + T1) - 234.5

    Source: vde-0580; coil-data-sheet-24v gives the pair 26.2 and 37.2 ohm.

    Parameters
    ----------
    resistance_ohm : float or array
        Resistance now. Above 0. [ohm]
    reference_ohm : float or array
        Resistance at `reference_c`. Above 0. [ohm]
    reference_c : float
        Above -234.5. [degC]

    Returns
    -------
    float or array
        Temperature. [degC]

    Raises
    ------
    ValueError
        An argument outside the range above.

    Examples
    --------
    >>> round(winding_temperature_c(37.2, 26.2), 1)
    126.9
    """
    require_above_zero("resistance_ohm", resistance_ohm)
    require_above_zero("reference_ohm", reference_ohm)
    require_above_zero("reference_c + 234.5", reference_c + COPPER_ZERO_C)
    return plain(resistance_ohm / reference_ohm * (COPPER_ZERO_C + reference_c) - COPPER_ZERO_C)


@overload  # a plain number in, a plain number out
def steady_resistance_ohm(  # type: ignore[overload-overlap]
    resistance_20c_ohm: float,
    voltage_v: float,
    ambient_c: float,
    thermal_resistance_k_per_w: float,
    series_ohm: float = ...,
) -> float: ...
@overload
def steady_resistance_ohm(
    resistance_20c_ohm: Number,
    voltage_v: Number,
    ambient_c: Number,
    thermal_resistance_k_per_w: Number,
    series_ohm: Number = ...,
) -> Array: ...
def steady_resistance_ohm(
    resistance_20c_ohm: Number,
    voltage_v: Number,
    ambient_c: Number,
    thermal_resistance_k_per_w: Number,
    series_ohm: Number = 0.0,
) -> Number:
    """Resistance of a winding that has reached its steady temperature on a given supply.

        R = a + b * R / (R + Rs) ** 2,  a = R20 (234.5 + Ta) / 254.5,  b = R20 Rth V ** 2 / 254.5
        with Rs = 0:  R = (a + sqrt(a ** 2 + 4 b)) / 2

    With a series resistance the cubic is solved by Newton's method from the closed form, which
    lies above every root; it falls to the highest one. Source: copper as
    iec-60028; one thermal resistance from winding to air, as coil-data-sheet-24v implies.

    Parameters
    ----------
    resistance_20c_ohm : float or array
        Winding at 20 degC. Above 0. [ohm]
    voltage_v : float or array
        Supply behind `series_ohm`, 0 or more. [V]
    ambient_c : float or array
        Air around the coil, -60 to 200. [degC]
    thermal_resistance_k_per_w : float or array
        Winding to air, times the duty or `periodic_share` if not on for good. 0 or more. [K/W]
    series_ohm : float or array
        Resistance of all that lies between supply and coil, 0 or more. [ohm]

    Returns
    -------
    float or array, broadcast shape of the arguments
        Resistance. [ohm]

    Raises
    ------
    ValueError
        An argument outside the range above.

    Examples
    --------
    >>> round(steady_resistance_ohm(26.2, 24.0, 50.0, 4.97), 1)
    37.2
    """
    require_above_zero("resistance_20c_ohm", resistance_20c_ohm)
    require_not_negative("voltage_v", voltage_v)
    require_between("ambient_c", ambient_c, -60.0, 200.0)
    require_not_negative("thermal_resistance_k_per_w", thermal_resistance_k_per_w)
    require_not_negative("series_ohm", series_ohm)
    per_kelvin = resistance_20c_ohm / (COPPER_ZERO_C + REFERENCE_C)
    a = per_kelvin * (COPPER_ZERO_C + ambient_c)
    b = per_kelvin * thermal_resistance_k_per_w * voltage_v**2
    resistance: Number = (a + np.sqrt(a**2 + 4.0 * b)) / 2.0
    if np.any(np.asarray(series_ohm) > 0.0):
        resistance = _highest_root(a, b, series_ohm, resistance)
    return plain(resistance)


def _highest_root(a: Number, b: Number, series_ohm: Number, start: Number) -> Number:
    resistance = start
    for _ in range(MOST_STEPS):
        loop = resistance + series_ohm
        value = (resistance - a) * loop**2 - b * resistance
        slope = loop**2 + 2.0 * (resistance - a) * loop - b
        step = value / slope
        resistance = resistance - step
        if np.all(np.abs(step) <= CLOSE * resistance):
            return resistance
    raise ValueError(f"series_ohm: no steady state found for {series_ohm}")


def periodic_share(on_s: float, cycle_s: float, time_constant_s: float) -> float:
    """Share of the steady rise that a body reaches at the end of each on-time.

        s = (1 - exp(-t_on / tau)) / (1 - exp(-t_cycle / tau))

    A first-order body heated periodically at constant power, settled. 1 where it is always on,
    t_on / t_cycle where the cycle is short. Source: worked-out, first-order body; duty as in
    vde-0580.

    Parameters
    ----------
    on_s : float
        On-time in each cycle, 0 or more. [s]
    cycle_s : float
        Length of a cycle. Above 0, not below `on_s`. [s]
    time_constant_s : float
        Thermal time constant. Above 0. [s]

    Returns
    -------
    float
        Share, 0 to 1. [1]

    Raises
    ------
    ValueError
        An argument outside the range above.

    Examples
    --------
    >>> round(periodic_share(20.0, 60.0, 1200.0), 3)
    0.339
    """
    require_not_negative("on_s", on_s)
    require_above_zero("cycle_s", cycle_s)
    require_above_zero("time_constant_s", time_constant_s)
    require_not_negative("cycle_s - on_s", cycle_s - on_s)
    return math.expm1(-on_s / time_constant_s) / math.expm1(-cycle_s / time_constant_s)


@record
class PeakTemperature:
    """Two-sided bound on a winding's settled highest temperature, at the end of an on-time."""

    lower_c: float
    upper_c: float


def periodic_peak_c(
    resistance_20c_ohm: float,
    voltage_v: float,
    ambient_c: float,
    thermal_resistance_k_per_w: float,
    time_constant_s: float,
    on_s: float,
    cycle_s: float,
    series_ohm: float = 0.0,
) -> PeakTemperature:
    """Bound the highest temperature of a winding pressed again and again, once settled.

        peak = Ta + P Rth s,  rest = Ta + P Rth s exp(-(t_cycle - t_on) / tau),
        P = V ** 2 R / (R + Rs) ** 2 at some temperature between rest and peak

    The power falls as the winding warms; peak and rest are narrowed from both sides until they
    settle, so the true value lies between the two answers. s is `periodic_share`. Source:
    worked-out, first-order body and copper as iec-60028.

    Parameters
    ----------
    resistance_20c_ohm, voltage_v, ambient_c, thermal_resistance_k_per_w, series_ohm : float
        As `steady_resistance_ohm`. `series_ohm` not above the winding's cold resistance.
    time_constant_s, on_s, cycle_s : float
        As `periodic_share`. [s]

    Returns
    -------
    PeakTemperature
        Both ends. [degC]

    Raises
    ------
    ValueError
        An argument outside the range above.

    Examples
    --------
    >>> peak = periodic_peak_c(7.2, 14.0, 60.0, 5.0, 1200.0, 20.0, 60.0)
    >>> round(peak.lower_c, 1), round(peak.upper_c, 1)
    (95.6, 95.7)
    """
    share = periodic_share(on_s, cycle_s, time_constant_s)
    rest = math.exp(-(cycle_s - on_s) / time_constant_s)
    cold_ohm = resistance_at_ohm(resistance_20c_ohm, ambient_c)
    require_above_zero("resistance_20c_ohm", resistance_20c_ohm)
    require_between("series_ohm", series_ohm, 0.0, cold_ohm)
    rise_per_w = thermal_resistance_k_per_w * share

    def power_w(rise_k: float) -> float:
        ohm = cold_ohm + resistance_20c_ohm * rise_k / (COPPER_ZERO_C + REFERENCE_C)
        return voltage_v**2 * ohm / (ohm + series_ohm) ** 2

    lowest, highest = 0.0, rise_per_w * power_w(0.0)
    for _ in range(MOST_STEPS):
        lower = rise_per_w * power_w(highest)
        upper = rise_per_w * power_w(lower * rest)
        settled = max(abs(lower - lowest), abs(upper - highest)) <= CLOSE * max(upper, 1.0)
        lowest, highest = lower, upper
        if settled:
            break
    return PeakTemperature(ambient_c + lowest, ambient_c + highest)
