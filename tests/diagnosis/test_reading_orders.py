"""The choice by information against the best order of all, found by trying all, up to 8 causes."""

from __future__ import annotations

import numpy as np
import pytest
from reference_solvers.reading_orders import least_mean_effort, mean_effort_of

from circuitcheck.diagnosis.information import best_value, expected_information_bit

RUNS = 150
MEAN_OVER_BEST, WORST_OVER_BEST = 1.05, 1.5
"""Choice by information against the best order: on average, and in the worst of the draws."""


def by_value(weights: list[float], useful: list[list[int]], efforts: list[float]) -> int:
    outcomes = 1 + max(max(one) for one in useful)
    told = expected_information_bit(np.array(weights), np.eye(outcomes)[np.array(useful)])
    return best_value(told, np.array(efforts))


@pytest.mark.parametrize("alike", [True, False], ids=["efforts alike", "efforts of their own"])
def test_near_the_best_order(alike: bool) -> None:
    rng = np.random.default_rng(11)
    ratios = []
    for _ in range(RUNS):
        causes, count = rng.integers(3, 9), rng.integers(4, 11)
        weights = rng.dirichlet(np.ones(causes))
        readings = rng.integers(0, rng.integers(2, 5), (count, causes))
        efforts = np.ones(count) if alike else rng.choice([0.5, 1.0, 2.0, 4.0, 8.0], count)
        best = least_mean_effort(list(weights), readings.tolist(), list(efforts))
        if best > 0.0:
            found = mean_effort_of(by_value, list(weights), readings.tolist(), list(efforts))
            ratios.append(found / best)
    print(f"{np.mean(ratios):.4f} of the best order on average, {np.max(ratios):.3f} at worst")
    assert min(ratios) > 1.0 - 1e-9
    assert np.mean(ratios) < MEAN_OVER_BEST
    assert max(ratios) < WORST_OVER_BEST
