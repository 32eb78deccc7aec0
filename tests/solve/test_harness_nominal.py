"""Nominal solution of every switch position of every example against ngspice and lcapy, 1e-6.

The netlist is rebuilt here from nodes and nominal resistances; parts that nothing feeds are left
out of it, because a simulator would call them singular.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path

import numpy as np
import pytest
from reference_solvers import spice_runs, symbolic_runs
from reference_solvers.plain_circuit import REFERENCE, SOURCE, PlainCircuit
from solve.small_harnesses import EXAMPLES, solved_as

from circuitcheck.circuit.netlist import Network
from circuitcheck.solve.worst_case import PositionSolution

RELATIVE = 1e-6
NOT_LINEAR = re.compile(
    r'^kind\s*=\s*"(diode|indicator lamp|LED indicator|converter)"', re.MULTILINE
)
LINEAR = [
    name
    for name, path in EXAMPLES.items()
    if not NOT_LINEAR.search(path.read_text(encoding="utf-8"))
]
NAMES = [*LINEAR, "bridge in the return", "many loops in the return"]


def distinct(name: str) -> list[PositionSolution]:
    """Linear positions that differ electrically; the others share their solution object.

    Lamps, diodes and converters are held against the simulator by the netlists of the papers.
    """
    found: dict[int, PositionSolution] = {}
    for solved in solved_as(name).positions:
        if solved.network.live and not (solved.ranges.active or solved.ranges.converters):
            found.setdefault(id(solved.ranges), solved)
    return list(found.values())


def fed_nodes(network: Network) -> set[int]:
    found, before = {network.source, network.reference}, 0
    while len(found) > before:
        before = len(found)
        for branch in network.branches:
            if {branch.start, branch.end} & found:
                found |= {branch.start, branch.end}
    return found


def renumbered(network: Network) -> dict[int, int]:
    inner = sorted(fed_nodes(network) - {network.source, network.reference})
    return {
        network.reference: REFERENCE,
        network.source: SOURCE,
        **{node: number for number, node in enumerate(inner, start=2)},
    }


def plain(solved: PositionSolution) -> PlainCircuit:
    network, number = solved.network, renumbered(solved.network)
    resistors = [
        (number[b.start], number[b.end], solved.resistance_ohm(b.name).nominal)
        for b in network.branches
        if b.start in number
    ]
    return PlainCircuit(len(number), resistors, [], solved.supply_v.nominal)


def assert_same(solved: PositionSolution, theirs: np.ndarray) -> None:
    network, number = solved.network, renumbered(solved.network)
    for node, name in enumerate(network.node_names):
        ours = solved.voltage_v(name).nominal
        if node not in number:
            assert np.isnan(ours), name
        else:
            assert ours == pytest.approx(theirs[number[node]], rel=RELATIVE, abs=1e-9), name
    for branch in network.branches:
        amps, volts = solved.current_a(branch.name), solved.across_v(branch.name)
        if branch.start not in number:
            assert amps.nominal == 0.0, branch.name
            continue
        across = theirs[number[branch.start]] - theirs[number[branch.end]]
        ohm = solved.resistance_ohm(branch.name).nominal
        # the simulator's voltages are right to some 1e-12 V; over a milliohm that is 1e-9 A
        assert volts.nominal == pytest.approx(across, rel=RELATIVE, abs=1e-11), branch.name
        assert amps.nominal == pytest.approx(across / ohm, rel=RELATIVE, abs=1e-9), branch.name


@lru_cache(maxsize=1)
def spice_voltages(folder: str) -> dict[str, list[np.ndarray]]:
    circuits = {name: [plain(solved) for solved in distinct(name)] for name in NAMES}
    flat: Iterator[np.ndarray] = iter(
        spice_runs.node_voltages([c for each in circuits.values() for c in each], Path(folder))
    )
    return {name: [next(flat) for _ in each] for name, each in circuits.items()}


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> str:
    return str(tmp_path_factory.mktemp("spice"))


@pytest.mark.parametrize("name", NAMES)
def test_ngspice_finds_the_same_in_every_position(name: str, folder: str) -> None:
    found = spice_voltages(folder)[name]
    positions = distinct(name)
    assert len(positions) >= 4
    for solved, theirs in zip(positions, found, strict=True):
        assert_same(solved, theirs)


@pytest.mark.slow
@pytest.mark.parametrize("name", NAMES)
def test_lcapy_finds_the_same_with_all_buttons_worked(name: str) -> None:
    solved = max(distinct(name), key=lambda s: (len(s.position.pressed), s.coil_state))
    circuit = plain(solved)
    assert_same(solved, symbolic_runs.node_voltages(circuit, []))
