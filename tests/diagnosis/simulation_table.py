"""Diagnoses of simulated machines as one table: how often right, how soon, how sure."""

from __future__ import annotations

import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from reference_solvers.reading_orders import least_mean_effort, mean_effort_of
from simulated_machines import (
    Chooser,
    MeasuredMachines,
    Run,
    Seen,
    by_label,
    by_worth,
    drawn,
    follow,
    opened,
    pairs_of_faults,
    seen_machines,
    showing_themselves,
    workshop_of,
)

from circuitcheck.diagnosis.diagnosis import Diagnosis
from circuitcheck.diagnosis.information import best_value, expected_information_bit
from circuitcheck.diagnosis.opening import Workshop

WRONG_AMONG_FIRST = 4
"""The wrong reading is one of so many first ones."""
MOST_CAUSES = 8
"""Groups up to which the best order of all is worked out."""
BATCH = 400


@dataclass(frozen=True)
class Row:
    """What came of some machines of one kind."""

    what: str
    runs: tuple[Run, ...]

    @property
    def right(self) -> float:
        return float(np.mean([run.is_right for run in self.runs]))

    @property
    def among_three(self) -> float:
        return float(np.mean([0 < run.rank <= 3 for run in self.runs]))

    @property
    def certain_of_wrong(self) -> int:
        return sum(run.is_certain and not run.is_right for run in self.runs)

    @property
    def readings(self) -> float:
        return float(np.mean([run.count for run in self.runs]))

    @property
    def minutes(self) -> float:
        return float(np.mean([run.effort_s for run in self.runs])) / 60.0

    @property
    def leads_after(self) -> float:
        """Readings after which the right group leads to the end, of the runs that end right."""
        return float(np.mean([run.leads_after for run in self.runs if run.is_right] or [np.nan]))

    def __str__(self) -> str:
        certain = float(np.mean([run.is_certain for run in self.runs]))
        return (
            f"{self.what:<36} {len(self.runs):>5} {self.right:>7.1%} {self.among_three:>7.1%} "
            f"{certain:>8.1%} {self.certain_of_wrong:>6} {self.readings:>9.2f} "
            f"{self.leads_after:>6.2f} {self.minutes:>8.1f}"
        )


HEAD = (
    f"{'':<36} {'runs':>5} {'right':>7} {'in 3':>7} {'certain':>8} {'wrong':>6} "
    f"{'readings':>9} {'leads':>6} {'minutes':>8}"
)


class Bench:
    """One example and what is worked out once for it."""

    def __init__(self, example: str, seed: int) -> None:
        self.example, self.workshop = example, workshop_of(example)
        self.rng = np.random.default_rng(seed)

    def opened(self, count: int) -> list[tuple[MeasuredMachines, list[Run]]]:
        """Machines with one fault that gives a symptom, `count` of them, in batches."""
        labels, found, have = by_label(self.workshop), [], 0
        while have < count:
            faults = [
                (drawn(labels[self.rng.integers(len(labels))], self.rng),)
                for _ in range(min(BATCH, 2 * (count - have) + 4))
            ]
            machines, seen = seen_machines(self.workshop, faults, self._folder(), self.rng)
            found.append((machines, opened(self.workshop, machines, seen[: count - have])))
            have += len(found[-1][1])
        return found

    def singles(self, count: int, choose: Chooser = by_worth, *, wrong: bool = False) -> list[Run]:
        """Diagnose machines with one fault each; `wrong` takes one reading of each wrongly."""
        done = []
        for machines, runs in self.opened(count):
            for run in runs:
                run.wrong_at = int(self.rng.integers(WRONG_AMONG_FIRST)) if wrong else -1
            follow(machines, runs, choose)
            # a diagnosis that ended before its wrong reading has had none
            done += [run for run in runs if run.count > run.wrong_at]
        return done

    def pairs(self, count: int) -> list[Run]:
        """Diagnose machines with two faults of which neither hides the other."""
        done: list[Run] = []
        while len(done) < count:
            faults = pairs_of_faults(self.workshop, 12 * count, self._folder(), self.rng)
            machines, seen = seen_machines(self.workshop, faults, self._folder(), self.rng)
            plain: list[Seen] = []
            for first in range(0, len(seen), BATCH):
                if len(plain) < count - len(done):
                    plain += showing_themselves(machines, seen[first : first + BATCH])
            runs = opened(self.workshop, machines, plain[: count - len(done)])
            follow(machines, runs)
            done += runs
        return done

    def _folder(self) -> Path:
        return Path(tempfile.mkdtemp())


def against_the_best(workshop: Workshop, runs: Sequence[Run]) -> tuple[int, float]:
    """Mean readings from each state with few groups left, by the package's choice over the best.

    On the likeliest outcome of each reading for each group; the choice weighs efforts, and is held
    against the order that needs fewest readings.
    """
    found, best = [], []
    for run in runs:
        complaints = len(run.readings) - run.count
        for taken in range(complaints, len(run.readings)):
            state = _state_after(workshop, run, complaints, taken)
            groups = state.grouping
            if 2 < len(groups.groups) <= MOST_CAUSES:
                table = state.suspects.table.share(
                    groups.joint, groups.of_cause, len(groups.groups)
                ).argmax(axis=2)[state._easy]
                efforts = state._effort_s[state._easy]
                told = [k for k, row in enumerate(table) if len(set(row)) > 1]
                weights = [group.probability for group in groups.groups]
                readings, cost = table[told].tolist(), efforts[told].tolist()
                best.append(least_mean_effort(weights, readings))
                found.append(_by_value(weights, readings, cost))
                break
    return len(best), float(np.sum(found) / np.sum(best)) if best else 1.0


def _state_after(workshop: Workshop, run: Run, complaints: int, taken: int) -> Diagnosis:
    state = workshop.open(run.readings[:complaints])
    for reading in run.readings[complaints:taken]:
        state = state.with_reading(reading)
    return state


def _by_value(weights: list[float], readings: list[list[int]], cost: list[float]) -> float:
    def choose(left: list[float], useful: list[list[int]], efforts: list[float]) -> int:
        width = 1 + max(max(one) for one in useful)
        told = expected_information_bit(np.array(left), np.eye(width)[np.array(useful)])
        return best_value(told, np.array(efforts))

    return mean_effort_of(choose, weights, readings, weighed=cost)
