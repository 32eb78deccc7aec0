"""Stages followed side by side, held against each one alone, step by step with all its ports."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from circuitcheck import read_harness, read_library, solve_harness
from circuitcheck.transient.switching_on.actions import actions
from circuitcheck.transient.switching_on.corners import CORNERS, STRONGEST, Corner
from circuitcheck.transient.switching_on.side_by_side import Ahead, follow_all
from circuitcheck.transient.switching_on.switching_on import SwitchingCircuits

ROOT = Path(__file__).parents[2]
FILES = [
    ROOT / "examples" / "tipping_trailer_shared_return" / "harness.toml",
    ROOT / "tests" / "harnesses" / "good" / "marker_lamps_12v.toml",
    ROOT / "tests" / "harnesses" / "good" / "relay_indicators_12v.toml",
]


def stages_of(path: Path) -> list[Ahead]:
    """The stages in which filaments light or go out: after every action, at both corners."""
    library = read_library()
    solution = solve_harness(read_harness(path, library), library)
    circuits = SwitchingCircuits(solution)
    settled = [circuits.settled(action) for action in actions(solution.harness)]
    corners = [Corner(name, solution.heat) for name in CORNERS]
    found = []
    for action, cut in zip(settled, circuits.prepare(settled, corners), strict=True):
        for corner in corners:
            before, after = (
                circuits.circuits.at(position, cut, corner)
                for position in (action.before, action.after)
            )
            if after.is_glowing:
                found.append(Ahead(after, before.settled, None))
    return found


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_each_as_alone_step_by_step(path: Path) -> None:
    stages = stages_of(path)
    assert stages
    for one, past in zip(stages, follow_all(stages), strict=True):
        entering, interrupted = one.circuit.entering(one.carried)
        found = past.followed
        alone = one.circuit.follow(entering, float(found.times_s[-1]))
        assert past.interrupted == interrupted
        peak_a = np.abs(alone.port_a).max()
        # Its own steps are further apart: compared where it stood, not between.
        for port, amps in enumerate(alone.port_a):
            ours = np.interp(alone.times_s, found.times_s, found.port_a[port])
            np.testing.assert_allclose(ours, amps, atol=1e-3 * peak_a)
        assert found.last.warmth == pytest.approx(alone.last.warmth, rel=5e-4)
        assert found.last.winding_a == pytest.approx(alone.last.winding_a, rel=1e-4, abs=1e-4)


def test_beside_others_as_by_itself() -> None:
    stages = stages_of(FILES[0])
    together = follow_all(stages)
    for one, past in zip(stages[::5], together[::5], strict=True):
        by_itself = follow_all([one])[0].followed
        np.testing.assert_allclose(past.followed.port_a, by_itself.port_a, rtol=1e-6, atol=1e-6)


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.parent.name)
def test_all_actions_at_once_as_one_by_one(path: Path) -> None:
    library = read_library()
    solution = solve_harness(read_harness(path, library), library)
    chosen = [action for action in actions(solution.harness) if action.switches_on]
    together = SwitchingCircuits(solution).switch_on_all(chosen, (STRONGEST,))
    for action, found in zip(chosen, together, strict=True):
        alone = SwitchingCircuits(solution).switch_on(action, STRONGEST)
        assert (found.stages, found.not_modelled) == (alone.stages, alone.not_modelled)
        for name, wave in alone.currents.items():
            # Rounding alone may set the steps of an integrator elsewhere: 5e-8 of the peak is met.
            other = found.currents[name]
            ours = np.interp(wave.times_s, other.times_s, other.values)
            peak_a = max(abs(wave.peak), 1e-3)
            np.testing.assert_allclose(ours, wave.values, atol=1e-5 * peak_a)
            assert other.values[-1] == pytest.approx(wave.values[-1], abs=1e-5 * peak_a)
