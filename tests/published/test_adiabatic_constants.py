"""IEC 60364-5-54 / IEC 60949: adiabatic constants k of copper, temperature limits of insulation."""

import math

import pytest

from circuitcheck.formulas.adiabatic import (
    COPPER,
    Metal,
    adiabatic_k,
    temperature_after_c,
    withstand_current_a,
    withstand_time_s,
)

SOURCE = "iec-60364-5-54"
# initial degC, final degC, printed k, library insulation whose limits these are
PRINTED = [
    (70, 160, "115", "PVC 70"), (90, 160, "100", "PVC 90"), (90, 250, "143", "XLPE 90"),
    (60, 200, "141", "rubber 60"), (85, 220, "134", "rubber 85"),
    (180, 350, "132", "silicone 180"), (30, 160, "143", None), (30, 250, "176", None),
]  # fmt: skip

# Q_c J/(K mm3), beta degC, rho at 20 degC ohm mm; leading factor
METALS = [
    ("copper", COPPER, (3.45e-3, 234.5, 1.7241e-5), "226"),
    ("aluminium", Metal(228.0, 148.0), (2.5e-3, 228.0, 2.8264e-5), "148"),
]


def comparisons(library):
    rows = []
    for initial, final, printed, name in PRINTED:
        ours = adiabatic_k(initial, final)
        why = (0.4, "three digits; unrounded constants give 225.7 for the lead of 226")
        rows.append(("formula adiabatic", f"k {initial} to {final} degC", printed, ours, *why))
        if name is not None:
            row = library.insulation(name)
            rows.append(("insulation", f"{name} limit degC", str(initial), row.temperature_c))
            rows.append(("insulation", f"{name} fault degC", str(final), row.short_circuit_c))
    # sqrt(Q_c * (beta + 20) / rho_20) with the printed constants; the k of aluminium, as the
    # standard tables them, from memory
    for name, metal, (heat, zero, rho), lead in METALS:
        ours = (heat * (zero + 20.0) / rho) ** 0.5
        rows.append(("formula adiabatic", f"lead of {name}", lead, ours, 0.2, "three digits"))
        assert (metal.zero_c, metal.k_lead) == (zero, float(lead))
    for initial, final, printed in ((70, 160, "76"), (90, 250, "94")):
        ours = adiabatic_k(initial, final, METALS[1][1])
        rows.append(("formula adiabatic", f"aluminium k {initial} to {final} degC", printed, ours))
    copper = library.material("copper")
    rows.append(("materials", "lead of copper", "226", copper.k_lead))
    rows.append(("materials", "beta of copper", "234.5", copper.zero_c))
    return rows


def test_printed_value(comparison):
    assert comparison.is_within


@pytest.mark.parametrize(("amperes", "seconds"), [(50.0, 4.0), (200.0, 0.744), (1000.0, 0.01)])
def test_the_three_forms_are_one_balance(amperes, seconds):
    reached = temperature_after_c(1.5, amperes, seconds, 70.0)
    assert withstand_time_s(1.5, amperes, 70.0, reached) == pytest.approx(seconds, rel=1e-12)
    assert withstand_current_a(1.5, seconds, 70.0, reached) == pytest.approx(amperes, rel=1e-12)


def test_hand_worked_time():
    # (115 * 1.5 / 200) ** 2 = 0.744 s; ours has k = 115.0 to four digits
    assert withstand_time_s(1.5, 200.0, 70.0, 160.0) == pytest.approx(0.744, rel=1e-3)


def test_overflow_is_infinite_not_an_error():
    assert math.isinf(temperature_after_c(0.1, 1e5, 100.0, 20.0))
