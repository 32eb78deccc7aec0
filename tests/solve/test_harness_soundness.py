"""Random machines never leave a range, and come as near to its ends as its gap says.

20,000 machines for each harness, half with cold coils and half soaked (`harness_draws.py`): zone
temperatures shared, every tolerance and contact on its own, wires warmed by their own current.
"""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
from solve.harness_draws import Machines
from solve.small_harnesses import solved_as

from circuitcheck.solve.solution import COIL_STATES, Range

DRAWS = 10_000  # for each coil state
ROUNDING = 1e-9  # of the larger end
ROUNDS = 2
DENSE = 1e-11  # of the largest current: what dense matrices leave where nothing flows
CASES = {
    "two valves": ("key on, left + right", ("W1", "W3", "VL", "VR", "TAP/wire", "W9")),
    "bridge in the return": ("key on, left + right", ("W1", "VL", "W9", "W10", "G2", "W12")),
    "many loops in the return": ("key on, left", ("W1", "VL", "W9", "W20", "W22", "GND2")),
    "resistor across a coil, always live": ("key off, left", ("F1", "VL", "VL/suppressor")),
    "road_sweeper_24v": ("key on, rear bar", ("F1", "Y2", "W7", "TAP/wire")),
}
HOT = {"overheated wire beside another": ("key on, left", ())}
"""Here the climb would have to wait until each machine's wires have settled."""


def machines(name: str, coil_state: str) -> Machines:
    solution = solved_as(name)
    return Machines(solution, solution.of((CASES | HOT)[name][0], coil_state))


def outside(values: np.ndarray, found: Range, largest_a: float) -> float:
    """How far values lie outside a range, over its size; below 0 inside."""
    size = max(abs(found.lower), abs(found.upper), 1e-6)
    return (
        float(max(found.lower - values.min(), values.max() - found.upper) - DENSE * largest_a)
        / size
    )


@pytest.mark.parametrize("coil_state", COIL_STATES)
@pytest.mark.parametrize("name", CASES | HOT)
def test_no_machine_leaves_a_range(name: str, coil_state: str) -> None:
    drawn = machines(name, coil_state)
    solved = drawn.solved
    cube = drawn.draw(np.random.default_rng(7), DRAWS)
    node_v, branch_v, branch_a = drawn.solve(cube)
    largest_a = float(np.abs(branch_a).max())
    for number, branch in enumerate(solved.network.branches):
        for values, found in (
            (branch_a[number], solved.current_a(branch.name)),
            (branch_v[number], solved.across_v(branch.name)),
            (branch_a[number] * branch_v[number], solved.power_w(branch.name)),
        ):
            assert outside(values, found, largest_a) <= ROUNDING, branch.name
            assert found.lower <= found.nominal <= found.upper
            assert found.gap >= 0.0
    for number, terminal in enumerate(solved.network.node_names):
        found = solved.voltage_v(terminal)
        if np.isnan(node_v[number]).all():
            assert np.isnan(found.lower), terminal
        else:
            assert outside(node_v[number], found, largest_a) <= ROUNDING, terminal


def climbed(drawn: Machines, start: np.ndarray, pick, sign: float) -> float:
    """Best value that switching single choices to either end leads to, from a starting point.

    All switches that help are made together if that helps more than the best one alone.
    """
    slots = len(start)
    ends = np.repeat([0.0, 1.0], slots)
    which = np.tile(np.arange(slots), 2)
    point = start.copy()
    best = sign * pick(*drawn.solve(point[:, None], ROUNDS))[0]
    for _ in range(30):
        tried = np.repeat(point[:, None], 2 * slots, axis=1)
        tried[which, np.arange(2 * slots)] = ends
        values = sign * pick(*drawn.solve(tried, ROUNDS))
        better = values > best + 1e-12 * abs(best)
        if not better.any():
            return sign * best
        together = point.copy()
        together[which[better]] = ends[better]
        alone = tried[:, int(values.argmax())]
        both = np.stack([together, alone], axis=1)
        reached = sign * pick(*drawn.solve(both, ROUNDS))
        point, best = both[:, int(reached.argmax())], float(reached.max())
    return sign * best


def in_each_air(drawn: Machines, cube: np.ndarray) -> list[np.ndarray]:
    """The same machines with each zone cold or hot: between these the climb cannot pass."""
    zones = [number for (what, _), number in drawn.slots.items() if what == "air"]
    out = []
    for airs in product((0.0, 1.0), repeat=len(zones)):
        one = cube.copy()
        one[zones] = np.array(airs)[:, None]
        out.append(one)
    return out


@pytest.mark.parametrize("coil_state", COIL_STATES)
@pytest.mark.parametrize("name", CASES)
def test_a_search_comes_within_the_gap_of_each_bound(name: str, coil_state: str) -> None:
    drawn = machines(name, coil_state)
    solved = drawn.solved
    number = solved.network.branch_of
    cubes = in_each_air(drawn, drawn.draw(np.random.default_rng(11), 400))
    seen = [drawn.solve(cube) for cube in cubes]
    for branch in CASES[name][1]:
        k = number[branch]
        for part, found in ((2, solved.current_a(branch)), (1, solved.across_v(branch))):
            for sign, bound in ((1.0, found.upper), (-1.0, found.lower)):
                starts = [
                    cube[:, int((sign * values[part][k]).argmax())]
                    for cube, values in zip(cubes, seen, strict=True)
                ]
                best = max(
                    sign * climbed(drawn, start, lambda *all_, p=part, k=k: all_[p][k], sign)
                    for start in starts
                )
                left = sign * bound - best
                assert left >= -ROUNDING * abs(bound)
                assert left <= found.gap + 0.01 * abs(bound), (branch, part, bound, best)
