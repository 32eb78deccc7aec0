"""Switching on, 100 random circuits against ngspice: peaks and event times within 1 %.

All circuits stand in one netlist; ngspice finds what was before by itself.
"""

from __future__ import annotations

import numpy as np
import pytest
from coil_networks import switched_on
from random_circuits import CoilCircuit, random_coil_circuit
from spice_transients import run_transients

COUNT = 100
END_S = 0.15
WITHIN = 0.01


@pytest.fixture(scope="module")
def circuits() -> list[CoilCircuit]:
    return [random_coil_circuit(seed) for seed in range(COUNT)]


@pytest.fixture(scope="module")
def theirs(
    circuits: list[CoilCircuit], tmp_path_factory: pytest.TempPathFactory
) -> dict[str, np.ndarray]:
    wanted = [f"i(v{n})" for n in range(COUNT)]
    for n, one in enumerate(circuits):
        wanted += [f"i(l{n}x{i})" for i in range(len(one.coils))]
        wanted += [f"v(n{n}x{c.start})" for c in one.coils]
        wanted += [f"v(n{n}x{c.end})" for c in one.coils]
    return run_transients(circuits, wanted, END_S, tmp_path_factory.mktemp("spice"))


def crossing_s(times: np.ndarray, values: np.ndarray, level: float) -> float:
    k = int(np.argmax(values >= level))
    share = (level - values[k - 1]) / (values[k] - values[k - 1])
    return float(times[k - 1] + share * (times[k] - times[k - 1]))


def test_peaks_and_event_times(circuits: list[CoilCircuit], theirs: dict[str, np.ndarray]) -> None:
    after = theirs["time"] > 0.0
    times = theirs["time"][after]
    checked = 0
    for n, circuit in enumerate(circuits):
        rise, network = switched_on(circuit)
        at = np.linspace(0.0, END_S, 3001)
        ours = rise.currents_a(at)
        fuse = network.values.branch_a[0] + network.values.branch_per_a[0] @ ours
        expected = -theirs[f"i(v{n})"][after]
        assert fuse.max() == pytest.approx(expected.max(), rel=WITHIN)
        for i, coil in enumerate(circuit.coils):
            amps = theirs[f"i(l{n}x{i})"][after]
            assert ours[i].max() == pytest.approx(amps.max(), rel=WITHIN)
            assert ours[i].min() == pytest.approx(amps.min(), rel=WITHIN, abs=1e-4)
            if coil.is_held:
                across = network.values.open_v[i] - network.values.source_ohm[i] @ ours
                volts = (theirs[f"v(n{n}x{coil.start})"] - theirs[f"v(n{n}x{coil.end})"])[after]
                assert across.min() == pytest.approx(volts.min(), rel=WITHIN)
                continue
            for share in (0.1, 0.5, 0.9):
                level = share * float(amps[-1])
                wanted = crossing_s(times, amps, level)
                found = crossing_s(at, ours[i], level)
                assert found == pytest.approx(wanted, rel=WITHIN, abs=2e-6)
                checked += 1
    assert checked > 300
