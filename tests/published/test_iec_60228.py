"""IEC 60228 as reprinted: highest conductor resistance at 20 degC, temperature factors Kt."""

import pytest

from circuitcheck.formulas.wire_resistance import resistance_at_ohm

SOURCE = "iec-60228"
# mm2: class 2 plain, class 5 plain, class 5 tinned, mohm/m
LIMITS = {
    0.5: ("36.0", "39.0", "40.1"), 0.75: ("24.5", "26.0", "26.7"), 1.0: ("18.1", "19.5", "20.0"),
    1.5: ("12.1", "13.3", "13.7"), 2.5: ("7.41", "7.98", "8.21"), 4.0: ("4.61", "4.95", "5.09"),
    6.0: ("3.08", "3.30", "3.39"), 10.0: ("1.83", "1.91", "1.95"),
    16.0: ("1.15", "1.21", "1.24"), 25.0: ("0.727", "0.780", "0.795"),
    35.0: ("0.524", "0.554", "0.565"), 50.0: ("0.387", "0.386", "0.393"),
    70.0: ("0.268", "0.272", "0.277"),
}  # fmt: skip
KT = {
    5: "1.064", 10: "1.042", 15: "1.020", 20: "1.000", 25: "0.980", 30: "0.962", 35: "0.943",
    40: "0.926", 50: "0.893", 60: "0.862", 70: "0.833", 80: "0.806", 90: "0.781", 100: "0.758",
}  # fmt: skip


def comparisons(library):
    rows = []
    for celsius, printed in KT.items():
        ours = 1.0 / resistance_at_ohm(1.0, celsius)
        why = (0.45, "the standard rounds the coefficient to 0.004 per K; ours is 1/254.5")
        rows.append(("formula wire_resistance", f"Kt at {celsius} degC", printed, ours, *why))
    for area, (_, _, tinned) in LIMITS.items():
        ours = (
            1e3 * library.conductor(f"{area:g} mm2 (IEC 60228 class 5)").resistance_ohm_per_m.upper
        )
        rows.append(("conductors", f"{area:g} mm2 class 5 tinned mohm/m", tinned, ours))
    return rows


def test_printed_value(comparison):
    assert comparison.is_within


@pytest.mark.parametrize("area", LIMITS)
def test_lower_end_is_below_every_printed_limit(area, library):
    lower = 1e3 * library.conductor(f"{area:g} mm2").resistance_ohm_per_m.lower
    assert all(lower < float(limit) for limit in LIMITS[area])
