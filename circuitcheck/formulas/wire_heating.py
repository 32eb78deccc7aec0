"""Heat that an insulated wire sheds to still air, and what it stores."""

from __future__ import annotations

import math

import numpy as np

from circuitcheck.formulas.adiabatic import Metal
from circuitcheck.formulas.batch import (
    Number,
    plain,
    require_above_zero,
    require_between,
    require_not_negative,
)
from circuitcheck.formulas.wire_resistance import COPPER_OHM_MM2_PER_M

KELVIN = 273.15
GRAVITY_M_PER_S2 = 9.80665
AIR_PRESSURE_PA = 101_325.0  # at sea level; at 2000 m convection is a tenth less
AIR_GAS_J_PER_KG_K = 287.05
AIR_HEAT_J_PER_KG_K = 1006.0
RADIATED_W_PER_M2_K4 = 5.670374e-8  # CODATA: constant of Stefan and Boltzmann
EMISSIVITY = 0.9  # dull plastic; common practice, no source
INSULATION_W_PER_M_K = 0.17  # PVC: 6 K m/W in iec-60287; cross-linked polyethylene conducts better
INSULATION_J_PER_M3_K = 1.7e6  # PVC in iec-60853; cross-linked polyethylene stores more
COLDEST_C, HOTTEST_C = -60.0, 400.0


def convection_w_per_m2_k(surface_c: Number, air_c: float, diameter_m: float) -> Number:
    """Heat transfer by free convection from a horizontal cylinder.

        h = k / D * (0.60 + 0.387 Ra^(1/6) / (1 + (0.559 / Pr)^(9/16))^(8/27))^2
        Ra = g (T_s - T_a) D^3 Pr / (T_f nu^2), air at T_f = (T_s + T_a) / 2

    Still air at sea level, viscosity and conductivity after Sutherland. Source: churchill-chu.

    Parameters
    ----------
    surface_c : float or array
        Surface, not below the air. [degC]
    air_c : float
        Air, -60 to 200. [degC]
    diameter_m : float
        Outside diameter. Above 0. [m]

    Returns
    -------
    float or array
        Heat transfer coefficient. [W/(m2 K)]

    Raises
    ------
    ValueError
        An argument outside the range above.

    Examples
    --------
    >>> round(convection_w_per_m2_k(60.0, 30.0, 0.003), 1)
    14.0
    """
    require_between("air_c", air_c, COLDEST_C, 200.0)
    require_above_zero("diameter_m", diameter_m)
    require_not_negative("surface_c - air_c", surface_c - air_c)
    film_k = (np.asarray(surface_c) + air_c) / 2.0 + KELVIN
    share = film_k / KELVIN
    viscosity = 1.716e-5 * share**1.5 * (KELVIN + 110.4) / (film_k + 110.4)
    conductivity = 0.0241 * share**1.5 * (KELVIN + 194.0) / (film_k + 194.0)
    kinematic = viscosity * AIR_GAS_J_PER_KG_K * film_k / AIR_PRESSURE_PA
    prandtl = viscosity * AIR_HEAT_J_PER_KG_K / conductivity
    rayleigh = (
        GRAVITY_M_PER_S2 * (np.asarray(surface_c) - air_c) * diameter_m**3 * prandtl
        / (film_k * kinematic**2)
    )  # fmt: skip
    shape = (1.0 + (0.559 / prandtl) ** (9.0 / 16.0)) ** (8.0 / 27.0)
    nusselt = (0.60 + 0.387 * rayleigh ** (1.0 / 6.0) / shape) ** 2
    return plain(nusselt * conductivity / diameter_m)


def surface_loss_w_per_m(surface_c: Number, air_c: float, diameter_m: float) -> Number:
    """Heat that a metre of wire sheds by convection and radiation.

        q = pi D (h (T_s - T_a) + 0.9 sigma ((T_s + 273.15)^4 - (T_a + 273.15)^4))

    Surroundings as warm as the air. Source: churchill-chu for h; the law of Stefan and Boltzmann.

    Parameters
    ----------
    surface_c, air_c, diameter_m
        As `convection_w_per_m2_k`.

    Returns
    -------
    float or array
        Heat. [W/m]

    Raises
    ------
    ValueError
        An argument outside its range.

    Examples
    --------
    >>> round(surface_loss_w_per_m(60.0, 30.0, 0.003), 1)
    5.8
    """
    surface = np.asarray(surface_c)
    radiated = EMISSIVITY * RADIATED_W_PER_M2_K4 * (
        (surface + KELVIN) ** 4 - (air_c + KELVIN) ** 4
    )  # fmt: skip
    convected = convection_w_per_m2_k(surface_c, air_c, diameter_m) * (surface - air_c)
    return plain(math.pi * diameter_m * (convected + radiated))


def insulation_k_m_per_w(conductor_m: float, outside_m: float) -> float:
    """Thermal resistance of a metre of insulation.

        R = ln(D / d) / (2 pi k), k = 0.17 W/(m K)

    Source: iec-60287.

    Parameters
    ----------
    conductor_m, outside_m : float
        Diameter of the conductor and over the insulation, the second the larger. [m]

    Returns
    -------
    float
        Thermal resistance. [K m/W]

    Raises
    ------
    ValueError
        An argument outside the range above.

    Examples
    --------
    >>> round(insulation_k_m_per_w(0.0015, 0.003), 2)
    0.65
    """
    require_above_zero("conductor_m", conductor_m)
    require_above_zero("outside_m - conductor_m", outside_m - conductor_m)
    return math.log(outside_m / conductor_m) / (2.0 * math.pi * INSULATION_W_PER_M_K)


def stored_j_per_m_k(
    area_mm2: float, outside_m: float, metal: Metal, resistivity_factor: float = 1.0
) -> float:
    """Heat that a metre of wire stores per kelvin of its conductor.

        C = k_lead^2 rho_20 A / (Z + 20) + p c (pi D^2 / 4 - A)
        p = 1 / (2 ln(D / d)) - 1 / ((D / d)^2 - 1)

    The first term is the metal, as in its adiabatic constant; p is the share of the insulation
    that follows the conductor. Sources: iec-60364-5-54, iec-60853.

    Parameters
    ----------
    area_mm2 : float
        Area of the conductor, taken as solid. Above 0. [mm2]
    outside_m : float
        Diameter over the insulation, above that of the conductor. [m]
    metal : Metal
        Constants of the conductor.
    resistivity_factor : float
        Its resistivity over that of copper. Above 0. [1]

    Returns
    -------
    float
        Heat per kelvin. [J/(m K)]

    Raises
    ------
    ValueError
        An argument outside the range above.

    Examples
    --------
    >>> from circuitcheck.formulas.adiabatic import COPPER
    >>> round(stored_j_per_m_k(1.5, 0.003, COPPER), 1)
    8.7
    """
    conductor_m = solid_diameter_m(area_mm2)
    require_above_zero("outside_m - conductor", outside_m - conductor_m)
    require_above_zero("resistivity_factor", resistivity_factor)
    resistivity = COPPER_OHM_MM2_PER_M * resistivity_factor
    per_mm2 = metal.k_lead**2 * resistivity / (metal.zero_c + 20.0)
    ratio = outside_m / conductor_m
    share = 1.0 / (2.0 * math.log(ratio)) - 1.0 / (ratio**2 - 1.0)
    wall_m2 = math.pi * (outside_m**2 - conductor_m**2) / 4.0
    return per_mm2 * area_mm2 + share * INSULATION_J_PER_M3_K * wall_m2


def solid_diameter_m(area_mm2: float) -> float:
    """Diameter of a solid conductor of an area, the least that a stranded one can have.

        d = sqrt(4 A / pi)

    Source: astm-b258, for the area of a round conductor.

    Parameters
    ----------
    area_mm2 : float
        Area. Above 0. [mm2]

    Returns
    -------
    float
        Diameter. [m]

    Raises
    ------
    ValueError
        An argument outside the range above.

    Examples
    --------
    >>> round(solid_diameter_m(1.5), 5)
    0.00138
    """
    require_above_zero("area_mm2", area_mm2)
    return math.sqrt(4.0 * area_mm2 / math.pi) / 1000.0
