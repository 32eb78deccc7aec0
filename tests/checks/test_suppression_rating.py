"""Ratings of suppressors; load dump as ISO 16750-2 has it."""

import pytest

from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS
from circuitcheck.checks.release.suppression_rating import CHECK

REVERSE = "reverse voltage of the diode"
FORWARD = "current of the diode at switch-off"
AMPS = 12.0 / (10.13 + 1.6745e-3 + 0.05e-3 + 1e-6 + 7 * 0.01 * 1.999e-3)  # 1.184 A, see the bench
ON_24_V = {
    "system": "24 V", "battery": "24 V flooded, 100 Ah", "rated": "24 V",
    "resistance": '{ at_20degC = "40 ohm", tolerance = "0 %" }',
    "engine_off": '["24 V", "24 V"]', "charging": '["28 V", "28 V"]',
}  # fmt: skip


def rated(on_bench, suppression, **changes):
    return {f.quantity: f for f in on_bench(CHECK, "VL", suppression=suppression, **changes)}


def diode(reverse=400, forward=3, kind="diode"):
    return f'{{ kind = "{kind}", cathode = "1", reverse = "{reverse} V", forward = "{forward} A" }}'


@pytest.mark.parametrize("kind", ["diode", "diode + Zener"])
@pytest.mark.parametrize(("volts", "result"), [(36, PASS), (34, FAIL)])
def test_reverse_voltage_stands_a_clamped_load_dump(on_bench, kind, volts, result):
    found = rated(on_bench, diode(reverse=volts, kind=kind))[REVERSE]
    assert found.value == 35.0  # ISO 16750-2, test B, 12 V: highest clamp
    assert (found.limit, found.result) == (volts, result)


@pytest.mark.parametrize(("volts", "result"), [(60, PASS), (50, FAIL)])
def test_reverse_voltage_on_24_v(on_bench, volts, result):
    found = rated(on_bench, diode(reverse=volts), **ON_24_V)[REVERSE]
    assert found.value == 58.0  # ISO 16750-2, test B, 24 V
    assert found.result == result


@pytest.mark.parametrize(("amps", "result"), [(1.19, PASS), (1.18, FAIL)])
def test_forward_current_carries_the_coils(on_bench, amps, result):
    found = rated(on_bench, diode(forward=amps))[FORWARD]
    assert found.value == pytest.approx(AMPS, rel=1e-5)
    assert found.result == result
    terms = {term.symbol: term.value for term in found.working.terms}
    assert eval(found.working.formula, {}, terms) == pytest.approx(AMPS, rel=1e-5)


def test_without_a_rating_the_largest_current_is_shown(judge):
    always = {"key": '"always"', "key_contact": None}
    bare = {"suppression": '{ kind = "diode", cathode = "1" }'}
    found = judge(CHECK, upstream=always, VL=bare)[f"VL: {FORWARD}"]
    assert found.result == NOT_JUDGED
    assert found.position == "key on, left"  # 14.9 V, not the 12.8 V of a resting engine


def test_ratings_not_given_are_not_judged(on_bench):
    found = rated(on_bench, '{ kind = "diode", cathode = "1" }')
    assert {f.result for f in found.values()} == {NOT_JUDGED}
    assert all("data sheet" in f.reason for f in found.values())
    unknown = rated(on_bench, '{ kind = "resistor", resistance = "unknown", power = "2 W" }')
    assert [f.result for f in unknown.values()] == [NOT_JUDGED]


@pytest.mark.parametrize("kind", ['"none"', '{ kind = "unknown" }'])
def test_no_suppressor_has_no_rating(on_bench, kind):
    assert rated(on_bench, kind) == {}


def test_nominal_passes_and_worst_case_fails(on_bench, bench):
    changes = {
        "suppression": diode(forward=1.5),
        "charging": '["13 V", "14.9 V"]',
        "coil_air": '["-10 degC", "45 degC"]',
    }
    found = {f.quantity: f for f in on_bench(CHECK, "VL", **changes)}[FORWARD]
    solved = bench(**changes).solution.of(found.position, found.coil_state)
    assert solved.current_a("VL").nominal < 1.5 < found.value
    assert found.result == FAIL


@pytest.mark.parametrize(("volts", "result"), [(15, PASS), (14.8, FAIL)])
def test_a_tvs_leaves_the_highest_supply_alone(on_bench, volts, result):
    tvs = f'{{ kind = "bidirectional TVS", standoff = "{volts} V" }}'
    found = rated(on_bench, tvs, charging='["13 V", "14.9 V"]')
    (tvs_finding,) = found.values()
    assert (tvs_finding.value, tvs_finding.limit, tvs_finding.result) == (14.9, volts, result)


def test_a_tvs_of_unknown_stand_off(on_bench):
    (found,) = rated(on_bench, '"bidirectional TVS"').values()
    assert found.result == NOT_JUDGED


def test_a_diode_wired_across_is_rated_too(on_parts):
    # 1.2 A of the coil pass over to a 1 A diode that blocks 400 V
    joint = ("", {"kind": '"splice"'})
    diode = ("", {"kind": '"diode"', "type": '"1 A silicon diode, 400 V"'})
    bare = ("coil", {"suppression": '"none"', "polarity": None})
    parts = {"SW": "button", "A": joint, "B": joint, "V": bare, "D": diode}
    wires = ["PLUS SW.line", "SW.load A", "A V.1", "V.2 B", "B MINUS", "A D.cathode", "D.anode B"]
    found = on_parts(CHECK, parts, wires)
    assert found["V: current of the diode D at switch-off"].result == FAIL
    assert found["V: reverse voltage of the diode D"].result == PASS


def test_a_relays_own_diode_is_its_makers_affair_unless_rated(on_parts):
    wires = ["PLUS SW.line", "SW.load K.86", "K.85 MINUS", "PLUS K.30", "K.87 V.1", "V.2 MINUS"]
    bare = {"suppression": '{ kind = "diode", cathode = "86" }'}
    parts = {"SW": "button", "K": ("relay", bare), "V": "coil"}
    assert not [key for key in on_parts(CHECK, parts, wires) if key.startswith("K:")]
    given = {"suppression": '{ kind = "diode", cathode = "86", forward = "100 mA" }'}
    parts["K"] = ("relay", given)
    assert on_parts(CHECK, parts, wires)["K: current of the diode at switch-off"].result == FAIL
