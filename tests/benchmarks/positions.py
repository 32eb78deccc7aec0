"""All positions and conditions of every example, lamps, diodes and relays included.

    python tests/benchmarks/positions.py
    pytest tests/benchmarks/positions.py

For each example: settle the relays, soak the coils, and bound every current and voltage in every
switch position, coils cold and soaked. The largest, by the product of positions and wires, must
take less than 0.3 s of processor time. Beside it stands how often that is the time of one nominal
solution of its busiest position by dense matrices of numpy, so that the machine cancels out.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

import numpy as np

from circuitcheck import Harness, Library, Solution, read_harness, read_library, solve_harness

LIMIT_S = 0.3
RUNS = 5
EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*/harness.toml"))


def solve_all(harness: Harness, library: Library) -> Solution:
    """Solve a harness and ask for every current and voltage there is."""
    solution = solve_harness(harness, library)
    for position in solution.positions:
        _ = position.ranges.currents, position.ranges.across, position.ranges.nodes
    return solution


def shortest_s(call, runs: int) -> float:
    """Shortest of several runs, in processor time."""
    found = []
    for _ in range(runs):
        start = time.process_time()
        call()
        found.append(time.process_time() - start)
    return min(found)


def dense_s(solution: Solution) -> float:
    """Time of one dense solution of the position with most branches."""
    network = max((p.network for p in solution.positions), key=lambda n: len(n.branches))
    count = len(network.node_names)
    matrix = np.eye(count)
    for branch in network.branches:
        for near, far in ((branch.start, branch.end), (branch.end, branch.start)):
            matrix[near, near] += 1.0
            matrix[near, far] -= 1.0
    right = np.ones(count)
    return shortest_s(lambda: [np.linalg.solve(matrix, right) for _ in range(200)], 5) / 200


def measured() -> list[tuple[str, int, int, float, float]]:
    """Name, wires, positions, time and its ratio of each example."""
    library = read_library()
    found = []
    for path in EXAMPLES:
        harness = read_harness(path, library)
        solution = solve_all(harness, library)
        taken_s = shortest_s(lambda harness=harness: solve_all(harness, library), RUNS)
        ratio = taken_s / dense_s(solution)
        found.append(
            (path.parent.name, len(harness.wires), len(solution.positions), taken_s, ratio)
        )
    return found


def largest(rows: list[tuple[str, int, int, float, float]]) -> tuple[str, int, int, float, float]:
    """The example with most positions times wires."""
    return max(rows, key=lambda row: row[1] * row[2])


def test_all_positions_of_the_largest_example() -> None:
    assert largest(measured())[3] < LIMIT_S


def main() -> int:
    """Print times and ratios; 1 where the limit is passed."""
    rows = measured()
    for name, wires, positions, taken_s, ratio in rows:
        print(
            f"{name}: {wires} wires, {positions} positions and coil states, {taken_s:.3f} s, "
            f"{ratio:.0f} times one dense solution"
        )
    worst = largest(rows)
    print(f"largest: {worst[0]}, {worst[3]:.3f} s, at most {LIMIT_S} s")
    return 0 if worst[3] < LIMIT_S else 1


if __name__ == "__main__":
    sys.exit(main())
