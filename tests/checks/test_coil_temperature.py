"""Winding temperature by duty, from copper's law and one thermal resistance, worked out by hand."""

import math

import pytest

from circuitcheck.checks.coils.coil_temperature import CHECK
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS

HELD = 'longest_press = "400 s"\npresses_per_hour = 9'  # over 300 s: continuous (DIN VDE 0580)
BARE = {
    "use": HELD, "fuse": "0.0001 ohm", "contact": '"0 ohm"', "pair": '"0 ohm"', "bond": '"0 ohm"',
}  # fmt: skip


def findings(on_bench, **changes):
    return on_bench(CHECK, "VL", **BARE | changes)


def held_c(volts, air_c, r20, k_per_w):
    b = 234.5 + air_c
    return (b + math.sqrt(b * b + 4.0 * k_per_w * 254.5 * volts**2 / r20)) / 2.0 - 234.5


def test_held_on_by_hand(on_bench):
    (heat,) = findings(on_bench, charging='["13 V", "14.9 V"]', coil_air='["0 degC", "60 degC"]')
    assert heat.value == pytest.approx(held_c(14.9, 60.0, 10.0, 5.0), abs=0.1)  # 136 degC
    assert (heat.limit, heat.result) == (180.0, PASS)  # class H, IEC 60085


def test_pressed_and_released_by_hand(on_bench):
    # 120 s of every 240 s, time constant 1200 s: s = (1 - e^-0.1) / (1 - e^-0.2) = 0.525 at the
    # end of a press; the power is that of a winding between rest and peak
    (heat,) = findings(
        on_bench,
        charging='["13 V", "14 V"]',
        coil_air='"50 degC"',
        use='longest_press = "120 s"\npresses_per_hour = 15',
    )
    share = math.expm1(-0.1) / math.expm1(-0.2)
    highest, lowest = 200.0, 50.0
    for _ in range(50):
        rest_c = 50.0 + (lowest - 50.0) * math.exp(-0.1)
        lowest = 50.0 + 5.0 * share * 14.0**2 / (10.0 * (234.5 + highest) / 254.5)
        highest = 50.0 + 5.0 * share * 14.0**2 / (10.0 * (234.5 + rest_c) / 254.5)
    assert lowest - 0.1 <= heat.value <= highest + 0.1
    assert highest - lowest < 1.5


def test_worst_coil_of_its_tolerance(on_bench):
    (heat,) = findings(
        on_bench,
        resistance='{ at_20degC = "10 ohm", tolerance = "10 %" }',
        thermal='{ resistance = ["4 K/W", "6 K/W"], time_constant = "1200 s", class = "H" }',
    )
    assert heat.value == pytest.approx(held_c(12.0, 20.0, 9.0, 6.0), abs=0.1)


@pytest.mark.parametrize(("above", "result"), [(0.5, PASS), (-0.5, FAIL)])
def test_just_inside_and_outside(on_bench, above, result):
    limit = held_c(12.0, 20.0, 10.0, 5.0) + above
    thermal = f'{{ resistance = "5 K/W", time_constant = "1200 s", limit = "{limit:.2f} degC" }}'
    assert findings(on_bench, thermal=thermal)[0].result == result


def test_nominal_passes_and_worst_case_fails(on_bench, bench):
    changes = BARE | {
        "charging": '["13 V", "14.9 V"]',
        "coil_air": '["0 degC", "80 degC"]',
        "thermal": '{ resistance = ["4 K/W", "8 K/W"], time_constant = "1200 s", class = "F" }',
    }
    (heat,) = findings(on_bench, **changes)
    nominal_c = bench(**changes).solution.heat["VL"].temperature_c.nominal
    assert nominal_c < 155.0 < heat.value
    assert heat.result == FAIL


def test_coil_data_sheet_24_v(on_bench):
    # Typical 24 V coil data sheet: 26.2 ohm at 20 degC, 37.2 ohm hot at 24 V in air of 50 degC:
    # 126.9 degC, 77 K over 15.5 W. Class N, 200 degC; 100 % duty.
    k_per_w = (37.2 / 26.2 * 254.5 - 234.5 - 50.0) / (24.0**2 / 37.2)
    (heat,) = findings(
        on_bench,
        system="24 V",
        battery="24 V flooded, 100 Ah",
        rated="24 V",
        resistance='{ at_20degC = "26.2 ohm", tolerance = "0 %" }',
        thermal=f'{{ resistance = "{k_per_w:.5f} K/W", time_constant = "1200 s", class = "N" }}',
        coil_air='"50 degC"',
        engine_off='["24 V", "24 V"]',
        charging='["24 V", "24 V"]',
    )
    assert heat.value == pytest.approx(126.9, abs=0.2)
    assert heat.limit == 200.0
    assert heat.result == PASS
    terms = {term.symbol: term.value for term in heat.working.terms}
    assert terms["R_w"] == pytest.approx(37.2, abs=0.03)
    assert eval(heat.working.formula, {}, terms) == pytest.approx(heat.value)


def test_unknown_heat_path_or_class_is_not_judged(on_bench):
    no_path = findings(on_bench, thermal='{ resistance = "unknown", class = "H" }')[0]
    assert no_path.result == NOT_JUDGED
    assert "ask for its hot resistance" in no_path.reason
    no_class = findings(on_bench, thermal='{ resistance = "5 K/W" }')[0]
    assert no_class.result == NOT_JUDGED
    assert "class" in no_class.reason
    neither = findings(on_bench, thermal='"unknown"')[0]
    assert "class" in neither.reason
    assert "hot resistance" in neither.reason


def test_the_working_leads_from_the_presses_to_the_temperature(on_bench):
    (heat,) = findings(on_bench, use='longest_press = "120 s"\npresses_per_hour = 15')
    reached, warm = heat.working.steps
    # (1 - e^-0.1) / (1 - e^-0.2), and the winding at the start of a press
    assert reached.result.value == pytest.approx(math.expm1(-0.1) / math.expm1(-0.2))
    start_c = next(term.value for term in warm.terms if term.symbol == "T_w")
    assert 20.0 < start_c < heat.value
    assert warm.result.value == pytest.approx(10.0 * (234.5 + start_c) / 254.5)
    (held,) = findings(on_bench)
    (warm,) = held.working.steps
    # held on, the winding is as hot as the answer says
    end_c = next(term.value for term in warm.terms if term.symbol == "T_w")
    assert end_c == pytest.approx(held.value, abs=0.01)
