"""500 random harnesses against ngspice and lcapy, relative 1e-6.

All 500 are solved by both. lcapy is linear: there each diode is a source of the voltage that
ngspice found for it, so that lcapy checks the network around the diode.
"""

from __future__ import annotations

import numpy as np
import pytest
from reference_solvers import spice_runs, symbolic_runs
from reference_solvers.plain_circuit import PlainCircuit, random_harness

from circuitcheck.solve.curves.curve_arrays import CurveArrays
from circuitcheck.solve.curves.curve_network import CurveNetwork
from circuitcheck.solve.curves.curves import Junction
from circuitcheck.solve.elimination.elimination import EliminationPlan

KINDS = ("series", "parallel", "bridge", "diode")
PER_KIND = 125
RELATIVE = 1e-6


def solve(circuit: PlainCircuit) -> np.ndarray:
    ends = circuit.ends
    conductance = 1.0 / circuit.ohms
    if not circuit.diodes:
        plan = EliminationPlan(circuit.n_nodes, ends[:, 0], ends[:, 1], (1, 0))
        return plan.solve(conductance, circuit.source_v)
    junctions = [Junction(*diode) for diode in circuit.diodes]
    pairs = [(d.anode, d.cathode) for d in junctions]
    network = CurveNetwork(circuit.n_nodes, ends[:, 0], ends[:, 1], 1, 0, pairs)
    return network.solve(conductance, circuit.source_v, CurveArrays(junctions).nominal()).node_v[
        :, 0
    ]


def assert_same(circuit: PlainCircuit, ours: np.ndarray, theirs: np.ndarray) -> None:
    np.testing.assert_allclose(ours, theirs, rtol=RELATIVE, atol=1e-12)
    ends = circuit.ends
    amps = (ours[ends[:, 0]] - ours[ends[:, 1]]) / circuit.ohms
    other = (theirs[ends[:, 0]] - theirs[ends[:, 1]]) / circuit.ohms
    # a difference of two printed voltages has 1e-14 of their size left, over the resistance
    np.testing.assert_allclose(
        amps, other, rtol=RELATIVE, atol=1e-12 * circuit.source_v / circuit.ohms.min()
    )


@pytest.fixture(scope="module")
def spice_voltages(tmp_path_factory: pytest.TempPathFactory) -> dict[str, list[np.ndarray]]:
    spice_runs.need_ngspice()
    folder = tmp_path_factory.mktemp("spice")
    return {kind: spice_runs.node_voltages(harnesses(kind), folder) for kind in KINDS}


def harnesses(kind: str) -> list[PlainCircuit]:
    rng = np.random.default_rng(KINDS.index(kind))
    return [random_harness(kind, rng) for _ in range(PER_KIND)]


@pytest.mark.parametrize("kind", KINDS)
def test_ngspice_finds_the_same_voltages(
    kind: str, spice_voltages: dict[str, list[np.ndarray]]
) -> None:
    for circuit, theirs in zip(harnesses(kind), spice_voltages[kind], strict=True):
        assert_same(circuit, solve(circuit), theirs)


@pytest.mark.slow
@pytest.mark.parametrize("kind", KINDS)
def test_lcapy_finds_the_same_voltages(
    kind: str, spice_voltages: dict[str, list[np.ndarray]]
) -> None:
    for circuit, spice in zip(harnesses(kind), spice_voltages[kind], strict=True):
        across = [float(spice[u] - spice[v]) for u, v, *_ in circuit.diodes]
        assert_same(circuit, solve(circuit), symbolic_runs.node_voltages(circuit, across))
