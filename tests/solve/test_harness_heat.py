"""Power of a part, which is at no corner, and wires warmed by their own current."""

from __future__ import annotations

import numpy as np
import pytest
from checks.coil_bench import bench_text
from scipy.optimize import brentq
from solve.small_harnesses import solved, solved_as, solved_text

from circuitcheck.solve.solution import COLD_START

LOSS = {"fuse": "0.0001 ohm", "pair": '"0 ohm"', "bond": '"0 ohm"'}
LOOSE_OHM = 0.006  # short wires, clips and the tap's joint of the bench, at most


def test_power_of_a_coil_behind_a_resistance_peaks_where_the_two_are_alike() -> None:
    # 12 V, 10 ohm before a winding of 5 to 20 ohm: 12^2 / (4 x 10) at 10 ohm, inside the band
    text = bench_text(
        **LOSS, contact='"10 ohm"', resistance='{ at_20degC = "10 ohm", tolerance = "50 %" }'
    )
    there = solved_text(text).of("key on, left", COLD_START)
    power = there.power_w("VL")
    assert power.upper == pytest.approx(3.6, rel=1e-3)
    ends = [(12.0 / (10.0 + ohm)) ** 2 * ohm for ohm in (5.0, 15.0)]
    assert max(ends) < 3.47
    assert power.lower == pytest.approx(min(ends), rel=2e-3)
    assert power.nominal == pytest.approx(3.6, rel=1e-3)
    # current times voltage at their own corners would be far off
    assert there.current_a("VL").upper * there.across_v("VL").upper > 1.5 * power.upper


def test_power_of_a_coil_on_a_stiff_supply_is_at_its_ends() -> None:
    text = bench_text(**LOSS, contact='"0 ohm"', engine_off='["11 V", "12 V"]',
                      resistance='{ at_20degC = "10 ohm", tolerance = "10 %" }')  # fmt: skip
    power = solved_text(text).of("key on, left", COLD_START).power_w("VL")
    assert power.upper == pytest.approx(12.0**2 / 9.0, rel=3e-3)
    assert power.lower == pytest.approx(11.0**2 / 11.0, rel=3e-3)


def test_powers_of_all_parts_hold_the_power_of_the_supply_at_nominal_values() -> None:
    for name in ("two valves", "bridge in the return", "many loops in the return"):
        there = solved_as(name).of("key on, left + right", COLD_START)
        parts = sum(there.power_w(b.name).nominal for b in there.network.branches)
        drawn = there.current_a("TAP/fuse").nominal * there.supply_v.nominal
        assert parts == pytest.approx(drawn, rel=1e-9)


def test_a_wire_is_as_much_warmer_than_its_air_as_its_largest_current_makes_it() -> None:
    for there in solved_as("two valves").positions:
        for branch in there.network.branches:
            if branch.role in ("wire", "upstream wire") and there.network.live:
                rise = branch.heating_k_per_a2 * there.current_a(branch.name).largest() ** 2
                found = there.temperature_c(branch.name)
                assert found.lower == branch.ambient_c.lower
                # the current was sought with wires up to their limit: never too little
                assert branch.ambient_c.upper + rise <= found.upper + 1e-9
                assert found.upper == pytest.approx(branch.ambient_c.upper + rise, abs=0.01)


@pytest.mark.parametrize("name", ["overheated wire beside another", "reversed diode"])
def test_no_wire_is_heated_beyond_its_box_by_a_current_of_that_box(name: str) -> None:
    there = solved_as(name).of("key on, left", COLD_START)
    for branch in there.network.branches:
        if branch.role in ("wire", "upstream wire"):
            rise = branch.heating_k_per_a2 * there.current_a(branch.name).largest() ** 2
            reached = min(branch.ambient_c.upper + rise, 250.0)
            assert reached <= there.temperature_c(branch.name).upper + 1e-9, branch.name


THIN = {
    # a 24 AWG wire that a coil of 3 ohm heats far beyond its insulation, on a stiff source
    "gauge": '"24 AWG"',
    "length": '"4 m"',
    "insulation": '"PVC 105"',
}


def test_a_thin_wire_heats_until_current_and_temperature_agree() -> None:
    hot = solved(
        VL={"resistance": '{ at_20degC = "3 ohm", tolerance = "0 %" }', "suppression": '"none"'},
        W3=THIN,
    ).of("key on, left", COLD_START)
    wire = hot.network.branches[hot.network.branch_of["W3"]]
    found = hot.temperature_c("W3")
    assert found.upper > wire.hottest_c + 20.0  # beyond its insulation: the box was opened
    # by hand: the strongest machine with this one wire in equilibrium, all else cold and new
    supply, air = hot.supply_v.upper, wire.ambient_c.upper
    rest = sum(
        hot.resistance_ohm(b.name).lower
        for b in hot.network.branches
        if b.name not in ("W3", "TAP/present load") and hot.current_a(b.name).nominal != 0.0
    )
    copper, contact = wire.resistance_20c_ohm.lower, wire.contact_ohm.lower

    def off(temp: float) -> float:
        ohm = copper * (234.5 + temp) / 254.5 + contact
        return temp - air - wire.heating_k_per_a2 * (supply / (rest + ohm)) ** 2

    settled = brentq(off, air, 2000.0)
    assert settled <= found.upper
    # the bound heats it by the current of a cold wire: more than can be, less than the cut-off
    cold_ohm = copper * (234.5 + wire.ambient_c.lower) / 254.5 + contact
    most = air + wire.heating_k_per_a2 * (supply / (rest + cold_ohm)) ** 2
    assert found.upper == pytest.approx(min(most, 250.0), rel=1e-3)


def test_a_wire_beside_an_overheated_one_is_bounded_with_that_one_beyond_its_limit() -> None:
    # two returns side by side: the hotter the thin one gets, the more goes through the other
    there = solved_as("overheated wire beside another").of("key on, left", COLD_START)
    thin = there.network.branches[there.network.branch_of["W30"]]
    assert there.temperature_c("W30").upper > thin.hottest_c + 20.0


def test_temperatures_of_dead_positions_are_those_of_the_air() -> None:
    dead = solved_as("two valves").of("key off, left", COLD_START)
    for branch in dead.network.branches:
        found = dead.temperature_c(branch.name)
        assert (found.lower, found.upper) == (branch.ambient_c.lower, branch.ambient_c.upper)
        assert not np.isnan(found.nominal)


@pytest.mark.parametrize("ohm", ["1 ohm", "0.3 ohm", "0.05 ohm"])
def test_a_coil_that_burns_out_is_taken_at_400_degrees(ohm: str) -> None:
    # 12 V on 1 ohm is 144 W: at 5 K/W no winding settles
    solution = solved(
        VL={"resistance": f'{{ at_20degC = "{ohm}", tolerance = "10 %" }}'},
        use={"longest_press": '"400 s"'},
    )
    heat = solution.heat["VL"]
    assert heat.temperature_c.upper == 400.0
    most = 1.1 * float(ohm.removesuffix(" ohm")) * (234.5 + 400.0) / 254.5
    assert heat.resistance_ohm.upper == pytest.approx(most)
    assert "burns out" in heat.basis
    assert "burns out" not in solution.heat["VR"].basis
