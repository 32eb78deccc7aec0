"""Current a wire may carry, and the temperature it takes at a current."""

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


def ambient_factor(limit_c: float, ambient_c: float, reference_c: float = 30.0) -> float:
    """Factor on an ampacity for air that is not at the reference temperature.

        f = sqrt((T_limit - T_air) / (T_limit - T_reference)), 0 at or above T_limit

    Heat goes with the square of current and is shed in proportion to the rise. Reproduces
    nec-ambient-factors to its printed digits.

    Parameters
    ----------
    limit_c : float
        Conductor temperature the ampacity is given for. [degC]
    ambient_c : float
        Air around the wire, -60 to 200. [degC]
    reference_c : float
        Air the ampacity is given for; below `limit_c`. [degC]

    Returns
    -------
    float
        Factor, 0 or more. [1]

    Raises
    ------
    ValueError
        The reference is not below the limit, or the air is outside the range above.

    Examples
    --------
    >>> round(ambient_factor(60.0, 50.0), 2)
    0.58
    """
    require_between("ambient_c", ambient_c, -60.0, 200.0)
    if reference_c >= limit_c:
        raise ValueError(f"reference_c: got {reference_c:g}, must be below limit_c {limit_c:g}")
    return math.sqrt(max(0.0, limit_c - ambient_c) / (limit_c - reference_c))


def corrected_ampacity_a(
    ampacity_a: float,
    limit_c: float,
    ambient_c: float,
    bundle_factor: float = 1.0,
    reference_c: float = 30.0,
) -> float:
    """Ampacity in the air and the bundle a wire really lies in.

        I = I_table * ambient_factor * bundle_factor

    Source: 33-cfr-183-425 for the table and its use with factors; abyc-e-11 for bundles.

    Parameters
    ----------
    ampacity_a : float
        Ampacity in air of `reference_c`. Above 0. [A]
    limit_c, ambient_c, reference_c : float
        As `ambient_factor`. [degC]
    bundle_factor : float
        Above 0, at most 1. [1]

    Returns
    -------
    float
        Ampacity, 0 where the air is at the limit. [A]

    Raises
    ------
    ValueError
        An argument outside the range above.

    Examples
    --------
    >>> round(corrected_ampacity_a(25.0, 105.0, 50.0), 1)
    21.4
    """
    require_above_zero("ampacity_a", ampacity_a)
    require_above_zero("bundle_factor", bundle_factor)
    require_between("bundle_factor", bundle_factor, 0.0, 1.0)
    return ampacity_a * ambient_factor(limit_c, ambient_c, reference_c) * bundle_factor


@overload  # a plain number in, a plain number out
def conductor_temperature_c(  # type: ignore[overload-overlap]
    current_a: float,
    ampacity_a: float,
    limit_c: float,
    ambient_c: float,
    reference_c: float = ...,
) -> float: ...
@overload
def conductor_temperature_c(
    current_a: Number,
    ampacity_a: Number,
    limit_c: Number,
    ambient_c: Number,
    reference_c: float = ...,
) -> Array: ...
def conductor_temperature_c(
    current_a: Number,
    ampacity_a: Number,
    limit_c: Number,
    ambient_c: Number,
    reference_c: float = 30.0,
) -> Number:
    """Steady temperature of a conductor, from the one point its ampacity gives.

        T = T_air + (T_limit - T_reference) * (I / I_table) ** 2

    Up to the corrected ampacity this is an upper bound, because the conductor's resistance is
    taken as that at its limit. Above it the wire is beyond its limit and the value is too low.
    Source: 33-cfr-183-425 for the point; heat with the square of current.

    Parameters
    ----------
    current_a : float or array
        Steady current; its sign does not matter. [A]
    ampacity_a : float or array
        Ampacity in air of `reference_c`, bundle factor included. Above 0. [A]
    limit_c : float or array
        Conductor temperature at that ampacity. [degC]
    ambient_c : float or array
        Air around the wire, -60 to 200. [degC]
    reference_c : float
        Air the ampacity is given for. [degC]

    Returns
    -------
    float or array
        Conductor temperature. [degC]

    Raises
    ------
    ValueError
        An argument outside the range above.

    Examples
    --------
    >>> conductor_temperature_c(24.0, 24.0, 70.0, 30.0)
    70.0
    """
    require_above_zero("ampacity_a", ampacity_a)
    require_between("ambient_c", ambient_c, -60.0, 200.0)
    require_not_negative("limit_c - reference_c", limit_c - reference_c)
    return plain(ambient_c + (limit_c - reference_c) * (current_a / ampacity_a) ** 2)
