"""A cause that hangs on a single reading is confirmed: elsewhere, or by that reading once more.

Behind a blown fuse one reading of ohms often is all that tells the shorts apart: nothing but the
same reading again can show that it was not taken wrongly.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from simulated_machines import workshop_of

from circuitcheck.diagnosis.candidates import CLICK, told_by
from circuitcheck.diagnosis.diagnosis import Diagnosis, NextReading
from circuitcheck.diagnosis.opening import after_readings
from circuitcheck.documents.diagnosis_text import diagnosis_text
from circuitcheck.model.reading import Measurement, Reading, Situation

SHORTS = ("W4 short to frame", "VR suppressor shorted")


@cache
def opened() -> Diagnosis:
    looks = (("VL", "key on, left"), ("VR", "key on, right"))
    return workshop_of("orchard_sprayer").open(
        [Reading(Measurement(CLICK, coil, "", Situation(position)), 0.0)
         for coil, position in looks]
    )  # fmt: skip


@cache
def answered(label: str) -> tuple[Diagnosis, tuple[NextReading, ...]]:
    """Answer as the middle machine of a cause would until the diagnosis ends."""
    diagnosis = opened()
    asked: list[NextReading] = []
    while (one := diagnosis.next_reading) is not None:
        row = next(k for k, c in enumerate(diagnosis.suspects.causes) if c.label == label)
        shown = diagnosis.suspects.predictions.of(one.measurement)[row]
        value = float(np.sort(shown)[shown.size // 2])
        asked.append(one)
        diagnosis = after_readings(diagnosis, [Reading(one.measurement, value)])
    return diagnosis, tuple(asked)


@pytest.mark.parametrize("label", SHORTS)
def test_a_short_behind_a_blown_fuse_ends_certain(label: str) -> None:
    diagnosis, asked = answered(label)
    assert diagnosis.is_certain
    assert label in diagnosis.groups[0].labels
    told = [told_by(one.measurement) for one in asked]
    assert any(one.again for one in asked)
    for number, one in enumerate(asked):
        assert one.again == (told[number] in told[:number])
        assert told.count(told[number]) <= 2
        # only what the cause hangs on is asked for again
        assert one.confirms or not one.again


def test_the_text_asks_for_it_once_more_and_skipping_ends_that() -> None:
    diagnosis, asked = answered(SHORTS[0])
    number = next(k for k, one in enumerate(asked) if one.again)
    start = opened()
    for reading in diagnosis.readings[start.complaints :][:number]:
        start = after_readings(start, [reading])
    assert "once more, probes set anew" in " ".join(diagnosis_text(start, 80).split())
    skipped = start.with_skipped(asked[number].measurement)
    after = skipped.next_reading
    assert after is None or told_by(after.measurement) != told_by(asked[number].measurement)
