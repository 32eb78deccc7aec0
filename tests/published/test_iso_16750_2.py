"""ISO 16750-2: supply ranges, cranking levels, load dump."""

import pytest

SOURCE = "iso-16750-2"
WIDEST = {12.0: (6.0, 16.0), 24.0: (10.0, 32.0)}  # codes A and E


def comparisons(library):
    rows = [
        (
            "supply",
            "12 V alternator running V",
            "14",
            library.supply(12, "charging").voltage_v.nominal,
        ),
        (
            "supply",
            "24 V alternator running V",
            "28",
            library.supply(24, "charging").voltage_v.nominal,
        ),
        (
            "supply",
            "12 V cranking level I V",
            "9.5",
            library.supply(12, "cranking").voltage_v.nominal,
        ),
        (
            "supply",
            "12 V cranking level II V",
            "6.5",
            library.supply(12, "cranking").voltage_v.lower,
        ),
        (
            "supply",
            "24 V cranking level I V",
            "20.0",
            library.supply(24, "cranking").voltage_v.nominal,
        ),
        (
            "supply",
            "24 V cranking level II V",
            "15.0",
            library.supply(24, "cranking").voltage_v.lower,
        ),
    ]
    for key, printed in (
        ("load_dump_clamped_12v_v", "35"), ("load_dump_12v_v", "101"), ("load_dump_24v_v", "202"),
        ("regulator_failure_12v_v", "18"), ("regulator_failure_24v_v", "36"),
        ("jump_start_12v_v", "26"), ("jump_start_s", "60"), ("cranking_s", "10"),
        ("reversed_12v_v", "14"), ("reversed_s", "60"), ("load_dump_clamped_24v_v", "58"),
        ("load_dump_source_12v_ohm", "0.5"), ("load_dump_source_24v_ohm", "1"),
        ("load_dump_s", "0.4"),
    ):  # fmt: skip
        rows.append(("limits", key, printed, library.limit(key).value))
    return rows


def test_printed_value(comparison):
    assert comparison.is_within


@pytest.mark.parametrize("system_v", WIDEST)
@pytest.mark.parametrize("state", ["engine off", "charging", "cranking"])
def test_defaults_lie_inside_the_widest_code(system_v, state, library):
    lower, upper = WIDEST[system_v]
    band = library.supply(system_v, state).voltage_v
    assert lower <= band.lower < band.upper <= upper


def test_24_v_is_twice_12_v_while_charging_and_at_rest(library):
    for state in ("engine off", "charging"):
        single, double = (library.supply(v, state).voltage_v for v in (12.0, 24.0))
        assert double.lower == 2 * single.lower
        assert double.upper == 2 * single.upper


def test_the_first_dip_of_cranking_is_that_of_level_ii_at_its_lower_end(library):
    # first dip 4.5 V and 8 V, tolerance 0.2 V below
    assert library.limit("cranking_dip_12v_v").value == pytest.approx(4.5 - 0.2)
    assert library.limit("cranking_dip_24v_v").value == pytest.approx(8.0 - 0.2)
