"""Current balance, loop voltages, Ohm and power balance of whole harnesses, nominal and corners."""

from __future__ import annotations

import laws
import numpy as np
import pytest
from solve.small_harnesses import FILES, TEXTS, solved_as

from circuitcheck.solve.bounds import bounds
from circuitcheck.solve.worst_case import PositionSolution

CORNERS = 200
NAMES = [name for name in (*FILES, *TEXTS) if name != "reversed diode"]


def assert_all_laws(solved: PositionSolution, ohms: np.ndarray, volts: np.ndarray) -> None:
    network = solved.network
    found = bounds.solve_corner(solved.ranges.shape, ohms, volts)
    starts, ends = network.starts, network.ends
    kept = {network.source, network.reference}
    laws.assert_current_balance(starts, ends, found.branch_a, kept, len(network.node_names))
    laws.assert_loop_voltages(starts, ends, found.branch_v)
    laws.assert_branch_voltages_are_node_differences(starts, ends, found.node_v, found.branch_v)
    laws.assert_ohm(found.branch_v, found.branch_a, ohms)
    drawn = laws.source_current_a(starts, ends, found.branch_a, network.source)
    returned = -laws.source_current_a(starts, ends, found.branch_a, network.reference)
    np.testing.assert_allclose(drawn, returned, rtol=laws.TIGHT, atol=1e-15)
    laws.assert_power_balance(volts, drawn, found.branch_v, found.branch_a)


@pytest.mark.parametrize("name", NAMES)
def test_laws_at_nominal_values_and_at_random_corners(name: str) -> None:
    rng = np.random.default_rng(len(name))
    for solved in solved_as(name).positions:
        box = solved.ranges.box.resistance_ohm
        branches = np.arange(box.shape[1])[:, None]
        nominal = box[1][:, None]
        corners = box[rng.integers(0, 3, (box.shape[1], CORNERS)), branches]
        ohms = np.concatenate([nominal, corners], axis=1)
        supply = solved.supply_v
        ends = rng.choice([supply.lower, supply.upper], CORNERS)
        assert_all_laws(solved, ohms, np.concatenate([[supply.nominal], ends]))


def test_loops_are_counted_as_topology_says() -> None:
    # branches - nodes + connected pieces, on a bridge: 5 - 4 + 1
    starts, ends = [0, 0, 1, 1, 2], [1, 2, 2, 3, 3]
    assert len(laws.loops(starts, ends)) == 2
    # a triangle, a parallel pair beside it, a lone branch
    assert len(laws.loops([0, 1, 2, 4, 4, 6], [1, 2, 0, 5, 5, 7])) == 2


def test_the_laws_notice_a_wrong_solution() -> None:
    # 12 V over 2 ohm and 4 ohm in series: 2 A
    starts, ends, ohms = [1, 2], [2, 0], [2.0, 4.0]
    right = ([0.0, 12.0, 8.0], [4.0, 8.0], [2.0, 2.0])
    laws.assert_branch_voltages_are_node_differences(starts, ends, right[0], right[1])
    laws.assert_current_balance(starts, ends, right[2], {0, 1}, 3)
    laws.assert_ohm(right[1], right[2], ohms)
    laws.assert_power_balance(12.0, 2.0, right[1], right[2])
    with pytest.raises(AssertionError):
        laws.assert_current_balance(starts, ends, [2.0, 2.001], {0, 1}, 3)
    with pytest.raises(AssertionError):
        laws.assert_branch_voltages_are_node_differences(starts, ends, right[0], [4.0, 7.9])
    with pytest.raises(AssertionError):
        laws.assert_ohm([4.0, 8.1], right[2], ohms)
    with pytest.raises(AssertionError):
        laws.assert_power_balance(12.0, 2.001, right[1], right[2])
    with pytest.raises(AssertionError):
        laws.assert_loop_voltages([0, 1, 0], [1, 2, 2], [1.0, 2.0, 3.1])
