"""Battery behind its posts: internal resistance and current into a short."""

from __future__ import annotations

from circuitcheck.formulas.batch import require_above_zero, require_not_negative

CELL_GROUP_OPEN_V, CELL_GROUP_CRANKING_V = 12.6, 7.2


def internal_resistance_ohm(cold_cranking_a: float, batteries_in_series: int = 1) -> float:
    """Internal resistance of 12 V lead-acid batteries at -18 degC, from cold cranking current.

        R = n * (12.6 V - 7.2 V) / CCA

    A new battery in the cold test; warm it is lower, aged higher. Source: cold-cranking.

    Parameters
    ----------
    cold_cranking_a : float
        Current that brings one 12 V battery to 7.2 V after 30 s at -18 degC. Above 0. [A]
    batteries_in_series : int
        1 for 12 V, 2 for 24 V.

    Returns
    -------
    float
        Resistance. [ohm]

    Raises
    ------
    ValueError
        An argument not above 0.

    Examples
    --------
    >>> round(internal_resistance_ohm(500.0), 4)
    0.0108
    """
    require_above_zero("cold_cranking_a", cold_cranking_a)
    require_above_zero("batteries_in_series", batteries_in_series)
    return batteries_in_series * (CELL_GROUP_OPEN_V - CELL_GROUP_CRANKING_V) / cold_cranking_a


def prospective_current_a(
    open_circuit_v: float, battery_ohm: float, path_ohm: float, alternator_a: float = 0.0
) -> float:
    """Current into a short at the end of a path, alternator at its rated current beside.

        I = (U0 + R_battery * I_alternator) / (R_battery + R_path)

    The alternator is taken as a current source at the battery posts: never less than it gives
    where its rating is its highest output. Source: openstax-university-physics m58453 for the
    battery; superposition for the alternator.

    Parameters
    ----------
    open_circuit_v : float
        Open-circuit voltage. Above 0. [V]
    battery_ohm : float
        Internal resistance. Above 0. [ohm]
    path_ohm : float
        Resistance of the whole path outside the battery, 0 or more. [ohm]
    alternator_a : float
        Alternator current, 0 or more. [A]

    Returns
    -------
    float
        Current in the path. [A]

    Raises
    ------
    ValueError
        An argument outside the range above.

    Examples
    --------
    >>> round(prospective_current_a(12.0, 0.1, 0.5), 2)
    20.0
    """
    require_above_zero("open_circuit_v", open_circuit_v)
    require_above_zero("battery_ohm", battery_ohm)
    require_not_negative("path_ohm", path_ohm)
    require_not_negative("alternator_a", alternator_a)
    return (open_circuit_v + battery_ohm * alternator_a) / (battery_ohm + path_ohm)
