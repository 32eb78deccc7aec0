"""Speed of a diagnosis, as ratios to references measured in the same run.

    python tests/benchmarks/diagnosis.py
    pytest tests/benchmarks/diagnosis.py

The next reading after an answer on the largest example must take less than READING_LIMIT times what
`import numpy` takes in a process of its own (about 0.1 s to 0.2 s): 0.2 s and less. Working out all
readings under all faults, once per complaint, is told beside it.

A step in which pairs of faults are made and the next reading is asked for takes up to 0.2 s of
processor time: PAIRS_LIMIT times the reference, the longest such step of sessions at two machines
with two faults each. Where the cause seems certain all pairs that still wait are tried before it is
said; if one of them then leads to another reading (some 2 of 100 steps) that step takes 0.2 s to
0.6 s: those are told, and not held to the limit.
"""

from __future__ import annotations

import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from unittest.mock import patch

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).parents[1]))
sys.path.insert(0, str(Path(__file__).parents[1] / "diagnosis"))

from simulated_machines import first_looks

from circuitcheck.diagnosis.causes import Cause
from circuitcheck.diagnosis.complaint import ComplaintReader
from circuitcheck.diagnosis.diagnosis import Diagnosis
from circuitcheck.diagnosis.opening import Workshop, after_readings
from circuitcheck.diagnosis.pairs import with_pairs
from circuitcheck.diagnosis.predictions import Predictions
from circuitcheck.model.instrument import LAMP_BY_EYE, LED_TESTER, OBSERVATION
from circuitcheck.model.reading import Measurement, Reading
from circuitcheck.read.harness_file import read_harness
from circuitcheck.read.library.library_tables import read_library

ROOT = Path(__file__).parents[2]
LARGEST = ROOT / "examples" / "tipping_trailer_shared_return" / "harness.toml"
READING_LIMIT = 1.0
PAIRS_LIMIT = 2.0
TRIES = 5
TWO_FAULTS = ("road_sweeper_24v", "orchard_sprayer")
SESSIONS, MOST_READINGS, SEED = 4, 8, 3


def seconds(action: Callable[[], object]) -> float:
    """Least processor time of some tries."""
    tries = []
    for _ in range(TRIES):
        start = time.process_time()
        action()
        tries.append(time.process_time() - start)
    return min(tries)


def import_numpy_s() -> float:
    tries = []
    for _ in range(TRIES):
        start = time.perf_counter()
        subprocess.run([sys.executable, "-c", "import numpy"], check=True)
        tries.append(time.perf_counter() - start)
    return min(tries)


def opened() -> Diagnosis:
    library = read_library()
    shop = Workshop(read_harness(LARGEST, library), library)
    reader = ComplaintReader(shop.full.harness, shop.candidates.places, shop.full.positions)
    return shop.open(reader.read("YT does not click"))


def ratios() -> tuple[float, float]:
    """Time of a next reading, and of all predictions, over that of `import numpy`."""
    start = time.process_time()
    diagnosis = opened()
    assert diagnosis.next_reading is not None
    first_s = time.process_time() - start
    measurement = diagnosis.next_reading.measurement

    def answered() -> None:
        assert diagnosis.with_reading(Reading(measurement, 6.0)).next_reading is not None

    reference_s = import_numpy_s()
    return seconds(answered) / reference_s, first_s / reference_s


def with_two_faults(shop: Workshop, rng: np.random.Generator) -> tuple[Predictions, int]:
    """What a machine shows that has two faults drawn at random: predictions, and its draw."""
    looks = first_looks(shop)
    worked = tuple(dict.fromkeys(look.situation for look, _ in looks))
    faulty = [cause for cause in shop.causes if cause.faults]
    while True:
        one, other = (faulty[k].faults[0] for k in rng.choice(len(faulty), 2, replace=False))
        machine = Predictions(shop.full, [Cause((one, other))], worked)
        draw = int(rng.integers(machine.draws))
        if one.subject != other.subject and any(
            (machine.of(look)[0, draw] > 0.5) != (sound > 0.5) for look, sound in looks
        ):
            return machine, draw


def answer(machine: Predictions, draw: int, measurement: Measurement) -> Reading:
    """What a person would type."""
    value = float(machine.of(measurement)[0, draw])
    kind = machine.library.instrument(measurement.instrument).kind
    if kind == OBSERVATION:
        return Reading(measurement, float(value > 0.5))
    return Reading(measurement, round(value) if kind in (LAMP_BY_EYE, LED_TESTER) else value)


@dataclass
class Steps:
    """Processor time of steps that make pairs [s].

    `asked` went on to the next reading after one round of pairs, `resumed` after more, `ended` with
    the diagnosis.
    """

    asked: list[float]
    resumed: list[float]
    ended: list[float]


def steps_with_pairs(example: str) -> Steps:
    """Diagnose machines with two faults each, and time the steps in which pairs are made."""
    library = read_library()
    shop = Workshop(read_harness(ROOT / "examples" / example / "harness.toml", library), library)
    rng, steps, rounds = np.random.default_rng(SEED), Steps([], [], []), list[Diagnosis]()

    def counted(diagnosis: Diagnosis, *, is_hurried: bool) -> Diagnosis:
        rounds.append(diagnosis)
        return with_pairs(diagnosis, is_hurried=is_hurried)

    for _ in range(SESSIONS):
        machine, draw = with_two_faults(shop, rng)
        looks = [answer(machine, draw, look) for look, _ in first_looks(shop)]
        diagnosis = shop.open(sorted(looks, key=lambda look: look.value))
        while len(diagnosis.readings) < len(looks) + MOST_READINGS and diagnosis.next_reading:
            typed = answer(machine, draw, diagnosis.next_reading.measurement)
            rounds.clear()
            start = time.process_time()
            with patch("circuitcheck.diagnosis.opening.with_pairs", counted):
                diagnosis = after_readings(diagnosis, [typed])
            has_more = diagnosis.next_reading is not None
            spent = time.process_time() - start
            if rounds:
                kind = (
                    (steps.asked if len(rounds) == 1 else steps.resumed)
                    if has_more
                    else steps.ended
                )
                kind.append(spent)
    return steps


def test_the_next_reading_is_there_at_once() -> None:
    assert ratios()[0] < READING_LIMIT


@pytest.mark.parametrize("example", TWO_FAULTS)
def test_so_it_is_where_pairs_of_faults_are_made(example: str) -> None:
    steps = steps_with_pairs(example)
    assert steps.asked
    assert max(steps.asked) < PAIRS_LIMIT * import_numpy_s()


if __name__ == "__main__":
    print("next reading {:.2f}, all predictions {:.2f} times import numpy".format(*ratios()))
    for name in TWO_FAULTS:
        steps = steps_with_pairs(name)
        for what, spent in vars(steps).items():
            told = f"{len(spent)} steps, at most {max(spent, default=0.0):.3f} s"
            print(f"pairs of faults, {name}, {what}: {told}")
