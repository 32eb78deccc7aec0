"""Dead positions, floating terminals, what the solution answers, and wires written backwards."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from solve.small_harnesses import library, solved, solved_as

from circuitcheck import Solution, solve_harness
from circuitcheck.solve.solution import COIL_STATES, COLD_START, HEAT_SOAKED, Range


@pytest.fixture(scope="module")
def good() -> Solution:
    return solved_as("two valves")


@pytest.mark.parametrize("position", ["key off", "key off, left", "cranking", "cranking, right"])
@pytest.mark.parametrize("coil_state", COIL_STATES)
def test_a_dead_position_carries_nothing(good: Solution, position: str, coil_state: str) -> None:
    dead = good.of(position, coil_state)
    for branch in dead.network.branches:
        assert ends(dead.current_a(branch.name)) == (0.0, 0.0, 0.0), branch.name
        assert ends(dead.power_w(branch.name)) == (0.0, 0.0, 0.0), branch.name
        assert ends(dead.across_v(branch.name)) == (0.0, 0.0, 0.0), branch.name
    assert dead.energised() == ()
    supply = dead.supply_v
    # up to the open key contact the machine's own wire stands at the supply
    assert ends(dead.voltage_v("TAP/key")) == (supply.lower, supply.nominal, supply.upper)
    assert ends(dead.voltage_v("TAP")) == (0.0, 0.0, 0.0)


def ends(found: Range) -> tuple[float, float, float]:
    return found.lower, found.nominal, found.upper


def test_terminals_that_hang_on_nothing_have_no_voltage() -> None:
    # with the other load away nothing ties the tap's side to either post while the key is off
    dead = solved(upstream={"present_load": '"0 A"'}).of("key off", COLD_START)
    for name in ("TAP", "F1.line", "GRIP.feed"):
        assert all(math.isnan(value) for value in ends(dead.voltage_v(name))), name
    for name in ("GRIP.out_left", "VL.1", "VL.2", "CHASSIS"):  # through the coils to the frame
        assert ends(dead.voltage_v(name)) == (0.0, 0.0, 0.0), name
    for branch in ("W1", "W2", "F1"):  # both ends at the same unknown voltage
        assert ends(dead.current_a(branch)) == (0.0, 0.0, 0.0)
    assert math.isnan(dead.between_v("TAP", "CHASSIS").upper)


def test_each_terminal_stands_where_it_should(good: Solution) -> None:
    on = good.of("key on, left", COLD_START)
    way = ["BAT.+", "TAP/fuse load", "TAP/key", "TAP", "F1.line", "F1.load", "GRIP.feed",
           "GRIP.out_left", "X1.plug.1", "X1.receptacle.1", "VL.1", "VL.2", "S1",
           "X1.receptacle.3", "X1.plug.3", "GND", "CHASSIS", "BAT.-"]  # fmt: skip
    for end in ("lower", "nominal", "upper"):
        volts = [getattr(on.voltage_v(name), end) for name in way]
        assert all(high > low for high, low in pairwise(volts)), end
    # the other valve's wires hang on its coil: at the voltage of the splice
    assert ends(on.voltage_v("VR.1")) == pytest.approx(ends(on.voltage_v("S1")), rel=1e-9)
    assert ends(on.current_a("VR")) == (0.0, 0.0, 0.0)
    assert on.energised() == ("VL",)


def test_a_voltage_between_two_terminals_is_its_own_quantity(good: Solution) -> None:
    on = good.of("key on, left", COLD_START)
    across = on.between_v("VL.1", "VL.2")
    assert ends(across) == ends(on.across_v("VL"))
    plus, minus = on.voltage_v("VL.1"), on.voltage_v("VL.2")
    # the difference of two extremes is wider than what can be at once
    assert plus.lower - minus.upper <= across.lower
    assert across.upper < plus.upper - minus.lower
    assert on.between_v("VL.2", "VL.1") == across.negated()
    many = on.between_many_v([("VL.1", "VL.2"), ("TAP", "CHASSIS"), ("VL.1", "VL.2")])
    assert many[0] == many[2] == across
    assert many[1] == on.between_v("TAP", "CHASSIS")


def test_conditions_in_words(good: Solution) -> None:
    on = good.of("key on, left", COLD_START)
    most, least = on.conditions("VL", "upper"), on.conditions("VL", "lower")
    assert most[0] == "14.9 V at the battery posts"
    assert least[0] == "11.9 V at the battery posts"
    assert "contacts new" in most
    assert "contacts aged" in least
    assert any(word.startswith("wires cold") for word in most)
    assert any(word.startswith("wires hot") for word in least)
    assert "coil VL 5.72 ohm at -10 degC" in most  # 6.48 (234.5 - 10) / 254.5
    assert "coil VL 8.85 ohm at 50 degC" in least  # 7.92 (234.5 + 50) / 254.5
    assert "the tap's other load off" in most
    assert "the tap's other load on" in least
    with pytest.raises(ValueError, match="neither lower nor upper"):
        on.conditions("VL", "worst")


def test_supply_of_each_key_state(good: Solution) -> None:
    bands = {key: good.of(key, COLD_START).supply_v for key in ("key off", "key on", "cranking")}
    assert (bands["key off"].lower, bands["key off"].upper) == (11.9, 12.8)
    assert (bands["key on"].lower, bands["key on"].upper) == (11.9, 14.9)
    assert (bands["cranking"].lower, bands["cranking"].upper) == (6.5, 11.0)


def test_positions_to_judge_leave_cranking_and_dead_ones_out(good: Solution) -> None:
    assert [p.position.name for p in good.live(COLD_START)] == [
        "key on",
        "key on, left",
        "key on, right",
        "key on, left + right",
    ]
    with pytest.raises(KeyError, match="no switch position 'key on, up'"):
        good.of("key on, up", COLD_START)


def test_soaking_lowers_the_current_and_never_raises_it(good: Solution) -> None:
    cold = good.of("key on, left", COLD_START).current_a("VL")
    hot = good.of("key on, left", HEAT_SOAKED).current_a("VL")
    assert hot.lower < cold.lower
    assert hot.nominal < cold.nominal
    assert hot.upper < cold.upper


def test_cranking_pulls_the_supply_of_a_live_tap_down() -> None:
    live = solved(upstream={"cranking": '"on"'})
    cranked = live.of("cranking, left", COLD_START).current_a("VL")
    running = live.of("key on, left", COLD_START).current_a("VL")
    assert cranked.lower == pytest.approx(running.lower * 6.5 / 11.9, rel=1e-3)
    assert cranked.upper == pytest.approx(running.upper * 11.0 / 14.9, rel=1e-3)
    assert cranked not in [p.current_a("VL") for p in live.live(COLD_START)]


def test_positions_that_close_the_same_contacts_share_their_ranges(good: Solution) -> None:
    distinct = {id(p.ranges) for p in good.positions}
    # four button states on, four dead with the engine off, four dead while cranking, two states
    assert len(good.positions) == 24
    assert len(distinct) == 24
    always = solved(upstream={"key": '"always"', "cranking": '"on"'}, GRIP={"interlock": None})
    assert len({p.network.closed_contacts() for p in always.positions}) == 4
    shapes = {id(p.ranges.shape) for p in always.positions}
    assert len(shapes) == 4  # the key changes nothing: one shape per button state


SWAPPED = ("two valves", "many loops in the return", "resistor across a coil, always live")


@settings(max_examples=12, deadline=None)
@given(st.data())
def test_writing_a_wire_backwards_turns_its_sign_and_nothing_else(data: st.DataObject) -> None:
    name = data.draw(st.sampled_from(SWAPPED))
    right = solved_as(name)
    names = list(right.harness.wires)
    backwards = data.draw(st.sets(st.sampled_from(names), min_size=1))
    position = data.draw(st.sampled_from([p.position.name for p in right.live(COLD_START)]))
    coil_state = data.draw(st.sampled_from(COIL_STATES))
    wires = {
        n: replace(w, start=w.end, end=w.start, route=w.route[::-1]) if n in backwards else w
        for n, w in right.harness.wires.items()
    }
    turned = solve_harness(replace(right.harness, wires=wires), library())
    one, other = right.of(position, coil_state), turned.of(position, coil_state)
    for branch in one.network.branches:
        amps, volts = one.current_a(branch.name), one.across_v(branch.name)
        if branch.name in backwards:
            amps, volts = amps.negated(), volts.negated()
        assert_alike(other.current_a(branch.name), amps)
        assert_alike(other.across_v(branch.name), volts)
        assert_alike(other.power_w(branch.name), one.power_w(branch.name))
    for terminal in one.network.node_names:
        assert_alike(other.voltage_v(terminal), one.voltage_v(terminal))
    for coil, heat in right.heat.items():
        assert_alike(turned.heat[coil].temperature_c, heat.temperature_c)


def assert_alike(one: Range, other: Range) -> None:
    assert ends(one) == pytest.approx(ends(other), rel=1e-9, abs=1e-12, nan_ok=True)
    # a gap at the threshold below which it is left out may be there or not
    assert one.gap == pytest.approx(
        other.gap, rel=1e-6, abs=1.1e-4 * max(one.largest(), 1e-9), nan_ok=True
    )
