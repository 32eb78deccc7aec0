"""The polybox of the general diagnostic engine, and orders of tests with known means.

de Kleer and Williams, Diagnosing multiple faults, Artificial Intelligence 32 (1987) 97-130: three
multipliers, two adders, A = 3, B = 2, C = 2, D = 3, E = 3; observed F = 10 and G = 12. The circuit
and its four minimal diagnoses are from memory of the paper; here they are found again by trying all
sets. Priors of 0.01 per part, supersets not counted.
Huffman 1952 and Shannon 1948: least mean number of yes/no tests. Half-split: common practice,
numbers worked out by hand below.
"""

from __future__ import annotations

import itertools
import math
import sys
from pathlib import Path

import numpy as np
import pytest

from circuitcheck.diagnosis.information import entropy_bit
from circuitcheck.diagnosis.next_reading import Choice, choose, information_of
from circuitcheck.diagnosis.posterior import Belief, Witness

sys.path.insert(0, str(Path(__file__).parents[1]))
from reference_solvers.reading_orders import least_mean_effort, mean_effort_of

PARTS = ("M1", "M2", "M3", "A1", "A2")
INPUTS = {"A": 3, "B": 2, "C": 2, "D": 3, "E": 3}
PRIOR = 0.01
CHAINS = {4: 2.000, 8: 3.000, 10: 3.400, 12: 3.667, 16: 4.000, 20: 4.400, 32: 5.000}
"""Length of a chain of equally likely places, and mean tests by half-split."""


def values(faulty: frozenset[str], x: int, y: int, z: int) -> bool:
    """Whether X, Y, Z and the outputs seen go together with only `faulty` parts misbehaving."""
    laws = {
        "M1": x == INPUTS["A"] * INPUTS["C"],
        "M2": y == INPUTS["B"] * INPUTS["D"],
        "M3": z == INPUTS["C"] * INPUTS["E"],
        "A1": x + y == 10,
        "A2": y + z == 12,
    }
    return all(held for part, held in laws.items() if part not in faulty)


def fitting(faulty: frozenset[str]) -> list[tuple[int, int, int]]:
    span = range(-2, 15)
    return [point for point in itertools.product(span, repeat=3) if values(faulty, *point)]


def minimal_diagnoses() -> list[frozenset[str]]:
    found: list[frozenset[str]] = []
    for count in range(len(PARTS) + 1):
        for chosen in map(frozenset, itertools.combinations(PARTS, count)):
            if fitting(chosen) and not any(one <= chosen for one in found):
                found.append(chosen)
    return found


DIAGNOSES = minimal_diagnoses()
WEIGHT = np.array([PRIOR ** len(d) * (1 - PRIOR) ** (5 - len(d)) for d in DIAGNOSES])


def outcome_table(probe: int) -> np.ndarray:
    """P(value | diagnosis) of a probe: each diagnosis here leaves one value at each probe."""
    seen = [{point[probe] for point in fitting(diagnosis)} for diagnosis in DIAGNOSES]
    assert all(len(one) == 1 for one in seen)
    every = sorted(set().union(*seen))
    return np.array([[float(value in one) for value in every] for one in seen])


def test_the_minimal_diagnoses_are_those_of_the_paper() -> None:
    assert set(DIAGNOSES) == {
        frozenset({"A1"}), frozenset({"M1"}), frozenset({"M2", "A2"}), frozenset({"M2", "M3"}),
    }  # fmt: skip


def chosen(
    weight: np.ndarray, tables: np.ndarray, efforts: np.ndarray
) -> tuple[np.ndarray, Choice]:
    """What the program expects of each reading, and which one it takes; none is taken wrongly."""
    told = information_of(weight, tables, 0.0)
    found = choose(told, efforts, np.ones(efforts.size, dtype=bool))
    assert found is not None
    return told, found


def test_posterior() -> None:
    # every set of parts at fault, those left out that hold a minimal diagnosis and more
    sets = [frozenset(some) for n in range(6) for some in itertools.combinations(PARTS, n)]
    causes = [one for one in sets if not any(d < one for d in DIAGNOSES)]
    weight = np.array([PRIOR ** len(one) * (1 - PRIOR) ** (5 - len(one)) for one in causes])
    seen = np.array([[float(bool(fitting(one)))] for one in causes])
    belief = Belief(weight / weight.sum(), 0.0, (Witness(seen, 0.0, 0.0, 0.0),), 1)
    posterior = dict(zip(causes, belief.probability, strict=True))
    assert len(causes) > 8
    assert posterior[frozenset({"M1"})] == pytest.approx(0.4950, abs=5e-5)
    assert posterior[frozenset({"A1"})] == pytest.approx(0.4950, abs=5e-5)
    for double in ({"M2", "A2"}, {"M2", "M3"}):
        assert posterior[frozenset(double)] == pytest.approx(0.0050, abs=5e-5)
    assert posterior[frozenset()] == pytest.approx(0.0, abs=1e-12)


def test_probe_table_and_choice() -> None:
    tables = [outcome_table(probe) for probe in range(3)]
    most = max(table.shape[1] for table in tables)
    padded = np.array([np.pad(table, ((0, 0), (0, most - table.shape[1]))) for table in tables])
    told, best = chosen(WEIGHT, padded, np.ones(3))
    assert told == pytest.approx([0.9999, 0.0808, 0.0454], abs=5e-5)
    assert best.number == 0


def chain(count: int) -> list[list[int]]:
    """Test k of a chain of parts tells whether the fault lies before or after joint k."""
    return [[int(place > joint) for place in range(count)] for joint in range(count - 1)]


def by_information(weights: list[float], readings: list[list[int]], efforts: list[float]) -> int:
    """The package's own choice."""
    tables = np.zeros((len(readings), len(weights), 1 + max(map(max, readings))))
    for number, reading in enumerate(readings):
        tables[number, np.arange(len(weights)), reading] = 1.0
    return chosen(np.array(weights), tables, np.array(efforts, dtype=float))[1].number


@pytest.mark.parametrize(("count", "mean"), CHAINS.items())
def test_half_split_table(count: int, mean: float) -> None:
    weights = [1.0 / count] * count
    found = mean_effort_of(by_information, weights, chain(count))
    assert found == pytest.approx(mean, abs=5e-4)
    assert found >= math.log2(count) - 1e-12


@pytest.mark.parametrize(("count", "mean"), [(10, 5.400), (20, 10.450)])
def test_front_to_back(count: int, mean: float) -> None:
    # (n - 1)(n + 2) / (2 n): always the first joint that still tells anything
    found = mean_effort_of(
        lambda weights, readings, efforts: 0, [1.0 / count] * count, chain(count)
    )
    assert found == pytest.approx(mean, abs=5e-4)
    assert found == pytest.approx((count - 1) * (count + 2) / (2 * count))


SHARES = [0.70, 0.12, 0.10, 0.05, 0.02, 0.01]


def any_question(count: int) -> list[list[int]]:
    return [[mask >> cause & 1 for cause in range(count)] for mask in range(1, 2 ** (count - 1))]


def test_entropy_and_huffman_bound() -> None:
    assert entropy_bit(np.array(SHARES)) == pytest.approx(1.4549, abs=5e-5)
    questions = any_question(len(SHARES))
    assert least_mean_effort(SHARES, questions) == pytest.approx(1.5900, abs=5e-5)
    # The most even question first is not the best order: .70 | .30, then .12 .02 .01 | .10 .05,
    # then .12 | .02 .01 and .10 | .05, then .02 | .01: 1 + .30 + .15 + .15 + .03.
    assert mean_effort_of(by_information, SHARES, questions) == pytest.approx(1.6300, abs=5e-5)
