"""OpenStax College Physics and University Physics: worked examples with wires, cells and coils."""

from circuitcheck.formulas.battery import prospective_current_a
from circuitcheck.formulas.suppression import decay_time_s, stored_energy_j
from circuitcheck.formulas.wire_resistance import (
    COPPER_OHM_MM2_PER_M,
    awg_area_mm2,
    wire_resistance_ohm,
)

SOURCE = "openstax-university-physics"
COLLEGE = "openstax-college-physics"
BOOK_OHM_MM2_PER_M = 0.0168  # the book's resistivity of copper; ours is 1/58


def comparisons(library):
    book = BOOK_OHM_MM2_PER_M / COPPER_OHM_MM2_PER_M
    ours = wire_resistance_ohm(5.0, awg_area_mm2(12), 20.0) * book
    full, hundredth = stored_energy_j(4.0, 0.5), 0.01
    end_a = (2.0 * hundredth * full / 4.0) ** 0.5
    return [
        ("formula wire_resistance", "m58731: 5.00 m of 12 AWG ohm", "0.025", ours),
        ("formula battery", "m58453: 12 V, 0.100 and 0.500 ohm, A", "20.00",
         prospective_current_a(12.0, 0.1, 0.5)),
        ("formula battery", "m58453: 12 V, 0.100 and 10.0 ohm, A", "1.188",
         prospective_current_a(12.0, 0.1, 10.0)),
        ("formula battery", "m58453: 12 V, 0.500 and 0.500 ohm, A", "12.00",
         prospective_current_a(12.0, 0.5, 0.5)),
        ("formula suppression", "m58752: 4.0 H, 4.0 ohm, half current s", "0.69",
         decay_time_s(4.0, 4.0, 0.5, 0.25)),
        ("formula suppression", "m58752: energy down to 1 %, s", "2.3",
         decay_time_s(4.0, 4.0, 0.5, end_a)),
        ("formula suppression", (COLLEGE, "m42425: 7.50 mH, 3.00 ohm, 10.0 to 3.68 A, ms"), "2.50",
         1e3 * decay_time_s(0.0075, 3.0, 10.0, 3.68)),
        ("formula suppression", (COLLEGE, "m42425: 10.0 to 1.35 A, ms"), "5.00",
         1e3 * decay_time_s(0.0075, 3.0, 10.0, 1.35), 0.15, "1.35 A is itself rounded"),
    ]  # fmt: skip


def test_printed_value(comparison):
    assert comparison.is_within
