"""National Electrical Code, chapter 9, table 8: DC resistance at 75 degC, ohm per 1000 ft."""

import pytest

from circuitcheck.formulas.wire_resistance import (
    awg_area_mm2,
    resistance_at_ohm,
    wire_resistance_ohm,
)

SOURCE = "nec-chapter-9-table-8"
SOLID = {18: "7.77", 16: "4.89", 14: "3.07", 12: "1.93", 10: "1.21", 8: "0.764"}
STRANDED = {6: "0.491", 3: "0.245", 1: "0.154", -1: "0.0967", -3: "0.0608"}
COATED = {
    18: 8.08, 16: 5.08, 14: 3.19, 12: 2.01, 10: 1.26, 8: 0.786, 6: 0.510, 1: 0.160, -1: 0.101,
    -3: 0.0626,
}  # fmt: skip
LAY = 1.02  # strands run 2 % longer than the wire


def comparisons(library):
    rows = []
    for gauge, printed in SOLID.items():
        ours = wire_resistance_ohm(304.8, awg_area_mm2(gauge), 75.0)
        why = (0.4, "three significant digits")
        rows.append(("formula wire_resistance", f"{gauge} AWG solid 75 degC", printed, ours, *why))
    for gauge, printed in STRANDED.items():
        ours = wire_resistance_ohm(304.8 * LAY, awg_area_mm2(gauge), 75.0)
        why = (0.7, "lay of the strands taken as 2 %")
        rows.append(("formula wire_resistance", f"{gauge} AWG strands", printed, ours, *why))
    for gauge, printed in STRANDED.items():
        if gauge != 3:  # no trade size of vehicle wire
            size = f"{gauge} AWG" if gauge > 0 else f"{1 - gauge}/0 AWG"
            nominal = library.conductor(f"{size} (AWG area)").resistance_ohm_per_m.nominal
            ours = LAY * resistance_at_ohm(nominal, 75.0) * 304.8
            why = (0.7, "lay of the strands taken as 2 %")
            rows.append(("conductors", f"{size} strands at 75 degC", printed, ours, *why))
    for gauge, printed in SOLID.items():
        nominal = library.conductor(f"{gauge} AWG (AWG area)").resistance_ohm_per_m.nominal
        ours = resistance_at_ohm(nominal, 75.0) * 304.8
        why = (0.4, "three significant digits")
        rows.append(("conductors", f"{gauge} AWG (AWG area) at 75 degC", printed, ours, *why))
    return rows


def test_printed_value(comparison):
    assert comparison.is_within


@pytest.mark.parametrize("gauge", COATED)
def test_coated_copper_lies_inside_the_band(gauge, library):
    size = f"{gauge} AWG" if gauge > 0 else f"{1 - gauge}/0 AWG"
    band = library.conductor(f"{size} (AWG area)").resistance_ohm_per_m
    coated = COATED[gauge] / 304.8
    assert resistance_at_ohm(band.lower, 75.0) < coated < resistance_at_ohm(band.upper, 75.0)


@pytest.mark.parametrize("gauge", COATED)
def test_tinning_costs_less_than_the_six_percent_the_vehicle_sizes_allow(gauge):
    assert COATED[gauge] / float({**SOLID, **STRANDED}[gauge]) < 1.06
