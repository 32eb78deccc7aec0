"""With many suppressors only those that are driven forwards are solved for: the answers stay."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from circuitcheck.faults import curve_points
from circuitcheck.faults.fault_list import single_faults
from circuitcheck.faults.faulted_circuits import FaultedCircuits
from circuitcheck.model.reading import Situation
from circuitcheck.read.harness_file import read_harness
from circuitcheck.read.library.library_tables import read_library

ROOT = Path(__file__).parents[2]
LIBRARY = read_library()


@pytest.mark.parametrize("name", ["orchard_sprayer", "salt_spreader_relay_lamp"])
def test_left_out_until_driven(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    harness = read_harness(ROOT / "examples" / name / "harness.toml", LIBRARY)
    faults = single_faults(harness, LIBRARY)

    def answers() -> list[np.ndarray]:
        circuits = FaultedCircuits(harness, LIBRARY, faults, Situation("key on"), 2)
        position = [p for p in circuits.full.positions if p.startswith("key on")][1]
        out = []
        for unplugged in (frozenset(), frozenset({"X1"})):
            at = Situation(position, unplugged=unplugged)
            circuits = FaultedCircuits(harness, LIBRARY, faults, at, 2)
            points = [p for p in circuits.full.node_names if "/" not in p]
            pairs = [(a, b) for a in points[::3] for b in ("BAT.+", "BAT.-", points[-1])]
            pairs = [(a, b) for a, b in pairs if a != b]
            out += [circuits.between_many_v(pairs, load) for load in (np.inf, 1e7, 15.0)]
            out += [circuits.current_a(b.name) for b in circuits.full.branches]
            out += [circuits.current_a(c.name) for c in circuits.full.curves]
            out += [circuits.path_ohm(a, b, 3.0) for a, b in pairs[::4]]
        return out

    whole = answers()
    monkeypatch.setattr(curve_points, "MANY_SUPPRESSORS", 0)
    assert any(np.abs(w).max() > 1.0 for w in whole)
    for one, other in zip(whole, answers(), strict=True):
        np.testing.assert_allclose(other, one, rtol=1e-5, atol=2e-4)
