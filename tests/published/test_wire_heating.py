"""Wire heating against ampacity tables and against the independent heat balance of `ht`.

DIN VDE 0298-4, single PVC wires in air of 30 degC at 70 degC, with the dimensions of DIN ISO 6722
part 3 as printed beside it (Autoelektrik Grundlagen). `ht` is a general-purpose library of heat
transfer: its air, its Morgan and its Churchill-Chu correlations. No open measured data of the
heating of vehicle wire were found: model against table and model, not against measurement.
"""

import math

import fluids
import ht
import pytest
from ht import conv_free_immersed

from circuitcheck.formulas.adiabatic import COPPER
from circuitcheck.formulas.wire_heating import (
    convection_w_per_m2_k,
    insulation_k_m_per_w,
    surface_loss_w_per_m,
)
from circuitcheck.transient.heat.wire_heat import WireHeat

OVERLOAD = {"overload_k": 50.0, "overload_s": 6 * 3600.0}

# mm2, mohm/m at 20 degC, outside of the standard and of the thin wall [mm], A at 70 degC
PRINTED = [
    (1.0, 18.5, 2.7, 2.1, 19.0),
    (1.5, 12.7, 3.0, 2.4, 24.0),
    (2.5, 7.6, 3.6, 3.0, 32.0),
    (4.0, 4.71, 4.4, 3.7, 42.0),
    (6.0, 3.14, 5.0, 4.3, 54.0),
    (10.0, 1.82, 6.5, 6.0, 73.0),
    (16.0, 1.16, 8.3, 7.2, 98.0),
    (25.0, 0.743, 10.4, 8.7, 129.0),
]
SOURCE = "din-vde-0298-4"
AT_50_C = {
    1.0: 13.5,
    1.5: 17.0,
    2.5: 22.7,
    4.0: 29.8,
    6.0: 38.3,
    10.0: 51.8,
    16.0: 69.6,
    25.0: 91.6,
}


def wire(area_mm2, mohm_per_m, outside_mm, air_c=30.0, class_c=70.0):
    return WireHeat(
        area_mm2,
        mohm_per_m / 1000.0,
        outside_mm / 1000.0,
        air_c,
        class_c,
        160.0,
        COPPER,
        **OVERLOAD,
    )


def comparisons(library):
    why = "still air and a solid conductor; smaller sizes err low by up to 11 %"
    rows = []
    for area, mohm, standard, _, amps in PRINTED:
        if area in (10.0, 16.0):
            ours = wire(area, mohm, standard).carries_a(70.0)
            what = f"{area:g} mm2 at 70 degC in air of 30 degC, A"
            rows.append(("formula wire_heating", what, f"{amps:g}", ours, 1.0, why))
    ours = 2.0 * math.pi * insulation_k_m_per_w(0.001, 0.001 * math.e)
    what = ("iec-60287", "PVC, thermal resistivity K m/W")
    rows.append(("formula wire_heating", what, "6.0", ours, 2.5, "conductivity rounded to 0.17"))
    return rows


def test_printed_value(comparison):
    assert comparison.is_within


@pytest.mark.parametrize(("area", "mohm", "standard", "thin", "amps"), PRINTED)
def test_din_vde_0298_4_within_15_percent_and_low(area, mohm, standard, thin, amps):
    # Standard wall: -10.9 % to +1.9 %; thin wall, which the checks take: -14.8 % to -0.1 %.
    assert -0.15 < wire(area, mohm, standard).carries_a(70.0) / amps - 1.0 < 0.02
    assert -0.15 < wire(area, mohm, thin).carries_a(70.0) / amps - 1.0 < 0.0


@pytest.mark.parametrize(("area", "mohm", "standard", "thin", "amps"), PRINTED)
def test_din_vde_0298_4_in_air_of_50_c(area, mohm, standard, thin, amps):
    assert (
        -0.15 < wire(area, mohm, standard, air_c=50.0).carries_a(70.0) / AT_50_C[area] - 1.0 < 0.02
    )


def balance_a(area, mohm, outside_mm, air_c, class_c, correlation):
    """Ampacity by `ht`: the surface temperature at which as much leaves as goes through."""
    outside, inside = outside_mm / 1000.0, math.sqrt(4.0 * area / math.pi) / 1000.0
    low, high = air_c, class_c
    for _ in range(60):
        surface = (low + high) / 2.0
        film = fluids.atmosphere.ATMOSPHERE_1976(0.0, dT=(surface + air_c) / 2.0 - 15.0)
        air = {
            "k": film.thermal_conductivity(film.T),
            "nu": film.viscosity(film.T) / film.density(film.T, 101325.0),
        }
        prandtl = 1006.0 * film.viscosity(film.T) / air["k"]
        grashof = 9.80665 * (surface - air_c) * outside**3 / (film.T * air["nu"] ** 2)
        nusselt = getattr(conv_free_immersed, correlation)(Pr=prandtl, Gr=grashof)
        radiated = ht.radiation.q_rad(0.9, surface + 273.15, air_c + 273.15)
        shed = math.pi * outside * (nusselt * air["k"] / outside * (surface - air_c) + radiated)
        through = (class_c - surface) * 2.0 * math.pi * 0.17 / math.log(outside / inside)
        low, high = (surface, high) if shed < through else (low, surface)
    return math.sqrt(shed / (mohm / 1000.0 * (234.5 + class_c) / 254.5))


@pytest.mark.parametrize(
    "correlation", ["Nu_horizontal_cylinder_Churchill_Chu", "Nu_horizontal_cylinder_Morgan"]
)
@pytest.mark.parametrize(("air_c", "class_c"), [(30.0, 70.0), (60.0, 105.0), (-10.0, 125.0)])
@pytest.mark.parametrize(("area", "mohm", "standard", "thin", "amps"), PRINTED)
def test_independent_balance_agrees(area, mohm, standard, thin, amps, air_c, class_c, correlation):
    own = wire(area, mohm, thin, air_c, class_c).carries_a(class_c)
    other = balance_a(area, mohm, thin, air_c, class_c, correlation)
    if correlation.endswith("Churchill_Chu"):
        assert own == pytest.approx(other, rel=0.01)
    else:
        assert -0.15 < own / other - 1.0 < 0.0  # errs low in current


def test_horizontal_pipe_by_hand():
    # Pipe of 0.1 m at 165 degC in air of 23 degC. Tabulated air at 367 K: k 0.0313 W/mK,
    # nu 22.8e-6 m2/s, Pr 0.697 (from memory). Ra = 9.807 * 142 * 1e-3 * 0.697 / (367 * 5.198e-10)
    # = 5.09e6; Nu = (0.60 + 0.387 * 13.11 / 1.2064)^2 = 23.1; h = 23.1 * 0.0313 / 0.1 = 7.23 W/m2K.
    h = convection_w_per_m2_k(165.0, 23.0, 0.1)
    assert h == pytest.approx(7.23, rel=0.015)
    # Radiation by hand: pi * 0.1 * 0.9 * 5.670e-8 * (438.15^4 - 296.15^4) = 467 W/m.
    radiated = surface_loss_w_per_m(165.0, 23.0, 0.1) - math.pi * 0.1 * h * 142.0
    assert radiated == pytest.approx(467.5, rel=0.002)


def test_conduction_through_a_wall():
    # IEC 60287: T1 = rho / (2 pi) ln(1 + 2 t1 / dc); rho 6 K m/W, 1.5 mm conductor, 0.75 mm wall:
    # 6 / 6.2832 * ln 2 = 0.6619; 0.17 W/mK is 2 % more than 1 / 6.
    assert insulation_k_m_per_w(0.0015, 0.003) == pytest.approx(0.6619 * 6**-1 / 0.17, rel=1e-3)
