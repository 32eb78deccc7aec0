"""FAA AC 43.13-1B, chapter 11: voltage drop examples, wire table 11-9, fuse table 11-3."""

import pytest

from circuitcheck.formulas.ampacity import conductor_temperature_c
from circuitcheck.formulas.voltage_drop import voltage_drop_v
from circuitcheck.formulas.wire_resistance import resistance_at_ohm

SOURCE = "faa-ac-43-13-1b"
FOOT_M = 0.3048
# ohm per foot, A, ft, printed V; table 11-7 first row, table 11-8 others. The fifth row of the
# page prints 0.366 V where its own numbers give 0.491 V: a misprint, left out.
DROPS = [
    (0.00044, 20.0, 107.0, "0.942"), (0.00126, 20.0, 39.0, "0.98"),
    (0.00126, 20.0, 156.0, "3.93"), (0.00126, 20.0, 273.0, "6.88"),
]  # fmt: skip
TABLE_11_9_105_C = {24: ("2.5", 28.4), 22: ("3.0", 16.2), 20: ("4.0", 9.88)}
TABLE_11_3_FUSE_A = {
    18: 10, 16: 10, 14: 15, 12: 20, 10: 30, 8: 50, 6: 70, 4: 70, 2: 100, 1: 150, "1/0": 150,
}  # fmt: skip


def comparisons(library):
    rows = []
    for ohm_per_ft, amperes, feet, printed in DROPS:
        ours = voltage_drop_v(amperes, ohm_per_ft / FOOT_M, feet * FOOT_M)
        what = f"{amperes:g} A over {feet:g} ft V"
        rows.append(("formula voltage_drop", what, printed, ours))
    # L2 = 254.5 L1 / (234.5 + T2): at 60 degC 0.864 of the length, worked out from the page
    rows.append(
        (
            "formula wire_resistance",
            "length at 60 degC",
            "0.864",
            1.0 / resistance_at_ohm(1.0, 60.0),
        )
    )
    for gauge, (printed, _) in TABLE_11_9_105_C.items():
        row = library.ampacity_row(f"{gauge} AWG", "PVC 105")
        ours = row.current_a * ((105.0 - 70.0) / (105.0 - 30.0)) ** 0.5
        why = (2.5, "the library rounds down to 0.1 A")
        rows.append(("ampacity", f"{gauge} AWG A at 70 degC", printed, ours, *why))
    return rows


def test_printed_value(comparison):
    assert comparison.is_within


def test_small_sizes_never_above_the_printed_current(library):
    for gauge, (printed, _) in TABLE_11_9_105_C.items():
        row = library.ampacity_row(f"{gauge} AWG", "PVC 105")
        reached = conductor_temperature_c(float(printed), row.current_a, 105.0, 70.0)
        assert 105.0 <= reached < 107.0


@pytest.mark.parametrize("gauge", TABLE_11_3_FUSE_A)
def test_printed_fuse_does_not_exceed_the_ampacity_of_the_best_pvc(gauge, library):
    row = library.ampacity_row(f"{gauge} AWG", "PVC 105")
    assert TABLE_11_3_FUSE_A[gauge] <= row.current_a * library.limit("fuse_to_ampacity_share").value
