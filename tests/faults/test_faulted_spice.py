"""Faulted circuits against ngspice on the exported netlist with the fault written into its text."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
from reference_solvers.faulted_spice import FaultedSpice, Query

from circuitcheck.faults.fault import Fault, name_of
from circuitcheck.faults.fault_list import single_faults
from circuitcheck.faults.faulted_circuits import FaultedCircuits
from circuitcheck.model.converter import Converter
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.reading import Situation
from circuitcheck.read.harness_file import read_harness
from circuitcheck.read.library.library_tables import read_library

ROOT = Path(__file__).parents[2]
LIBRARY = read_library()
EXAMPLES = sorted((ROOT / "examples").glob("*/harness.toml"))
GOOD = ROOT / "tests" / "harnesses" / "good"
FILES = [*EXAMPLES, GOOD / "relay_indicators_12v.toml", GOOD / "trailer_converter_24v.toml"]


def sample(faults: tuple[Fault, ...], count: int) -> list[Fault]:
    """Some of each mode, evenly from the list."""
    by_mode: dict[str, list[Fault]] = {}
    for fault in faults:
        by_mode.setdefault(fault.mode, []).append(fault)
    out = [one for some in by_mode.values() for one in some[:: max(1, len(some) // 3)]]
    return out[:: max(1, len(out) // count)]


@pytest.mark.parametrize("file", FILES, ids=lambda p: p.parent.name + p.stem)
def test_voltages_and_paths(file: Path, tmp_path: Path) -> None:
    harness = read_harness(file, LIBRARY)
    spice = FaultedSpice(harness, LIBRARY, tmp_path)
    # the simulator seeks long for circuits in which a converter has lost its feed
    count = 6 if harness.of_kind(Converter) else 40
    faults = sample(single_faults(harness, LIBRARY), count)[:count]
    position = [name for name in spice.closed if name.startswith("key on")][1]
    on = Situation(position, coils_warm=False)
    off = Situation("key off", coils_warm=False)
    circuits = FaultedCircuits(harness, LIBRARY, faults, on, 1)
    unfed = FaultedCircuits(harness, LIBRARY, faults, off, 1, full=circuits.full)
    coils = [c.name for c in harness.coils] or [f"{p.name}" for p in harness.of_kind(PullHoldCoil)]
    ends = ("1", "2") if harness.coils else ("hold", "common")
    pairs = [(f"{c}.{ends[0]}", f"{c}.{ends[1]}") for c in coils]
    pairs = [(a, b) for a, b in pairs if b in circuits.full.node_of]
    machines = [spice.nominal_machine(fault) for fault in ((), *faults)]
    fed = [True] * len(machines)
    for one in harness.of_kind(Converter):
        # the law of the netlist goes on where a converter has long given up: below 1 V
        queries = [Query(m, on, "volt", f"{one.name}.in", f"{one.name}.minus") for m in machines]
        fed = [was and volts > 1.0 for was, volts in zip(fed, spice.readings(queries), strict=True)]
    assert sum(fed) > 0.7 * len(fed)
    for plus, minus in pairs:
        for load in (math.inf, 1e7, 20.0):
            found = circuits.between_v(plus, minus, load)[:, 0]
            queries = [Query(m, on, "volt", plus, minus, load) for m in machines]
            # what hangs on leaks alone is not compared closer than a voltmeter shows
            close = 5e-3 if load > 1e7 else 2e-4
            check(found, spice.readings(queries), faults, close, fed)
        found = unfed.path_ohm(plus, minus)[:, 0]
        queries = [Query(m, off, "ohm", plus, minus) for m in machines]
        check(found, spice.readings(queries), faults, 2e-3, fed)
    for coil in coils:
        heard = spice.readings([Query(m, on, "click", coil) for m in machines])
        moved = circuits.coil_on(coil)[:, 0].tolist()
        for k, fault in enumerate(((), *faults)):
            assert not fed[k] or moved[k] == bool(heard[k]), name_of(fault)
    for fuse in circuits.fuses:
        seen = spice.readings([Query(m, on, "fuse open", fuse) for m in machines])
        assert circuits.fuse_open(fuse)[:, 0].tolist() == [bool(s) for s in seen]


def check(
    found: np.ndarray, expected: list[float], faults: list[Fault], close: float, fed: list[bool]
) -> None:
    for k, fault in enumerate(((), *faults)):
        if fed[k]:
            assert found[k] == pytest.approx(expected[k], rel=close, abs=close), name_of(fault)
