"""Resistance of copper conductors from area, length and temperature; AWG geometry."""

from __future__ import annotations

import math
from typing import overload

from circuitcheck.formulas.batch import (
    Array,
    Number,
    plain,
    require_above_zero,
    require_between,
    require_not_negative,
)

COPPER_OHM_MM2_PER_M = 1.0 / 58.0  # iec-60028: annealed copper at 20 degC
COPPER_ZERO_C = 234.5  # copper's resistance, drawn on as a straight line, is zero at -234.5 degC
AWG_THINNEST, AWG_THICKEST = 40, -3  # -3 is 4/0


def awg_diameter_mm(gauge: int) -> float:
    """Diameter of an AWG size, in mm.

        d = 0.127 mm * 92 ** ((36 - n) / 39)

    Solid conductor of the same size number; a stranded one has its area, not its diameter.
    Source: astm-b258.

    Parameters
    ----------
    gauge : int
        Size number, 40 to -3; 1/0, 2/0, 3/0, 4/0 are 0, -1, -2, -3.

    Returns
    -------
    float
        Diameter. [mm]

    Raises
    ------
    ValueError
        Gauge outside the range above.

    Examples
    --------
    >>> round(awg_diameter_mm(16), 3)
    1.291
    """
    if not AWG_THICKEST <= gauge <= AWG_THINNEST:
        raise ValueError(f"gauge: got {gauge}, must be {AWG_THICKEST} to {AWG_THINNEST}")
    return 0.127 * math.pow(92.0, (36 - gauge) / 39.0)


def awg_area_mm2(gauge: int) -> float:
    """Area of an AWG size, in mm2.

        A = pi / 4 * d ** 2

    Source: astm-b258. Arguments and errors as `awg_diameter_mm`.

    Examples
    --------
    >>> round(awg_area_mm2(16), 3)
    1.309
    """
    return math.pi / 4.0 * awg_diameter_mm(gauge) ** 2


@overload  # a plain number in, a plain number out
def resistance_at_ohm(  # type: ignore[overload-overlap]
    resistance_20c_ohm: float, temperature_c: float
) -> float: ...
@overload
def resistance_at_ohm(resistance_20c_ohm: Number, temperature_c: Number) -> Array: ...
def resistance_at_ohm(resistance_20c_ohm: Number, temperature_c: Number) -> Number:
    """Resistance of copper at a temperature, from its resistance at 20 degC.

        R = R20 * (234.5 + T) / 254.5

    Copper of conductors and windings. Source: faa-ac-43-13-1b, page 11-22, and vde-0580;
    iec-60228 rounds to 0.004 per K, which is up to 0.45 % more at 100 degC.

    Parameters
    ----------
    resistance_20c_ohm : float or array
        Resistance at 20 degC, 0 or more; also ohm per metre. [ohm]
    temperature_c : float or array, broadcast with the above
        Temperature of the copper, not of the air, -100 to 400. [degC]

    Returns
    -------
    float or array
        Resistance. [ohm]

    Raises
    ------
    ValueError
        An argument outside the range above; the message names it and its value.

    Examples
    --------
    >>> round(resistance_at_ohm(26.2, 126.9), 1)
    37.2
    """
    require_not_negative("resistance_20c_ohm", resistance_20c_ohm)
    require_between("temperature_c", temperature_c, -100.0, 400.0)
    return plain(resistance_20c_ohm * (COPPER_ZERO_C + temperature_c) / (COPPER_ZERO_C + 20.0))


def wire_resistance_ohm(length_m: float, area_mm2: float, temperature_c: float) -> float:
    """Resistance of a plain copper conductor, in ohm.

        R = rho20 * L / A * (234.5 + T) / 254.5

    Direct current; the area is that of the metal. Source: iec-60028, 1/58 ohm mm2/m at 20 degC.

    Parameters
    ----------
    length_m : float
        Conductor length, one way, strand lay included. Above 0. [m]
    area_mm2 : float
        Conductor cross-section. Above 0. [mm2]
    temperature_c : float
        Temperature of the conductor, not of the air. -100 to 400. [degC]

    Returns
    -------
    float
        Resistance. [ohm]

    Raises
    ------
    ValueError
        An argument outside the range above; the message names it and its value.

    Examples
    --------
    >>> round(wire_resistance_ohm(10.0, 1.0, 20.0), 4)
    0.1724
    """
    require_above_zero("length_m", length_m)
    require_above_zero("area_mm2", area_mm2)
    return resistance_at_ohm(COPPER_OHM_MM2_PER_M * length_m / area_mm2, temperature_c)
