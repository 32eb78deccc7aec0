"""What readings show under each cause, asked for in whatever way.

A meter of 10 megohm on a point that hangs on nothing draws it to its other probe and shows next to
nothing, wherever that probe is: 12.5 V behind 1e12 ohm of leakage is 12.5 V * 1e7 / 1e12 = 0.1 mV.
The ohms of leakage are those that circuit simulators put at every node (`LEAK_S`).
"""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from simulated_machines import EXAMPLES, first_looks, workshop_of

from circuitcheck.diagnosis.causes import pair_causes
from circuitcheck.diagnosis.lots import GatheredPredictions, Lot, Picked
from circuitcheck.diagnosis.predictions import Predictions
from circuitcheck.diagnosis.suspects import Suspects
from circuitcheck.model.reading import Measurement, Reading, Situation

VOLTMETER = "digital voltmeter"


def suspects_of(example: str) -> Suspects:
    workshop = workshop_of(example)
    return workshop.open([Reading(look, 0.0) for look, _ in first_looks(workshop)]).suspects


@pytest.fixture(scope="module")
def sprayer() -> Suspects:
    return suspects_of("orchard_sprayer")


def row(predictions: Predictions, label: str) -> int:
    return next(k for k, cause in enumerate(predictions.causes) if cause.label == label)


@pytest.mark.parametrize("together", [False, True])
@pytest.mark.parametrize(
    ("plus", "minus", "unplugged", "cause"),
    [("VL.1", "VL.2", True, "W7 open"), ("BAT.+", "VL.2", True, "W7 open"),
     ("BAT.+", "X1.receptacle.1", False, "W7 open")],
)  # fmt: skip
def test_a_point_that_hangs_on_nothing_follows_the_other_probe(
    plus: str, minus: str, unplugged: bool, cause: str, together: bool, sprayer: Suspects
) -> None:
    one = sprayer.predictions
    fresh = Predictions(one.full, one.causes, one.worked)
    position = "key on, left" if unplugged else "key on, right"
    taken_off = frozenset({"VL"}) if unplugged else frozenset()
    asked = Measurement(VOLTMETER, plus, minus, Situation(position, unplugged=taken_off))
    if together:
        fresh.prepare([asked])
    assert np.abs(fresh.of(asked)[row(fresh, cause)]).max() < 0.01
    if unplugged:
        assert np.abs(fresh.of(asked)[0]).min() > 10.0


@pytest.mark.parametrize("example", EXAMPLES)
def test_a_pair_shows_the_same_in_whatever_company(example: str) -> None:
    suspects = suspects_of(example)
    numbers = [k for k, cause in enumerate(suspects.causes)
               if cause.label.endswith(" open") and cause.label.startswith("W")]  # fmt: skip
    pairs = list(itertools.combinations(numbers, 2))
    made, _ = pair_causes(suspects.causes, suspects.prior, pairs)
    every = suspects.predictions.of_others(made)
    picked = np.arange(0, len(made), 7)
    chosen = [made[k] for k in picked]
    lots = [Lot(suspects.predictions.of_others(made[part::2]), ()) for part in (0, 1)]
    parts = [
        Picked(lots[part], picked[picked % 2 == part] // 2, np.flatnonzero(picked % 2 == part))
        for part in (0, 1)
    ]
    some = suspects.predictions.of_others(chosen, GatheredPredictions(parts))
    alone = suspects.predictions.of_others(chosen)
    assert (some.blown == alone.blown).all()
    alone.prepare(suspects.measurements)
    for asked in suspects.measurements:
        for found in (some.of(asked), every.of(asked)[picked]):
            np.testing.assert_allclose(found, alone.of(asked), rtol=1e-6, atol=1e-6)
