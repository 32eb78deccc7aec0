"""A coil soaked at the highest supply, then asked to move on the weakest: two linked solves.

Worked out beside the program from copper's law, Ohm's law and one thermal resistance, by roots and
by integrating the winding's temperature over time (scipy). The bench of the checks' tests gives
every resistance of the loop; its wires and clips add some 5 milliohm.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from checks.coil_bench import bench_text
from scipy.integrate import solve_ivp
from scipy.optimize import brentq
from solve.small_harnesses import solved, solved_text

from circuitcheck.solve.solution import HEAT_SOAKED
from circuitcheck.solve.worst_case import Solution

HELD = 'longest_press = "301 s"\npresses_per_hour = 1'  # over 300 s: continuous (DIN VDE 0580)
NO_LOSS = {"fuse": "0.0001 ohm", "contact": '"0 ohm"', "pair": '"0 ohm"', "bond": '"0 ohm"'}
LOOSE_OHM = 0.006  # what wires, clips and the tap's joint add to the loop at most
TEN = '{ at_20degC = "10 ohm", tolerance = "10 %" }'


def bench(**changes: str | None) -> Solution:
    return solved_text(bench_text(**NO_LOSS | changes))


def winding_c(ohm: float, r20: float) -> float:
    return ohm / r20 * 254.5 - 234.5


def settled_ohm(volts: float, series: float, r20: float, air_c: float, k_per_w: float) -> float:
    """Root of R = R20 (234.5 + T) / 254.5 with T = air + Rth I^2 R and I = V / (R + Rs)."""

    def off(ohm: float) -> float:
        heat_w = (volts / (ohm + series)) ** 2 * ohm
        return ohm - r20 * (234.5 + air_c + k_per_w * heat_w) / 254.5

    return brentq(off, 0.1 * r20, 10.0 * r20, xtol=1e-12)


def test_two_linked_solves_with_a_resistance_before_the_coil() -> None:
    # soaked: 14.9 V, 1 ohm, 10 ohm at 20 degC, air 60 degC, 5 K/W; then 11.9 V
    solution = bench(
        use=HELD,
        contact='"1 ohm"',
        coil_air='["-10 degC", "60 degC"]',
        engine_off='["11.9 V", "12.8 V"]',
        charging='["13.2 V", "14.9 V"]',
    )
    hot = settled_ohm(14.9, 1.0, 10.0, 60.0, 5.0)
    # by hand: 14.9 V / 15.245 ohm = 0.9774 A, 13.61 W, 68.0 K; 10 (234.5 + 128.0) / 254.5 = 14.24
    assert (hot, winding_c(hot, 10.0)) == pytest.approx((14.245, 128.04), abs=0.01)
    heat = solution.heat["VL"]
    # the bound takes the voltage that a winding soaked by the whole supply would see
    assert hot - 0.01 < heat.resistance_ohm.upper <= 1.003 * hot
    assert heat.temperature_c.upper == pytest.approx(winding_c(hot, 10.0), abs=1.0)
    assert (heat.supply_v, heat.ambient_c, heat.judged) == (
        pytest.approx(14.9 * hot / (hot + 1.0), rel=2e-3),
        60.0,
        True,
    )
    weak = solution.of("key on, left", HEAT_SOAKED)
    amps, volts = weak.current_a("VL").lower, weak.across_v("VL").lower
    assert 0.997 * 11.9 / (hot + 1.0 + LOOSE_OHM) <= amps <= 11.9 / (hot + 1.0)
    # the soaked coil takes more of the voltage: its lower end is with the least soaked winding
    cold = settled_ohm(11.9, 1.0, 10.0, -10.0, 5.0)
    assert volts == pytest.approx(11.9 * cold / (cold + 1.0), rel=3e-3)


def test_tolerance_goes_where_it_hurts() -> None:
    # R = 10 ohm +/- 10 %: the hottest winding is the one of 9 ohm, the one of most ohms that of 11
    solution = bench(
        use=HELD, resistance=TEN, coil_air='["0 degC", "50 degC"]', engine_off='["11 V", "12 V"]'
    )
    heat = solution.heat["VL"]
    hottest = settled_ohm(12.0, 0.0, 9.0, 50.0, 5.0)
    largest = settled_ohm(12.0, 0.0, 11.0, 50.0, 5.0)
    assert heat.temperature_c.upper == pytest.approx(winding_c(hottest, 9.0), abs=0.1)
    assert heat.resistance_ohm.upper == pytest.approx(largest, rel=1e-3)
    assert winding_c(largest, 11.0) < winding_c(hottest, 9.0) - 5.0
    coolest = settled_ohm(11.0, 0.0, 11.0, 0.0, 5.0)
    assert heat.temperature_c.lower == pytest.approx(winding_c(coolest, 11.0), abs=0.1)
    least = settled_ohm(11.0, 0.0, 9.0, 0.0, 5.0)
    assert heat.resistance_ohm.lower == pytest.approx(least, rel=1e-3)


def test_the_published_24_v_coil() -> None:
    """Data sheet of a 24 V coil: 26.2 ohm cold, 37.2 ohm hot, at 24 V in air of 50 degC.

    (37.2 / 26.2) 254.5 - 234.5 = 126.9 degC; 24^2 / 37.2 = 15.5 W; 76.9 K / 15.5 W = 4.97 K/W.
    """
    solution = bench(
        system="24 V",
        battery="24 V flooded, 100 Ah",
        rated="24 V",
        engine_off='["24 V", "24 V"]',
        charging='["24 V", "24 V"]',
        resistance='{ at_20degC = "26.2 ohm", tolerance = "0 %" }',
        thermal='{ resistance = "4.97 K/W", time_constant = "1200 s", class = "N" }',
        coil_air='"50 degC"',
        use=HELD,
    )
    heat = solution.heat["VL"]
    assert heat.resistance_ohm.upper == pytest.approx(37.2, abs=0.05)
    assert heat.temperature_c.upper == pytest.approx(126.9, abs=0.3)
    soaked = solution.of("key on, left", HEAT_SOAKED)
    assert soaked.current_a("VL").nominal == pytest.approx(24.0 / 37.2, rel=2e-3)
    assert soaked.power_w("VL").upper == pytest.approx(15.5, abs=0.05)


def peak_and_rest_c(
    volts: float,
    r20: float,
    air_c: float,
    k_per_w: float,
    tau_s: float,
    on_s: float,
    cycle_s: float,
) -> tuple[float, float]:
    """Settled temperatures after a press and after a pause, by integrating over time."""
    capacity = tau_s / k_per_w

    def slope(_: float, temp: np.ndarray, is_on: bool) -> np.ndarray:
        heat = volts**2 / (r20 * (234.5 + temp) / 254.5) if is_on else 0.0
        return (heat - (temp - air_c) / k_per_w) / capacity

    rest = air_c
    for _ in range(math.ceil(16.0 * tau_s / cycle_s)):
        seconds = {True: on_s, False: cycle_s - on_s}
        temps = [rest]
        for is_on in (True, False):
            run = solve_ivp(slope, (0.0, seconds[is_on]), [temps[-1]], args=(is_on,), rtol=1e-9)
            temps.append(float(run.y[0, -1]))
        peak, rest = temps[1], temps[2]
    return peak, rest


@pytest.mark.parametrize(
    ("press_s", "per_hour", "tau_s"),
    [(120.0, 10.0, 600.0), (20.0, 12.0, 900.0), (299.0, 9.0, 800.0)],
)
def test_periodic_duty_against_time(press_s: float, per_hour: float, tau_s: float) -> None:
    solution = bench(
        use=f'longest_press = "{press_s:g} s"\npresses_per_hour = {per_hour:g}',
        coil_air='["5 degC", "55 degC"]',
        engine_off='["11 V", "12 V"]',
        charging='["13 V", "14 V"]',
        thermal=f'{{ resistance = "5 K/W", time_constant = "{tau_s:g} s", class = "H" }}',
    )
    heat = solution.heat["VL"]
    peak, _ = peak_and_rest_c(14.0, 10.0, 55.0, 5.0, tau_s, press_s, 3600.0 / per_hour)
    _, rest = peak_and_rest_c(11.0, 10.0, 5.0, 5.0, tau_s, press_s, 3600.0 / per_hour)
    share = press_s * per_hour / 3600.0
    # bounds, each within 2 % of the rise
    assert 0.0 <= heat.temperature_c.upper - peak + 0.05 <= 0.02 * (peak - 55.0) + 0.1
    assert 0.0 <= rest - heat.temperature_c.lower + 0.05 <= 0.02 * (rest - 5.0) + 0.1
    assert heat.resistance_ohm.upper == pytest.approx(
        10.0 * (234.5 + heat.temperature_c.upper) / 254.5, rel=1e-6
    )
    assert heat.duty == pytest.approx(share)
    assert heat.basis == f"on {share:.0%} of the time"


@pytest.mark.parametrize(
    ("use", "basis"),
    [
        (HELD, "held on without pause"),
        ('longest_press = "60 s"\npresses_per_hour = 60', "held on without pause"),
        (
            'longest_press = "20 s"',
            "held on without pause, because [use] does not say how it is worked",
        ),
        (
            'longest_press = "unknown"\npresses_per_hour = 10',
            "held on without pause, because [use] does not say how it is worked",
        ),
    ],
)
def test_what_counts_as_held_on(use: str, basis: str) -> None:
    heat = bench(use=use, coil_air='["10 degC", "40 degC"]').heat["VL"]
    hot = settled_ohm(12.0, 0.0, 10.0, 40.0, 5.0)
    assert heat.temperature_c.upper == pytest.approx(winding_c(hot, 10.0), abs=0.1)
    assert (heat.duty, heat.basis, heat.judged) == (1.0, basis, True)


def test_a_press_of_300_s_is_not_yet_continuous() -> None:
    heat = bench(use='longest_press = "300 s"\npresses_per_hour = 1').heat["VL"]
    assert heat.duty == pytest.approx(300.0 / 3600.0)
    assert heat.basis == "on 8% of the time"


@pytest.mark.parametrize(("thermal", "hottest"), [(None, 180.0), ('{ class = "F" }', 155.0)])
def test_an_unknown_heat_path_is_not_judged(thermal: str | None, hottest: float) -> None:
    # the library has no coil of 9 V whose heat path could stand in; class H without a class
    heat = bench(rated="9 V", thermal=thermal, coil_air='["-5 degC", "30 degC"]').heat["VL"]
    assert heat.judged is False
    assert (heat.temperature_c.lower, heat.temperature_c.upper) == (-5.0, hottest)
    assert heat.resistance_ohm.upper == pytest.approx(10.0 * (234.5 + hottest) / 254.5)
    assert heat.resistance_ohm.lower == pytest.approx(10.0 * (234.5 - 5.0) / 254.5)
    assert f"{hottest:.0f} degC" in heat.basis


def test_an_unknown_time_constant_is_taken_both_ways() -> None:
    heat = bench(
        rated="9 V",
        thermal='{ resistance = "5 K/W", class = "H" }',
        coil_air='["10 degC", "40 degC"]',
        use='longest_press = "20 s"\npresses_per_hour = 45',
    ).heat["VL"]
    # hot as if held on for good, cool as if its pause took all the heat away
    hot = settled_ohm(12.0, 0.0, 10.0, 40.0, 5.0)
    assert heat.temperature_c.upper == pytest.approx(winding_c(hot, 10.0), abs=0.1)
    assert heat.temperature_c.lower == 10.0
    assert "time constant is not known" in heat.basis
    assert heat.judged


def test_a_tap_that_is_always_live_soaks_on_the_charging_supply() -> None:
    switched = solved(use={"longest_press": '"400 s"'}).heat["VL"]
    always = solved(use={"longest_press": '"400 s"'}, upstream={"key": '"always"'}).heat["VL"]
    assert always.temperature_c.upper == switched.temperature_c.upper
    assert always.supply_v > 14.0
    assert always.hottest_position == "key on, left"


def test_the_hottest_position_is_the_one_that_starves_the_coil_least() -> None:
    both = solved(GRIP={"interlock": None})
    # with both pressed the shared feed takes more: each coil is hottest alone
    assert both.heat["VL"].hottest_position == "key on, left"
    assert both.heat["VR"].hottest_position == "key on, right"


def test_a_coil_that_nothing_feeds_stays_as_cold_as_its_air() -> None:
    heat = solved(W5={"from": '"S1"'}, without=("W3",)).heat["VL"]
    assert (heat.temperature_c.lower, heat.temperature_c.upper) == (-10.0, 50.0)
    assert heat.hottest_position == "no position"
