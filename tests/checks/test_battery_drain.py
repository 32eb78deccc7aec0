"""What an add-on draws at rest, by hand: 12 V over what is left on, half of the ampere-hours."""

import pytest

from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS
from circuitcheck.checks.supply.battery_drain import CHECK, CURRENT, TIME


def resistor(ohm, tolerance=0):
    value = f'{{ value = "{ohm} ohm", tolerance = "{tolerance} %" }}'
    return "", {"kind": '"resistor"', "resistance": value}


def drain(on_parts, ohm, key="always", **base):
    parts = {"R": resistor(ohm)}
    return on_parts(CHECK, parts, ["PLUS R.1", "R.2 MINUS"], key=key, **base)


@pytest.mark.parametrize(("ohm", "result"), [(241, PASS), (239, FAIL)])
def test_fifty_milliamperes(on_parts, ohm, result):
    found = drain(on_parts, ohm)[f": {CURRENT}"]
    assert found.value == pytest.approx(12.0 / ohm, rel=1e-4)
    assert (found.limit, found.result) == (0.05, result)
    assert found.position == "key off"


@pytest.mark.parametrize(("ohm", "result"), [(269, PASS), (268, FAIL)])
def test_four_weeks_to_half_of_sixty_ampere_hours(on_parts, ohm, result):
    # 30 Ah over 672 h is 44.6 mA; 12 V over it is 268.8 ohm
    found = drain(on_parts, ohm)[f": {TIME}"]
    assert found.value == pytest.approx(30.0 / (12.0 / ohm), rel=1e-4)
    assert (found.limit, found.at_most, found.result) == (672.0, False, result)


def test_a_tap_that_the_key_switches_draws_nothing(on_parts):
    found = drain(on_parts, 10, key="on")
    assert [f.value for f in found.values()] == [0.0]
    assert found[f": {CURRENT}"].result == PASS


def test_a_tap_of_unknown_switching(on_parts):
    found = drain(on_parts, 10, key="unknown")
    assert {f.result for f in found.values()} == {NOT_JUDGED}
    assert "measure the voltage there with the key off" in found[f": {CURRENT}"].reason
    # what would be little enough even then needs no measurement
    assert drain(on_parts, 10_000, key="unknown")[f": {CURRENT}"].result == PASS


def test_an_unknown_battery_has_no_hours(on_parts):
    found = drain(on_parts, 100, battery='"unknown"')
    assert found[f": {TIME}"].result == NOT_JUDGED
    assert "ampere-hours" in found[f": {TIME}"].reason
    assert found[f": {CURRENT}"].result == FAIL


def test_nominal_passes_and_worst_case_fails(on_parts, parts):
    parts_of = {"R": resistor(250, 10)}
    base = {"key": "always", "engine_off": '["11.9 V", "12.4 V"]', "charging": '["13 V", "14 V"]'}
    wires = ["PLUS R.1", "R.2 MINUS"]
    found = on_parts(CHECK, parts_of, wires, **base)[f": {CURRENT}"]
    at_rest = parts(parts_of, wires, **base).solution.of("key off", "cold start")
    assert at_rest.current_a("B3").nominal < 0.05
    # the resting supply, not the charging one: 12.4 V over 225 ohm
    assert found.value == pytest.approx(12.4 / 225.0, rel=1e-3)
    assert found.result == FAIL


def test_every_way_back_is_added_up(on_parts):
    parts = {"R1": resistor(1000), "R2": resistor(500)}
    wires = ["PLUS R1.1", "R1.2 MINUS", "PLUS R2.1", "R2.2 BAT.-"]
    found = on_parts(CHECK, parts, wires, key="always")[f": {CURRENT}"]
    assert found.value == pytest.approx(0.012 + 0.024, rel=1e-3)
    assert found.working.formula == "I_1 + I_2"


def test_a_button_that_nobody_holds_draws_nothing(on_parts):
    parts = {"SW": "button", "V": "coil"}
    wires = ["PLUS SW.line", "SW.load V.1", "V.2 MINUS"]
    found = on_parts(CHECK, parts, wires, key="always")
    assert [f.value for f in found.values()] == [pytest.approx(0.0, abs=1e-9)]
