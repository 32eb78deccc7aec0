"""Faulted circuits: all faults at all points, as ratios against references of the same run.

    python tests/benchmarks/faults.py
    pytest tests/benchmarks/faults.py

1. against solving anew   a voltmeter at every terminal of the largest example, in every switch
                          position, under every fault, relays, fuses and lamps settled; over one
                          dense solution (numpy) of each network with fault and meter in it, of
                          which every tenth fault is timed and lamps are left out: below 0.3
2. growth                 1,000 wires against 100, one switch position, per fault and terminal:
                          below 3
"""

from __future__ import annotations

import importlib.util
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

from circuitcheck import Harness, Library, read_harness, read_library
from circuitcheck.faults.fault import changes_of
from circuitcheck.faults.fault_list import single_faults
from circuitcheck.faults.faulted_circuits import FaultedCircuits
from circuitcheck.faults.full_network import FullNetwork
from circuitcheck.model.reading import Situation

ROOT = Path(__file__).parents[2]
LARGEST = ROOT / "examples" / "tipping_trailer_shared_return" / "harness.toml"
SMALL, LARGE = 100, 1000
ANEW_LIMIT, GROWTH_LIMIT = 0.3, 3.0
TIMED = 10


def growth_text(wires: int) -> str:
    """The harness of the benchmark of growth."""
    path = Path(__file__).with_name("growth.py")
    spec = importlib.util.spec_from_file_location("growth", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return str(module.harness_text(wires))


def seconds(call: Callable[[], object]) -> float:
    """Processor time of one run."""
    start = time.process_time()
    call()
    return time.process_time() - start


def all_readings(harness: Harness, library: Library, full: FullNetwork, names: list[str]) -> int:
    """A voltmeter at every terminal under every fault; the count of values."""
    faults, count = single_faults(harness, library), 0
    minus = f"{harness.battery.name}.-"
    for name in names:
        circuits = FaultedCircuits(harness, library, faults, Situation(name), 1, full=full)
        pairs = [(terminal, minus) for terminal in full.node_names]
        count += circuits.between_many_v(pairs, 1e7).size
    return count


def anew(harness: Harness, library: Library, full: FullNetwork, names: list[str]) -> None:
    """Some faulted networks put together and solved densely with the meter at each terminal."""
    faults = single_faults(harness, library)[::TIMED]
    for name in names:
        circuits = FaultedCircuits(harness, library, (), Situation(name), 1, full=full)
        network = circuits.network
        closed = full.closed(network.position, frozenset())
        sound = network.conductance(closed, ())
        for fault in ((), *faults):
            edits = network.edits(changes_of(fault), sound)
            g = sound[:, 0].copy()
            for number, new in edits.branches.items():
                g[number] = new[0]
            rows = [(int(a), int(b), x) for a, b, x in
                    zip(network.starts, network.ends, g, strict=True)]  # fmt: skip
            rows += [(a, b, float(x[0])) for (a, b), x in edits.joins.items()]
            matrix = np.eye(len(full.node_names)) * 1e-12
            for a, b, x in rows:
                matrix[a, a] += x
                matrix[b, b] += x
                matrix[a, b] -= x
                matrix[b, a] -= x
            push = np.zeros(len(matrix))
            for pole, volts in ((full.source, 12.0), (full.reference, 0.0)):
                matrix[pole] = 0.0
                matrix[pole, pole], push[pole] = 1.0, volts
            for terminal in range(len(matrix)):
                matrix[terminal, terminal] += 1e-7
                np.linalg.solve(matrix, push)
                matrix[terminal, terminal] -= 1e-7


def against_anew() -> float:
    library = read_library()
    harness = read_harness(LARGEST, library)
    full = FullNetwork(harness, library)
    names = list(full.positions)
    all_readings(harness, library, full, names[:1])
    ours = min(seconds(lambda: all_readings(harness, library, full, names)) for _ in range(3))
    dense = TIMED * min(seconds(lambda: anew(harness, library, full, names)) for _ in range(2))
    print(f"every fault, position and terminal: {ours:.2f} s; dense, one by one: {dense:.2f} s")
    return ours / dense


def growth() -> float:
    library = read_library()
    each = []
    for wires in (SMALL, LARGE):
        harness = read_harness("many.toml", library, text=growth_text(wires))
        full = FullNetwork(harness, library)
        counted: list[int] = []

        def run(harness=harness, full=full, counted=counted) -> None:
            counted.append(all_readings(harness, library, full, ["key on, front"]))

        spent = seconds(run)
        print(f"{wires} wires: {counted[0]} readings in {spent:.2f} s")
        each.append(spent / counted[0])
    return each[1] / each[0]


def test_all_readings_against_solving_anew() -> None:
    assert against_anew() < ANEW_LIMIT


def test_growth_of_all_readings() -> None:
    assert growth() < GROWTH_LIMIT


if __name__ == "__main__":
    print(f"against solving anew: {against_anew():6.2f}   below {ANEW_LIMIT}")
    print(f"growth per reading:   {growth():6.2f}   below {GROWTH_LIMIT}")
