"""Typical data sheets and manuals: 24 V cartridge-valve coil cold and hot, 10 degC step."""

from circuitcheck.formulas.coil import steady_resistance_ohm, winding_temperature_c
from circuitcheck.formulas.wire_resistance import resistance_at_ohm

SOURCE = "coil-data-sheet-24v"


def comparisons(library):
    row = library.coil("24 V cartridge coil, class N")
    hot = steady_resistance_ohm(
        row.resistance_ohm.nominal, 24.0, 50.0, row.thermal_resistance_k_per_w.nominal
    )
    ranges = {"small": "16", "medium": "20", "large": "28.8"}  # W cold, usual catalogue figures
    rows = [
        ("coils", "24 V cartridge coil, cold W", "22", 24.0**2 / row.resistance_ohm.nominal,
         None, "printed in whole watts"),
        ("coils", "24 V cartridge coil, ohm at 20 degC", "26.2", row.resistance_ohm.nominal),
        ("formula coil", "stabilised ohm at 24 V, 50 degC", "37.2", hot),
        ("formula coil", "winding degC at 37.2 ohm", "126.9", winding_temperature_c(37.2, 26.2)),
        ("formula wire_resistance", "service manuals: % for 10 degC", "4",
         100.0 * (resistance_at_ohm(1.0, 30.0) - 1.0)),
    ]  # fmt: skip
    for size, watt in ranges.items():
        for volt in (12.0, 24.0):
            coil = library.coil(f"{size} valve coil, {volt:g} V")
            what = ("valve-coil-ranges", f"{coil.name}, cold W")
            rows.append(("coils", what, watt, volt**2 / coil.resistance_ohm.nominal))
    return rows


def test_printed_value(comparison):
    assert comparison.is_within


def test_hot_value_with_its_tolerance_lies_in_the_band_of_the_row(library):
    row = library.coil("24 V cartridge coil, class N")
    thermal = row.thermal_resistance_k_per_w
    low = steady_resistance_ohm(row.resistance_ohm.lower, 24.0, 50.0, thermal.lower)
    high = steady_resistance_ohm(row.resistance_ohm.upper, 24.0, 50.0, thermal.upper)
    assert low < 37.2 * 0.95
    assert high > 37.2 * 1.05


def test_service_manual_coils_lie_in_the_usual_range(library):
    # 12 V selector coils of two machine manuals: 5.6 and 8.8 ohm, each +/-10 % at 20 degC
    large, small = library.coil("large valve coil, 12 V"), library.coil("small valve coil, 12 V")
    for ohm in (5.6, 8.8):
        assert large.resistance_ohm.lower < ohm < small.resistance_ohm.upper


def test_temperature_classes_are_those_of_the_standard(library):
    # iec-60085 as printed: Y 90, A 105, E 120, B 130, F 155, H 180; N 200 in a coil data sheet
    assert {row.temperature_class_c for row in library.coils.values()} <= {155.0, 180.0, 200.0}


def test_inductance_of_a_24_v_solenoid_meets_the_printed_range(library):
    # solenoid-position-article: 200 to 500 mH seated for 24 V, 10 W
    for size in ("small", "medium", "large"):
        band = library.coil(f"{size} valve coil, 24 V").inductance_h
        assert band.lower < 0.5
        assert band.upper > 0.2
        assert 0.15 < band.nominal < 0.5
