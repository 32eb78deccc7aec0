"""All positions of a harness reduced together, held against each position's own nodal equations.

The nodal equations are set up branch by branch from the position's network alone and solved by
Gauss in long numbers: another numbering, another method, no open contact in them. That loses digits
between a microohm and 10 Mohm; currents of branches, which hang on them, are held against the
position's own elimination.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from circuitcheck import read_harness, read_library, solve_harness
from circuitcheck.circuit.netlist import WINDINGS
from circuitcheck.transient.switching_on.actions import actions
from circuitcheck.transient.switching_on.corners import CORNERS, Corner
from circuitcheck.transient.switching_on.port_elements import BoolArray, ports_of
from circuitcheck.transient.switching_on.port_network import LEAK_S, PortNetwork
from circuitcheck.transient.switching_on.stage_circuit import StageCircuit
from circuitcheck.transient.switching_on.switching_on import SwitchingCircuits
from circuitcheck.transient.waveform import FloatArray

LongArray = NDArray[np.longdouble]
ROOT = Path(__file__).parents[2]
FILES = [
    *sorted((ROOT / "examples").glob("*/harness.toml")),
    *sorted((ROOT / "tests" / "harnesses" / "good").glob("*.toml")),
]


def nodal_v(circuit: StageCircuit, ohms: FloatArray, supply_v: float) -> FloatArray:
    """Voltages of all nodes for the supply and for an ampere taken at each port (n, 1 + p)."""
    network, ports = circuit.network, circuit.elements.ports
    count = len(network.node_names)
    matrix = np.zeros((count, count), dtype=np.longdouble)
    right = np.zeros((count, 1 + len(ports)), dtype=np.longdouble)
    carrying = [
        (branch.start, branch.end, 1.0 / ohm)
        for branch, ohm in zip(network.branches, ohms, strict=True)
        if branch.role not in WINDINGS
    ]
    for a, b, siemens in [*carrying, *((port.start, port.end, LEAK_S) for port in ports)]:
        matrix[[a, b], [a, b]] += siemens
        matrix[[a, b], [b, a]] -= siemens
    for k, port in enumerate(ports):
        right[port.start, 1 + k] -= 1.0
        right[port.end, 1 + k] += 1.0
    for node, volts in ((network.source, supply_v), (network.reference, 0.0)):
        matrix[node], right[node] = 0.0, 0.0
        matrix[node, node], right[node, 0] = 1.0, volts
    loose = np.flatnonzero(~reached(matrix, (network.source, network.reference)))
    matrix[loose, loose] += 1.0  # hangs on nothing: any voltage will do, no port is there
    return eliminated(np.hstack([matrix, right]))


def eliminated(rows: LongArray) -> FloatArray:
    """Solution of equations (n, n + k) by Gaussian elimination, largest pivot first."""
    count = len(rows)
    for k in range(count):
        best = k + int(np.argmax(np.abs(rows[k:, k])))
        rows[[k, best]] = rows[[best, k]]
        rows[k] /= rows[k, k]
        others = np.arange(count) != k
        rows[others] -= rows[others, k][:, None] * rows[k]
    return rows[:, count:].astype(np.float64)


def reached(matrix: LongArray, from_nodes: tuple[int, int]) -> BoolArray:
    """Which nodes are joined to some by any path."""
    joined = (matrix != 0.0) | (matrix != 0.0).T
    found = np.zeros(len(matrix), dtype=bool)
    found[list(from_nodes)] = True
    for _ in matrix:
        found |= joined[found].any(axis=0)
    return found


@pytest.mark.parametrize("path", FILES, ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_every_position_is_reduced_as_by_itself(path: Path) -> None:
    library = read_library()
    solution = solve_harness(read_harness(path, library), library)
    circuits = SwitchingCircuits(solution)
    settled = [circuits.settled(action) for action in actions(solution.harness)]
    corners = [Corner(name, solution.heat) for name in CORNERS]
    cuts = circuits.prepare(settled, corners)
    seen = 0
    for action, cut in zip(settled, cuts, strict=True):
        for corner in corners:
            circuit = circuits.circuits.at(action.after, cut, corner)
            ports = circuit.elements.ports
            heating_a = circuits.circuits.highest_a(action.after, cut, corner)
            ohms = corner.resistance_ohm(circuit.network, heating_a)
            supply_v = corner.supply_v(circuits.supply_v(action.after))
            found = nodal_v(circuit, ohms, supply_v)
            starts, ends = [p.start for p in ports], [p.end for p in ports]
            across = found[starts] - found[ends]
            values = circuit.values
            assert values.open_v == pytest.approx(across[:, 0], rel=1e-5, abs=1e-5)
            least_ohm = 1e-6 + 1e-8 * np.abs(across[:, 1:]).max(initial=0.0)
            assert values.source_ohm == pytest.approx(-across[:, 1:], rel=1e-5, abs=least_ohm)
            alone = PortNetwork(circuit.network, ports_of(circuit.network, cut))
            assert (alone.ports, alone.floating) == (ports, circuit.floating)
            by_itself = alone.at(ohms, supply_v)
            assert values.branch_a == pytest.approx(by_itself.branch_a, rel=1e-9, abs=1e-12)
            assert values.branch_per_a == pytest.approx(by_itself.branch_per_a, rel=1e-9, abs=1e-9)
            seen += len(ports)
    assert seen
