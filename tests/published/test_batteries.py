"""Battery ratings and state-of-charge table: open-circuit voltage, resistance from CCA."""

from circuitcheck.formulas.battery import internal_resistance_ohm

SOURCE = "battery-charge-table"
# usual ranges of internal resistance of 12 V machine batteries, from memory, mohm
CHARGED_WARM, SMALL_AGED_COLD = (4.0, 10.0), (15.0, 40.0)


def comparisons(library):
    row = library.battery("12 V flooded, 60 Ah")
    return [
        ("batteries", "12 V empty V", "11.89", row.open_circuit_v.lower),
        ("batteries", "12 V at 75 % V", "12.45", row.open_circuit_v.nominal),
        ("batteries", "24 V empty, doubled V", "23.78",
         library.battery("24 V flooded, 100 Ah").open_circuit_v.lower),
        ("formula battery", ("cold-cranking", "500 A CCA mohm"), "10.8",
         1e3 * internal_resistance_ohm(500.0)),
        ("supply", "12 V engine off lower, empty V", "11.89",
         library.supply(12.0, "engine off").voltage_v.lower, 0.1, "rounded to 0.1 V"),
    ]  # fmt: skip


def test_printed_value(comparison):
    assert comparison.is_within


def test_rows_follow_from_their_cold_cranking_current(library):
    for row in library.batteries.values():
        series = round(row.system_v / 12.0)
        cold_new = internal_resistance_ohm(row.cold_cranking_a, series)
        assert abs(row.resistance_ohm.lower / cold_new - 0.3) < 0.003
        assert abs(row.resistance_ohm.nominal / cold_new - 0.6) < 0.003
        assert abs(row.resistance_ohm.upper / cold_new - 3.0) < 0.02


def test_a_small_machine_battery_covers_the_usual_ranges(library):
    band = library.battery("12 V flooded, 60 Ah").resistance_ohm
    assert 1e3 * band.lower <= CHARGED_WARM[0]
    assert CHARGED_WARM[0] <= 1e3 * band.nominal <= CHARGED_WARM[1]
    assert SMALL_AGED_COLD[0] <= 1e3 * band.upper <= SMALL_AGED_COLD[1]


def test_full_battery_of_every_printed_table_is_inside_the_band(library):
    # full 12 V battery: 12.65, 12.66 and 12.60 V in three tables
    band = library.battery("12 V flooded, 60 Ah").open_circuit_v
    assert all(band.lower < volt < band.upper for volt in (12.65, 12.66, 12.60))
