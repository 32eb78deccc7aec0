"""Pairs of faults while a person waits: a few after each reading, all of them before the end."""

from __future__ import annotations

from pathlib import Path

import pytest
from simulated_machines import LIBRARY, ROOT, workshop_of

from circuitcheck.diagnosis.diagnosis import Diagnosis
from circuitcheck.diagnosis.opening import Workshop, after_readings, split_complaint
from circuitcheck.diagnosis.pairs import KEPT, KEPT_AT_ONCE, SOLVED_AT_ONCE, needs_pairs, with_pairs
from circuitcheck.model.reading import Reading
from circuitcheck.read.readings.readings_file import ReadingRules, read_whole_readings

STORY = "swapped_cavities"


@pytest.fixture(scope="module")
def sprayer() -> Workshop:
    return workshop_of("orchard_sprayer")


def story(shop: Workshop) -> tuple[list[Reading], list[Reading]]:
    file = ROOT / "examples" / "orchard_sprayer" / "readings" / f"{STORY}.toml"
    full = shop.full
    rules = ReadingRules(full.harness, full.library, tuple(full.positions))
    return split_complaint(list(read_whole_readings(Path(file), rules)), LIBRARY)


def pairs_in(diagnosis: Diagnosis) -> set[str]:
    return {cause.name for cause in diagnosis.suspects.causes if len(cause.faults) > 1}


def test_no_more_are_made_than_a_person_waits_for_and_all_before_the_end(sprayer: Workshop) -> None:
    complaint, taken = story(sprayer)
    diagnosis, rounds = sprayer.open(complaint), 0
    for reading in taken:
        had = pairs_in(diagnosis)
        diagnosis = after_readings(diagnosis, [reading])
        if diagnosis.next_reading is not None:
            assert len(pairs_in(diagnosis) - had) <= KEPT_AT_ONCE
            rounds += bool(diagnosis.tried)
    assert rounds
    assert diagnosis.next_reading is None
    assert not diagnosis.tried
    at_once = after_readings(sprayer.open(complaint), taken)
    assert at_once.groups[0].labels == diagnosis.groups[0].labels
    assert at_once.is_certain == diagnosis.is_certain


def test_each_round_tries_others_until_all_had_their_turn(sprayer: Workshop) -> None:
    complaint, taken = story(sprayer)
    diagnosis = sprayer.open(complaint)
    for reading in taken[:2]:
        diagnosis = diagnosis.with_reading(reading)
    assert needs_pairs(diagnosis)
    every = with_pairs(diagnosis, is_hurried=False)
    situations = len({reading.measurement.situation for reading in diagnosis.readings})
    most, before = -(-SOLVED_AT_ONCE // situations), frozenset[str]()
    rounds = 0
    while needs_pairs(diagnosis):
        diagnosis = with_pairs(diagnosis, is_hurried=True)
        assert len(pairs_in(diagnosis)) <= KEPT
        if diagnosis.tried:
            assert len(diagnosis.tried - before) <= most
            before = diagnosis.tried
        rounds += 1
    assert rounds > 1
    # the likeliest pairs of all are those that would have been kept at once
    assert pairs_in(diagnosis) == pairs_in(every)


def test_waiting_pairs_are_a_reason_to_go_on(sprayer: Workshop) -> None:
    complaint, taken = story(sprayer)
    diagnosis = sprayer.open(complaint)
    for reading in taken[:2]:
        diagnosis = diagnosis.with_reading(reading)
    hurried = with_pairs(diagnosis, is_hurried=True)
    assert hurried.tried
    assert needs_pairs(hurried)
    assert not needs_pairs(with_pairs(diagnosis, is_hurried=False))
