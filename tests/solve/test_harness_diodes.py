"""A suppressor diode fitted the wrong way round: it conducts, and how much, between its bands.

The diode as a band of straight lines is common practice: it drops 0.4 V to 0.9 V and 2 to 50
milliohm. Random machines are solved beside the program by Thevenin's theorem: open-circuit voltage
and inner resistance at the diode's place, from dense matrices.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from checks.coil_bench import bench_text
from solve.harness_draws import Machines, dense_node_v
from solve.small_harnesses import solved, solved_as, solved_text

from circuitcheck.circuit.netlist import Branch, Network
from circuitcheck.model.tolerance_band import Band
from circuitcheck.solve.solution import COIL_STATES

DRAWS = 5_000
DROP_V, SLOPE_OHM = (0.4, 0.9), (0.002, 0.05)
REVERSED = '{ kind = "diode", cathode = "2", reverse = "400 V", forward = "3 A" }'
RIGHT = '{ kind = "diode", cathode = "1", reverse = "400 V", forward = "3 A" }'


def test_one_fitted_right_carries_nothing() -> None:
    for position in solved(VL={"suppression": RIGHT}).positions:
        assert position.ranges.conducting == ()


@pytest.mark.parametrize("position", ["key on", "key on, right", "key off, left", "cranking, left"])
def test_a_reversed_one_rests_while_its_coil_is_off(position: str) -> None:
    reversed_one = solved_as("reversed diode")
    assert reversed_one.of(position, "cold start").ranges.conducting == ()


def test_a_reversed_one_is_a_short_through_half_an_ohm() -> None:
    # nominal: (12 V - 0.7 V) / (0.53 ohm + 0.01 ohm of the diode) = 20.9 A
    text = bench_text(contact='"0.5 ohm"', suppression=REVERSED)
    there = solved_text(text).of("key on, left", "cold start")
    assert len(there.ranges.conducting) == 1
    amps = there.current_a("F1")
    known = 0.5 + 0.01 + 0.01 + 0.01  # contact, fuse, one mated pair, bond
    spare = 0.025  # tap's fuse and joint, eight short wires
    most = (12.0 - DROP_V[0]) / (known + SLOPE_OHM[0])
    least = (12.0 - DROP_V[1]) / (known + spare + SLOPE_OHM[1])
    coil_a = 3.5 / 10.0  # at most 0.9 V and 2.5 V of slope stand across its 10 ohm
    assert least <= amps.lower <= amps.nominal <= amps.upper <= most + coil_a
    assert amps.nominal == pytest.approx(20.9, rel=0.02)
    volts = there.across_v("VL")
    assert DROP_V[0] <= volts.lower
    assert volts.upper <= DROP_V[1] + SLOPE_OHM[1] * most
    assert there.current_a("VL").upper == pytest.approx(volts.upper / 10.0, rel=1e-6)


def test_the_short_does_not_hide_from_the_other_key_states() -> None:
    there = solved_as("reversed diode")
    conducting = {p.position.name for p in there.positions if p.ranges.conducting}
    assert conducting == {"key on, left"}


def test_a_diode_that_another_one_makes_conduct() -> None:
    # VR hangs between the valves' return and battery minus; VL's 1.8 A lift that return by less
    # than 0.1 V, the short of its reversed diode by volts: more than VR's own diode withstands
    wrong = {"W6": {"from": '"BAT.-"', "route": '["cab", "boom"]'}, "without": ("W4",)}
    sound = solved(**wrong).of("key on, left", "cold start")
    assert sound.ranges.conducting == ()
    assert sound.between_v("VR.2", "VR.1").nominal < 0.2
    short = solved(VL={"suppression": REVERSED}, **wrong).of("key on, left", "cold start")
    assert len(short.ranges.conducting) == 2
    assert DROP_V[0] <= short.between_v("VR.2", "VR.1").nominal <= DROP_V[1] + 2.0


def with_diode(drawn: Machines, cube: np.ndarray, drop: np.ndarray, slope: np.ndarray):
    """Node voltages, branch voltages, branch currents, the diode solved by Thevenin's theorem."""
    network, diode = drawn.network, drawn.network.diodes[0]
    points = cube.shape[1]
    place = Branch("diode", "diode", "contact", diode.anode, diode.cathode,
                   Band.exact(0.0), Band.exact(1.0), Band.exact(20.0), ())  # fmt: skip
    joined: Network = replace(network, branches=(*network.branches, place))
    volts = drawn.supply_v(cube)
    rise = np.zeros((len(network.branches), points))
    for _ in range(12):  # wires get hot here: each round brings half a digit
        ohms = drawn.ohms(cube, rise)
        open_v = _across(network, ohms, volts, diode)
        at_one_ohm = _across(joined, np.vstack([ohms, np.ones(points)]), volts, diode)
        inner = open_v / at_one_ohm - 1.0
        amps = (open_v - drop) / (inner + slope)
        assert (amps > 0.0).all()
        alike = drop / amps + slope  # the resistance that it is at this current
        node_v = dense_node_v(joined, np.vstack([ohms, alike]), volts)
        branch_v = node_v[network.starts] - node_v[network.ends]
        branch_a = np.nan_to_num(branch_v / ohms)
        rise = drawn.rise(cube, branch_a)
    return node_v, np.nan_to_num(branch_v), branch_a


def _across(network: Network, ohms: np.ndarray, volts: np.ndarray, diode) -> np.ndarray:
    node_v = dense_node_v(network, ohms, volts)
    return node_v[diode.anode] - node_v[diode.cathode]


@pytest.mark.parametrize("coil_state", COIL_STATES)
def test_no_machine_with_a_reversed_diode_leaves_a_range(coil_state: str) -> None:
    solution = solved_as("reversed diode")
    there = solution.of("key on, left", coil_state)
    drawn = Machines(solution, there)
    rng = np.random.default_rng(3)
    drop, slope = rng.uniform(*DROP_V, DRAWS), rng.uniform(*SLOPE_OHM, DRAWS)
    node_v, branch_v, branch_a = with_diode(drawn, drawn.draw(rng, DRAWS), drop, slope)
    for number, branch in enumerate(there.network.branches):
        for values, found in (
            (branch_a[number], there.current_a(branch.name)),
            (branch_v[number], there.across_v(branch.name)),
            (branch_v[number] * branch_a[number], there.power_w(branch.name)),
        ):
            slack = 1e-9 * max(abs(found.lower), abs(found.upper)) + 1e-10
            assert found.lower - slack <= values.min(), branch.name
            assert values.max() <= found.upper + slack, branch.name
    for number, name in enumerate(there.network.node_names):
        found = there.voltage_v(name)
        if not np.isnan(node_v[number]).all():
            assert found.lower - 1e-9 <= node_v[number].min(), name
            assert node_v[number].max() <= found.upper + 1e-9, name


def test_the_short_comes_within_its_gap_of_both_bounds() -> None:
    solution = solved_as("reversed diode")
    there = solution.of("key on, left", "cold start")
    drawn = Machines(solution, there)
    cube = np.zeros((len(drawn.slots), 2))
    cube[:, 1] = 1.0  # first all new and cold on the highest supply, then aged and hot on the least
    cube[drawn.slots["supply", ""]] = (1.0, 0.0)
    cube[drawn.slots["contact", "TAP/present load"]] = (1.0, 0.0)
    *_, branch_a = with_diode(drawn, cube, np.array(DROP_V), np.array(SLOPE_OHM))
    most, least = branch_a[there.network.branch_of["W1"]]
    short = there.current_a("W1")
    assert most == pytest.approx(short.upper, rel=1e-6)
    # the bound takes wires as hot as the strongest short makes them, the machine as the weakest
    assert short.lower < least <= short.lower + short.gap
    assert 0.0 < short.gap < 0.2 * short.lower


def test_wires_that_the_short_heats_are_in_the_box() -> None:
    # 14 AWG, 40 A at 125 degC: at 100 A and more it is cut off at 250 degC, not at its 40 A value
    there = solved_as("reversed diode").of("key on, left", "cold start")
    assert there.current_a("W2").upper > 100.0
    assert there.temperature_c("W2").upper == 250.0
    assert there.temperature_c("W4").upper == pytest.approx(50.0)  # the other valve's feed is open
