"""Converters by hand: 12 V behind 0.01 ohm and what hangs on them."""

import pytest

from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS
from circuitcheck.checks.supply.converter_rating import CHECK, HIGHEST, LOAD, LOWEST

WIRES = ["PLUS C.in", "C.minus MINUS", "C.out SW.line", "SW.load V.1", "V.2 MINUS"]


def converter(on_parts, ohm=10, tolerance=0, base=None, **changes):
    value = f'{{ at_20degC = "{ohm} ohm", tolerance = "{tolerance} %" }}'
    parts = {"C": ("converter", changes), "SW": "button", "V": ("coil", {"resistance": value})}
    return on_parts(CHECK, parts, WIRES, on_24_v="yes", **(base or {}))


@pytest.mark.parametrize(("amps", "result"), [("1.2 A", PASS), ("1.19 A", FAIL)])
def test_load_by_hand(on_parts, amps, result):
    found = converter(on_parts, rated_current=f'"{amps}"')[f"C: {LOAD}"]
    assert found.value == pytest.approx(12.0 / 10.02, rel=2e-3)
    assert (found.limit, found.result) == (float(amps[:-2]), result)


def test_nominal_passes_and_the_lowest_coil_fails(on_parts):
    found = converter(on_parts, tolerance=10, rated_current='"1.25 A"')[f"C: {LOAD}"]
    assert found.value == pytest.approx(12.0 / 9.02, rel=5e-3)
    assert found.result == FAIL


def test_everything_behind_it_is_added_up(on_parts):
    parts = {"C": "converter", "V": "coil", "R": ("", {"kind": '"resistor"', "resistance":
             '{ value = "12 ohm", tolerance = "0 %" }', "power": '"20 W"'})}  # fmt: skip
    wires = ["PLUS C.in", "C.minus MINUS", "C.out S", "S V.1", "V.2 MINUS", "S R.1", "R.2 MINUS"]
    parts["S"] = ("", {"kind": '"splice"'})
    found = on_parts(CHECK, parts, wires, on_24_v="yes")[f"C: {LOAD}"]
    assert found.value == pytest.approx(1.2 + 1.0, rel=1e-2)


@pytest.mark.parametrize(
    ("span", "low", "high"),
    [('["20 V", "32 V"]', PASS, PASS), ('["23.9 V", "27.9 V"]', PASS, FAIL),
     ('["24.1 V", "28.1 V"]', FAIL, PASS)],
)  # fmt: skip
def test_input_range(on_parts, span, low, high):
    found = converter(on_parts, input=span)
    lowest, highest = found[f"C: {LOWEST}"], found[f"C: {HIGHEST}"]
    assert lowest.value == pytest.approx(24.0, rel=2e-3)
    assert highest.value == pytest.approx(28.0, rel=2e-3)
    assert (lowest.result, highest.result) == (low, high)


def test_an_unknown_range_is_asked_for(on_parts):
    found = converter(on_parts, input=None)
    assert found[f"C: {LOWEST}"].result == NOT_JUDGED
    assert "read it on the converter" in found[f"C: {LOWEST}"].reason
    assert found[f"C: {LOAD}"].result == PASS


@pytest.mark.parametrize(
    "changes",
    [
        {"rated_current": '"unknown"', "type": '"24 V to 12 V, 5 A"'},
        {"rated_current": None, "type": '"unknown"'},
    ],
)
def test_an_unknown_rating_neither_passes_nor_fails(on_parts, changes):
    for ohm in (2, 10):
        found = converter(on_parts, ohm=ohm, **changes)[f"C: {LOAD}"]
        assert (found.result, found.limit) == (NOT_JUDGED, None)
        assert "rated output current is not given" in found.reason


def test_a_rating_read_on_a_converter_of_unknown_type_counts(on_parts):
    found = converter(on_parts, rated_current='"5 A"', type='"unknown"')[f"C: {LOAD}"]
    assert (found.result, found.limit) == (PASS, 5.0)


def test_without_a_converter_there_is_nothing_to_say(on_parts):
    assert on_parts(CHECK, {"V": "coil"}, ["PLUS V.1", "V.2 MINUS"]) == {}
