"""Entropy, posterior and expected information: limit cases known by thought, and properties."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra import numpy as arrays

from circuitcheck.diagnosis.information import (
    best_value,
    entropy_bit,
    expected_information_bit,
)
from circuitcheck.diagnosis.posterior import Belief, Witness

WEIGHTS = arrays.arrays(float, 5, elements=st.floats(0.01, 1.0))
TABLES = arrays.arrays(float, (5, 3), elements=st.floats(0.01, 1.0))


def believed(weight: np.ndarray, likelihood: np.ndarray) -> np.ndarray:
    """Posterior of the causes after one reading that is never taken wrongly."""
    witness = Witness(likelihood[:, None], 0.0, 0.0, 0.0)
    return Belief(weight / weight.sum(), 0.0, (witness,), 1).probability


def as_rows(table: np.ndarray) -> np.ndarray:
    return table / table.sum(axis=1, keepdims=True)


def test_entropy_of_equal_shares_is_the_logarithm_of_their_number() -> None:
    for count in (1, 2, 8, 1024):
        assert entropy_bit(np.full(count, 1.0 / count)) == pytest.approx(np.log2(count))


def test_a_reading_that_all_causes_answer_alike_tells_nothing() -> None:
    outcome = np.tile([0.2, 0.3, 0.5], (4, 1))
    assert expected_information_bit(np.full(4, 0.25), outcome) == pytest.approx(0.0, abs=1e-12)


def test_a_reading_that_each_cause_answers_in_its_own_way_tells_all() -> None:
    weight = np.array([0.7, 0.2, 0.1])
    told = expected_information_bit(weight, np.eye(3))
    assert told == pytest.approx(entropy_bit(weight))


@given(WEIGHTS, TABLES)
def test_information_is_the_entropy_lost_on_average(weight: np.ndarray, table: np.ndarray) -> None:
    rows, share = as_rows(table), weight / weight.sum()
    after = [
        (share @ rows[:, k]) * entropy_bit(believed(share, rows[:, k]))
        for k in range(rows.shape[1])
    ]
    told = expected_information_bit(weight, rows)
    assert told == pytest.approx(entropy_bit(share) - sum(after), abs=1e-12)
    assert 0.0 <= told <= min(entropy_bit(share), np.log2(3)) + 1e-12


@given(WEIGHTS, TABLES)
def test_lumping_outcomes_together_never_adds_information(
    weight: np.ndarray, table: np.ndarray
) -> None:
    rows = as_rows(table)
    lumped = np.stack([rows[:, 0] + rows[:, 1], rows[:, 2]], axis=1)
    fine, coarse = (expected_information_bit(weight, one) for one in (rows, lumped))
    assert coarse <= fine + 1e-12


def test_many_readings_at_once_are_the_same_as_one_by_one() -> None:
    rng = np.random.default_rng(4)
    tables = rng.random((6, 5, 3))
    tables /= tables.sum(axis=2, keepdims=True)
    weight = rng.random(5)
    together = expected_information_bit(weight, tables)
    one_by_one = [float(expected_information_bit(weight, one)) for one in tables]
    assert together == pytest.approx(one_by_one)


def test_a_reading_that_is_not_to_be_taken_is_not_the_best() -> None:
    assert best_value(np.array([-1.0, 0.2, 0.1]), np.array([1.0, 9.0, 9.0])) == 1


def test_half_the_effort_is_worth_half_the_information() -> None:
    assert best_value(np.array([1.0, 0.6]), np.array([1.0, 0.5])) == 1
    assert best_value(np.array([1.0, 0.4]), np.array([1.0, 0.5])) == 0
    # what differs by rounding alone is equal, and the first is taken
    assert best_value(np.array([1.0 - 1e-15, 1.0]), np.array([1.0, 1.0])) == 0
