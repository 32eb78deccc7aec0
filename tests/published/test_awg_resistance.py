"""American Wire Gages, HyperPhysics (as NBS Handbook 100): ohm per 1000 ft of copper at 20 degC."""

from circuitcheck.formulas.wire_resistance import awg_area_mm2, wire_resistance_ohm

SOURCE = "awg-resistance"
PRINTED = {
    -3: "0.04901", -2: "0.0618", -1: "0.07793", 0: "0.09827", 1: "0.1239", 2: "0.1563",
    3: "0.197", 4: "0.2485", 5: "0.3133", 6: "0.3951", 7: "0.4982", 8: "0.6282", 9: "0.7921",
    10: "0.9989", 11: "1.26", 12: "1.588", 13: "2.003", 14: "2.525", 15: "3.184", 16: "4.016",
    17: "5.064", 18: "6.385", 19: "8.051", 20: "10.15", 21: "12.8", 22: "16.14", 23: "20.36",
    24: "25.67",
}  # fmt: skip
THOUSAND_FEET_M = 304.8
SIZES = (24, 22, 20, 18, 16, 14, 12, 10, 8, 6, 4, 2, 1, 0, -1, -2, -3)


def name(gauge):
    return f"{gauge} AWG" if gauge > 0 else f"{1 - gauge}/0 AWG"


def comparisons(library):
    rows = []
    for gauge, printed in PRINTED.items():
        ours = wire_resistance_ohm(THOUSAND_FEET_M, awg_area_mm2(gauge), 20.0)
        digits = (0.05, "four significant digits")
        rows.append(("formula wire_resistance", f"{gauge} AWG ohm/kft", printed, ours, *digits))
    for gauge in SIZES:
        row = library.conductor(f"{name(gauge)} (AWG area)")
        ours = row.resistance_ohm_per_m.nominal * THOUSAND_FEET_M
        rows.append(
            (
                "conductors",
                f"{row.name} ohm/kft",
                PRINTED[gauge],
                ours,
                0.06,
                "library has 4 digits",
            )
        )
    return rows


def test_printed_value(comparison):
    assert comparison.is_within


def test_lower_end_is_below_solid_copper_and_vehicle_wire_above_it(library):
    for gauge in SIZES:
        solid = float(PRINTED[gauge]) / THOUSAND_FEET_M
        assert library.conductor(f"{name(gauge)} (AWG area)").resistance_ohm_per_m.lower < solid
        vehicle = library.conductor(name(gauge)).resistance_ohm_per_m
        assert vehicle.lower < solid < vehicle.nominal
