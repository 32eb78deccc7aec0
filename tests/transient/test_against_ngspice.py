"""Switching on against ngspice: 100 random circuits, and a whole example with cold filaments.

Peaks and event times of the circuits within 1 %, waveforms of the example within a thousandth of
their peak. One process each; ngspice finds what was before by itself.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from coil_networks import switched_on
from random_circuits import CoilCircuit, random_coil_circuit
from spice_switching import INSTANTS_S, run_spice, write_circuits
from spice_transients import run_transients

from circuitcheck import read_harness, read_library, solve_harness
from circuitcheck.transient.switching_on.actions import actions
from circuitcheck.transient.switching_on.corners import CORNERS
from circuitcheck.transient.switching_on.switching_on import STEP_BY_STEP, SwitchingCircuits

EXAMPLES = Path(__file__).parents[2] / "examples"
EXAMPLE = EXAMPLES / "tipping_trailer_shared_return" / "harness.toml"
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


@pytest.mark.slow
def test_every_action_of_an_example_with_filaments(tmp_path: Path) -> None:
    library = read_library()
    solution = solve_harness(read_harness(EXAMPLE, library), library)
    circuits = SwitchingCircuits(solution)
    chosen = [a for a in actions(solution.harness) if a.switches_on and circuits.changes(a)]
    found = [circuits.switch_on(action, corner) for action in chosen for corner in CORNERS]
    theirs = run_spice(write_circuits(found, circuits, tmp_path), tmp_path)
    assert len(theirs) == len(found) * len(INSTANTS_S) >= 180
    assert any(switching.method == STEP_BY_STEP for switching in found)
    for (n, k), value in theirs.items():
        current = found[n].currents["F1"]
        size = max(abs(current.peak), 1e-3)
        assert current.at(INSTANTS_S[k]) == pytest.approx(value, abs=1e-3 * size)
