"""Posterior over causes and draws: by hand, and what one wrong reading can and cannot do."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra import numpy as arrays

from circuitcheck.diagnosis.posterior import Belief, Witness

DENSITIES = arrays.arrays(float, (4, 3), elements=st.floats(0.01, 5.0))


def told(*sound: float, wrong: float = 1.0, share: float = 0.05) -> Witness:
    return Witness(np.array(sound)[:, None], wrong, wrong, share)


def belief(*witnesses: Witness, prior: tuple[float, ...] = (0.5, 0.5)) -> Belief:
    return Belief(np.array(prior), 0.0, witnesses, witnesses[0].sound.shape[1])


def test_two_causes_by_hand() -> None:
    # 0.95 x 4 + 0.05 x 1 = 3.85 against 0.95 x 0 + 0.05 = 0.05, priors 1 : 3
    found = belief(told(4.0, 0.0), prior=(0.25, 0.75)).probability
    assert found == pytest.approx([3.85 / (3.85 + 0.15), 0.15 / (3.85 + 0.15)])


def test_one_wrong_reading_never_rules_a_cause_out() -> None:
    against = told(100.0, 0.0, wrong=1.0)
    for_it = told(0.0, 100.0, wrong=1.0)
    found = belief(against, for_it, for_it).probability
    assert found[1] > 0.99
    assert belief(against, for_it, for_it).taken_wrongly == pytest.approx([1.0, 0.0, 0.0], abs=0.01)


def test_the_draw_that_explains_one_reading_must_explain_the_next() -> None:
    # Cause 0 can give either reading, but never both on one machine; cause 1 gives both.
    one = Witness(np.array([[1.0, 0.0], [0.5, 0.5]]), 0.0, 0.0, 0.0)
    other = Witness(np.array([[0.0, 1.0], [0.5, 0.5]]), 0.0, 0.0, 0.0)
    assert belief(one).probability == pytest.approx([0.5, 0.5])
    assert belief(one, other).probability == pytest.approx([0.0, 1.0])


def test_nothing_fits_where_no_cause_makes_the_readings_likely() -> None:
    strange = Witness(np.full((2, 1), 1e-6), 1.0, 1.0, 0.05)
    found = Belief(np.array([0.495, 0.495]), 0.01, (strange,) * 3, 1)
    # each reading is put down to a mistake, 0.05 x 1; three of them against 0.01
    assert found.none == pytest.approx(0.01 / (0.01 + 0.99 * 0.05**3), rel=1e-3)


@given(DENSITIES, DENSITIES)
def test_order_of_readings_does_not_matter(one: np.ndarray, other: np.ndarray) -> None:
    first, second = (Witness(table, 0.3, 0.3, 0.05) for table in (one, other))
    prior = (0.1, 0.2, 0.3, 0.4)
    there, back = (belief(*pair, prior=prior) for pair in ((first, second), (second, first)))
    assert there.probability == pytest.approx(back.probability)
    assert there.probability.sum() == pytest.approx(1.0)
    assert there.without(1) == pytest.approx(belief(first, prior=prior).probability)


def test_evidence_is_a_likelihood_ratio() -> None:
    found = belief(told(4.0, 1.0, share=0.0)).speaks_for(np.array([True, False]))
    assert found == pytest.approx([2.0])
