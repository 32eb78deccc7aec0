"""Speed of switching on, as ratios measured in one run. Needs ngspice.

    python tests/benchmarks/transients.py
    pytest tests/benchmarks/transients.py

All actions of the largest example that switch on, at both corners: cold filaments beside coils on
a shared feed. Here it is the one call that the command makes: from the solved harness to the
waveforms of all of them, what was before and how hot wires get included. ngspice does the same from
finished netlists: coils with their inductance, filaments as behavioural sources with a thermal
node, what was before found by itself, the same currents and voltages saved; all in one process, one
circuit after the other, and a process for each.

Accuracy is the current of the fuse at ten instants, as a share of its peak, against the same
circuits followed to 1e-9 with fifty times the points. ngspice gets, of the settings in SETTINGS,
each with steps as long as its tolerance allows, the quickest that stays within a thousandth; and
once more the quickest that comes as near as we do. Processor time, so that others who use the
machine cancel out, the best of several on both sides. What a process takes to begin is left out on
both sides: Python's start here, and in one process of ngspice what each further one costs more.
At most a second was asked for; about 9 ms are met.
"""

from __future__ import annotations

import resource
import sys
import tempfile
import time
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from circuitcheck import read_harness, read_library, solve_harness
from circuitcheck.solve.worst_case import Solution
from circuitcheck.transient import integration
from circuitcheck.transient.switching_on import glowing
from circuitcheck.transient.switching_on.actions import Action, actions
from circuitcheck.transient.switching_on.corners import CORNERS
from circuitcheck.transient.switching_on.switching_on import Switching, SwitchingCircuits

TESTS = Path(__file__).parents[1]
for folder in (str(TESTS), str(TESTS / "transient")):
    if folder not in sys.path:
        sys.path.insert(0, folder)
from spice_switching import INSTANTS_S, run_spice, write_circuits  # noqa: E402

EXAMPLES = Path(__file__).parents[2] / "examples"
WITHIN = 1e-3
REPEATS = 8
USUAL = ".options abstol=1e-9 vntol=1e-7 itl1=2000"
SETTINGS = (
    f"{USUAL} method=gear reltol=1e-5 trtol=1",
    f"{USUAL} method=gear reltol=3e-6 trtol=4",
    f"{USUAL} method=gear reltol=1e-6 trtol=7",
    f"{USUAL} method=gear reltol=1e-6 trtol=3",
    f"{USUAL} method=gear reltol=3e-7 trtol=4",
    f"{USUAL} method=gear reltol=1e-7 trtol=7",
    f"{USUAL} method=trap reltol=1e-6 trtol=5",
    f"{USUAL} method=trap reltol=1e-6 trtol=1",
    f"{USUAL} method=trap reltol=1e-7 trtol=7",
    f"{USUAL} method=trap reltol=3e-7 trtol=1",
)
STEPS = (50, 10)
"""Fewest steps of a transient: what ngspice takes by itself, and fewer, which not all survive."""


def largest() -> Path:
    """The example with the most wires."""
    every = sorted(EXAMPLES.glob("*/harness.toml"))
    return max(every, key=lambda path: path.read_text().count("\n[wire."))


def followed(circuits: SwitchingCircuits, chosen: list[Action]) -> list[Switching]:
    """Every action at both corners."""
    return circuits.switch_on_all(chosen, CORNERS)


def children_s() -> float:
    """Processor time of all processes that have been waited for. [s]"""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


@dataclass(frozen=True)
class Theirs:
    """ngspice with one setting: processor time in one process [s], error, how it is run."""

    one_process_s: float
    error: float
    setting: str
    folder: Path
    scripts: list[list[str]]

    def again_s(self) -> float:
        """Processor time of all circuits in one process, once begun. [s]"""
        one = min(self._run_s([self.scripts]) for _ in range(REPEATS))
        each = min(self._run_s([[script] for script in self.scripts]) for _ in range(REPEATS))
        return one - max(each - one, 0.0) / (len(self.scripts) - 1)

    def _run_s(self, processes: list[list[list[str]]]) -> float:
        start = children_s()
        for scripts in processes:
            run_spice(scripts, self.folder)
        return children_s() - start


@dataclass(frozen=True)
class Measured:
    """Processor time here and in one process of ngspice [s], loose and as near as we are."""

    here_s: float
    error: float
    loose_s: float
    loose: Theirs
    near_s: float
    near: Theirs


def error_of(values: dict[tuple[int, int], float], close: list[Switching]) -> float:
    """Largest error of the fuse's current by action and instant, as a share of its peak."""
    return max(
        abs(close[n].currents["F1"].at(INSTANTS_S[k]) - value)
        / max(abs(close[n].currents["F1"].peak), 1e-3)
        for (n, k), value in values.items()
    )


def followed_closely(solution: Solution, chosen: list[Action]) -> list[Switching]:
    """The same, to 1e-9 with fifty times the points."""
    was = (integration.QUICK, glowing.POINTS_PER_DECADE, glowing.EVEN_POINTS)
    integration.QUICK = 1e-9
    glowing.POINTS_PER_DECADE, glowing.EVEN_POINTS = 50 * was[1], 50 * was[2]
    try:
        return followed(SwitchingCircuits(solution), chosen)
    finally:
        integration.QUICK, glowing.POINTS_PER_DECADE, glowing.EVEN_POINTS = was


def every_setting(
    found: list[Switching], close: list[Switching], circuits: SwitchingCircuits, folder: Path
) -> list[Theirs]:
    """ngspice with each setting that gets through."""
    every = []
    for number, (setting, steps) in enumerate((s, n) for s in SETTINGS for n in STEPS):
        own = folder / str(number)
        own.mkdir()
        scripts = write_circuits(found, circuits, own, setting, steps)
        taken = []
        try:
            for _ in range(2):
                start = children_s()
                values = run_spice(scripts, own)
                taken.append(children_s() - start)
        except RuntimeError:
            continue
        label = f"{setting.removeprefix(USUAL)}, {steps} steps"
        every.append(Theirs(min(taken), error_of(values, close), label, own, scripts))
    return every


def quickest(every: list[Theirs], most: float) -> Theirs:
    """The quickest with no more than some error."""
    return min((one for one in every if one.error <= most), key=lambda one: one.one_process_s)


def least_s(solution: Solution, chosen: list[Action]) -> float:
    """Processor time of all actions here, the best of several. [s]"""
    taken = []
    for _ in range(REPEATS):
        start = time.process_time()
        followed(SwitchingCircuits(solution), chosen)
        taken.append(time.process_time() - start)
    return min(taken)


@lru_cache(maxsize=1)
def measured() -> Measured:
    library = read_library()
    solution = solve_harness(read_harness(largest(), library), library)
    circuits = SwitchingCircuits(solution)
    chosen = [a for a in actions(solution.harness) if a.switches_on and circuits.changes(a)]
    found = followed(circuits, chosen)  # whatever is imported once
    close = followed_closely(solution, chosen)
    values = {
        (n, k): one.currents["F1"].at(at_s)
        for n, one in enumerate(found)
        for k, at_s in enumerate(INSTANTS_S)
    }
    error, here_s = error_of(values, close), least_s(solution, chosen)
    with tempfile.TemporaryDirectory() as name:
        every = every_setting(found, close, circuits, Path(name))
        loose, near = quickest(every, WITHIN), quickest(every, error)
        loose_s, near_s = loose.again_s(), near.again_s()
    here_s = min(here_s, least_s(solution, chosen))
    return Measured(here_s, error, loose_s, loose, near_s, near)


def test_all_within_a_thousandth() -> None:
    m = measured()
    assert max(m.error, m.loose.error, m.near.error) < WITHIN


def test_faster_than_ngspice_as_loose_as_a_thousandth_allows() -> None:
    # Five times is aimed at, 4.3 to 4.9 are met: half a millisecond a transient, of which scipy's
    # steps take a quarter. Less is asked for, others use the machine too.
    assert measured().loose_s >= 3.5 * measured().here_s


def test_faster_than_ngspice_to_the_same_accuracy() -> None:
    # Five times is aimed at, 5.3 to 6.5 are met.
    assert measured().near_s >= 5.0 * measured().here_s


if __name__ == "__main__":
    m = measured()
    print(f"{largest().parent.name}: {1e3 * m.here_s:.1f} ms here, error {100.0 * m.error:.3f} %")
    for taken_s, one in ((m.loose_s, m.loose), (m.near_s, m.near)):
        print(f"ngspice, error {100.0 * one.error:.3f} %: {1e3 * taken_s:.1f} ms", end=", ")
        print(f"{taken_s / m.here_s:.1f} times;{one.setting}")
