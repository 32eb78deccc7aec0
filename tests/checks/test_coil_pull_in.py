"""Pull-in of a heat-soaked coil, worked out beside the program from copper's law alone."""

import math
from dataclasses import replace

import pytest

from circuitcheck import open_case
from circuitcheck.checks.coils.coil_pull_in import BY_CURRENT, BY_VOLTAGE, CHECK
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS
from circuitcheck.solve.solution import HEAT_SOAKED

HELD = 'longest_press = "400 s"\npresses_per_hour = 9'  # over 300 s: continuous (DIN VDE 0580)
# what is left in the loop is some 4 mohm of feed: 0.04 % of the coil
BARE = {
    "use": HELD, "fuse": "0.0001 ohm", "contact": '"0 ohm"', "pair": '"0 ohm"', "bond": '"0 ohm"',
}  # fmt: skip


def findings(on_bench, **changes):
    found = {f.quantity: f for f in on_bench(CHECK, "VL", **BARE | changes)}
    return found[BY_VOLTAGE], found[BY_CURRENT]


def winding(volts, air_c, r20, k_per_w):
    """234.5 + T of a coil held on: y (y - b) = Rth 254.5 V^2 / R20, the positive root."""
    b = 234.5 + air_c
    return (b + math.sqrt(b * b + 4.0 * k_per_w * 254.5 * volts**2 / r20)) / 2.0


@pytest.mark.parametrize(("lowest", "result"), [("10.3 V", PASS), ("10.15 V", FAIL)])
def test_by_voltage_at_85_percent_of_rated(on_bench, lowest, result):
    by_voltage, _ = findings(on_bench, engine_off=f'["{lowest}", "12 V"]')
    assert by_voltage.limit == pytest.approx(0.85 * 12.0)
    assert by_voltage.value == pytest.approx(float(lowest[:-2]), rel=1e-3)
    assert by_voltage.coil_state == HEAT_SOAKED
    assert not by_voltage.at_most
    assert by_voltage.result == result


def test_by_current_two_linked_solves(on_bench):
    # soaked on 14.9 V in air of 60 degC, pull-in stated for 12 V in air of 20 degC
    changes = {"charging": '["13.2 V", "14.9 V"]', "coil_air": '["0 degC", "60 degC"]'}
    y_soaked = winding(14.9, 60.0, 10.0, 5.0)
    y_rated = winding(12.0, 20.0, 10.0, 5.0)
    assert y_soaked - 234.5 == pytest.approx(136.2, abs=0.1)
    assert y_rated - 234.5 == pytest.approx(78.5, abs=0.1)
    needed = 0.85 * 12.0 * y_soaked / y_rated  # 12.08 V: a coil that is "85 %" cannot do it
    _, by_current = findings(on_bench, **changes)
    assert by_current.limit == pytest.approx(needed, rel=3e-4)
    assert by_current.value == pytest.approx(12.0, rel=1e-3)
    assert by_current.result == FAIL
    by_voltage, _ = findings(on_bench, **changes)
    assert by_voltage.result == PASS


@pytest.mark.parametrize(("volts", "result"), [(12.15, PASS), (12.05, FAIL)])
def test_by_current_just_inside_and_outside(on_bench, volts, result):
    _, by_current = findings(
        on_bench,
        engine_off=f'["{volts} V", "12.8 V"]',
        charging='["13.2 V", "14.9 V"]',
        coil_air='["0 degC", "60 degC"]',
    )
    assert by_current.limit == pytest.approx(12.08, abs=0.01)
    assert by_current.result == result


def test_current_is_the_current_of_the_stated_pull_in(on_bench, bench):
    # at the limit the soaked coil carries just p U_r / R(T_ref)
    changes = BARE | {"charging": '["13.2 V", "14.9 V"]', "coil_air": '["60 degC", "60 degC"]'}
    _, by_current = findings(on_bench, **changes)
    terms = {term.symbol: term.value for term in by_current.working.terms}
    r_soaked = 10.0 * (234.5 + terms["T_soak"]) / 254.5
    r_rated = 10.0 * (234.5 + terms["T_ref"]) / 254.5
    assert by_current.limit / r_soaked == pytest.approx(0.85 * 12.0 / r_rated)
    heat = bench(**changes).solution.heat["VL"]
    assert heat.temperature_c.upper == pytest.approx(terms["T_soak"], abs=0.1)


def test_coil_data_sheet_24_v_as_a_soak(on_bench, bench):
    # Typical 24 V coil data sheet: 26.2 ohm at 20 degC, 37.2 ohm hot at 24 V in air of 50 degC,
    # +/-10 %. Its heat path: (126.9 - 50) K over 24^2 / 37.2 W.
    k_per_w = (37.2 / 26.2 * 254.5 - 234.5 - 50.0) / (24.0**2 / 37.2)
    changes = BARE | {
        "system": "24 V",
        "battery": "24 V flooded, 100 Ah",
        "rated": "24 V",
        "resistance": '{ at_20degC = "26.2 ohm", tolerance = "0 %" }',
        "thermal": f'{{ resistance = "{k_per_w:.5f} K/W", time_constant = "1200 s", class = "N" }}',
        "rated_ambient": '"50 degC"',
        "coil_air": '"50 degC"',
        "pull_in": '"90 %"',
        "highest": '"110 %"',
        "engine_off": '["24 V", "24 V"]',
        "charging": '["24 V", "24 V"]',
    }
    heat = bench(**changes).solution.heat["VL"]
    assert heat.resistance_ohm.nominal == pytest.approx(37.2, abs=0.05)
    assert heat.temperature_c.nominal == pytest.approx(126.9, abs=0.3)
    by_voltage, by_current = findings(on_bench, **changes)
    # soaked at its own reference: both ways ask the same
    assert by_voltage.limit == pytest.approx(21.6)
    assert by_current.limit == pytest.approx(21.6, rel=1e-3)
    assert by_current.result == PASS
    # soaked at its highest voltage it needs more, although its range says 21.6 V
    changes["charging"] = '["26.4 V", "26.4 V"]'
    changes["engine_off"] = '["22 V", "25 V"]'
    by_voltage, by_current = findings(on_bench, **changes)
    ratio = winding(26.4, 50.0, 26.2, k_per_w) / winding(24.0, 50.0, 26.2, k_per_w)
    assert by_current.limit == pytest.approx(21.6 * ratio, rel=1e-3)
    assert by_voltage.result == PASS
    assert by_current.result == FAIL


@pytest.mark.parametrize(
    ("air", "charging", "engine_off"),
    [
        (70.0, '["13 V", "14.9 V"]', '["12 V", "12 V"]'),  # soaked more than its reference
        (90.0, '["10.5 V", "10.5 V"]', '["10.5 V", "10.5 V"]'),  # hot air, little voltage
    ],
)
def test_no_coil_within_tolerance_needs_more(on_bench, air, charging, engine_off):
    _, by_current = findings(
        on_bench,
        charging=charging,
        engine_off=engine_off,
        coil_air=f'"{air} degC"',
        resistance='{ at_20degC = "10 ohm", tolerance = "10 %" }',
        thermal='{ resistance = ["4 K/W", "6 K/W"], time_constant = "1200 s", class = "H" }',
    )
    highest = float(charging.split('"')[3].split()[0])
    needed = [
        0.85 * 12.0 * winding(highest, air, r20, k) / winding(12.0, 20.0, r20, k)
        for r20 in (9.0, 9.5, 10.0, 10.5, 11.0)
        for k in (4.0, 4.5, 5.0, 5.5, 6.0)
    ]
    # never less than the neediest coil, and no more than 0.1 % above: the feed's 4 mohm
    assert max(needed) * (1 - 1e-4) <= by_current.limit <= max(needed) * 1.001


def test_nominal_passes_and_worst_case_fails(on_bench, bench):
    changes = BARE | {"engine_off": '["9.9 V", "12.6 V"]', "charging": '["13.2 V", "14 V"]'}
    by_voltage, _ = findings(on_bench, **changes)
    solved = bench(**changes).solution.of(by_voltage.position, by_voltage.coil_state)
    assert solved.across_v("VL").nominal > by_voltage.limit
    assert by_voltage.result == FAIL


def test_both_pressed_is_the_worst_position(on_bench):
    changes = {"fuse": "0.5 ohm", "engine_off": '["11 V", "12 V"]'}
    apart, _ = findings(on_bench, **changes)
    together, _ = findings(on_bench, interlock="none", **changes)
    assert apart.position == "key on, left"
    assert together.position == "key on, left + right"
    assert (apart.result, together.result) == (PASS, FAIL)


def test_unknown_heat_path_is_not_judged_by_current(on_bench):
    by_voltage, by_current = findings(on_bench, thermal='"unknown"')
    assert by_voltage.result == PASS
    assert by_current.result == NOT_JUDGED
    assert "measure its resistance cold and after" in by_current.reason


def test_a_pull_in_left_out_is_said(on_bench):
    by_voltage, _ = findings(on_bench, pull_in=None)
    assert by_voltage.limit == pytest.approx(10.2)
    assert any("pull_in not given, taken as 85 %" in c for c in by_voltage.conditions)


def test_without_a_pull_in_figure_nothing_is_judged(bench):
    case = bench(**BARE)
    coil = replace(case.harness.parts["VL"], pull_in_fraction=None)
    harness = replace(case.harness, parts={**case.harness.parts, "VL": coil})
    found = [f for f in CHECK.judge(open_case(harness, case.library)) if f.subject == "VL"]
    assert [f.result for f in found] == [NOT_JUDGED, NOT_JUDGED]
    assert all("ask the coil's maker" in f.reason for f in found)


def test_unknown_load_on_the_tap_is_no_pass(on_bench):
    by_voltage, _ = findings(on_bench, present_load='"unknown"')
    assert by_voltage.result == NOT_JUDGED


def test_workings_give_the_limits(on_bench):
    for finding in findings(on_bench):
        terms = {term.symbol: term.value for term in finding.working.terms}
        assert eval(finding.working.formula, {}, terms) == pytest.approx(finding.limit)
