"""Kuphaldt, Lessons In Electric Circuits, DC: sizing a wire, a battery with internal resistance."""

from circuitcheck.formulas.battery import prospective_current_a
from circuitcheck.formulas.suppression import decay_time_s
from circuitcheck.formulas.voltage_drop import area_for_drop_mm2

SOURCE = "lessons-in-electric-circuits"
CMIL_MM2 = 0.0254**2 * 3.141592653589793 / 4.0
BOOK_OHM_MM2_PER_M = 10.09 * CMIL_MM2 / 0.3048  # 10.09 ohm cmil/ft


def comparisons(library):
    # 230 V, the load must keep 220 V at 25 A, 2300 ft each way
    area = area_for_drop_mm2(
        25.0, 2 * 2300.0 * 0.3048, 10.0, resistivity_20c_ohm_mm2_per_m=BOOK_OHM_MM2_PER_M
    )
    # a rise of 15 V over 1 ohm and 1 H is the mirror of a decay: what is missing from 15 A decays
    missing = [(0.5, 15.0 - 5.902), (1.0, 15.0 - 9.482), (2.0, 15.0 - 12.97), (3.0, 15.0 - 14.25)]
    rows = [
        ("formula voltage_drop", "conduct: needed cmil", "116035", area / CMIL_MM2),
        ("formula battery", "batt: 10 V, 0.2 ohm, load 1 ohm, A", "8.333",
         prospective_current_a(10.0, 0.2, 1.0)),
        ("formula battery", "batt: short circuit A", "50", prospective_current_a(10.0, 0.2, 0.0)),
    ]  # fmt: skip
    for seconds, amperes in missing:
        ours = decay_time_s(1.0, 1.0, 15.0, amperes)
        why = (0.2, "currents printed to four digits")
        rows.append(("formula suppression", f"time: 15 V, s {seconds}", str(seconds), ours, *why))
    return rows


def test_printed_value(comparison):
    assert comparison.is_within
