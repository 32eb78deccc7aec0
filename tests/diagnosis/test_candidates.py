"""Candidate readings, their efforts and predictions; groups, complaints and pairs."""

from __future__ import annotations

from functools import cache
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from circuitcheck.diagnosis.causes import prior_row
from circuitcheck.diagnosis.complaint import FORMS, ComplaintReader
from circuitcheck.diagnosis.efforts import PIERCED
from circuitcheck.diagnosis.groups import ELSE, group_numbers
from circuitcheck.diagnosis.next_reading import choose
from circuitcheck.diagnosis.opening import Workshop
from circuitcheck.diagnosis.outcomes import BANDS, band_edges
from circuitcheck.errors import CircuitError, LibraryError
from circuitcheck.faults.fault import Fault
from circuitcheck.model.instrument import VOLTMETER
from circuitcheck.model.reading import Measurement, Situation
from circuitcheck.read.harness_file import read_harness
from circuitcheck.read.library.library_tables import read_library
from circuitcheck.readings.instruments import predicted

ROOT = Path(__file__).parents[2]
LIBRARY = read_library()
LEFT = Situation("key on, left")
EXAMPLES = sorted(path.parent.name for path in (ROOT / "examples").glob("*/harness.toml"))


@cache
def workshop(example: str = "orchard_sprayer") -> Workshop:
    return Workshop(read_harness(ROOT / "examples" / example / "harness.toml", LIBRARY), LIBRARY)


def reader(example: str = "orchard_sprayer") -> ComplaintReader:
    shop = workshop(example)
    return ComplaintReader(shop.full.harness, shop.candidates.places, shop.full.positions)


@pytest.mark.parametrize("example", EXAMPLES)
def test_every_example_can_be_diagnosed(example: str) -> None:
    shop = workshop(example)
    coil = next(iter(shop.candidates.places))
    diagnosis = shop.open(reader(example).read(f"{coil} does not click"))
    asked = diagnosis.next_reading
    assert asked is not None
    assert asked.meanings
    assert asked.information_bit > 0.1
    # nobody is sent to pierce a wire, or behind a cover, first
    assert asked.effort_s < LIBRARY.efforts[PIERCED].effort_s
    assert diagnosis.belief.probability.sum() + diagnosis.belief.none == pytest.approx(1.0)


@pytest.mark.parametrize("example", EXAMPLES)
def test_no_reading_is_offered_twice_with_its_probes_swapped(example: str) -> None:
    shop = workshop(example)
    coils = tuple(shop.candidates.places)
    every = shop.candidates.all(coils, [shop.candidates.places[coils[0]].positions[0]])
    told = {(m.instrument, frozenset((m.plus, m.minus)), m.situation) for m in every}
    assert len(told) == len(every)


def test_voltages_worked_out_together_are_those_of_the_instrument() -> None:
    predictions = workshop().open(reader().read("VL does not click")).suspects.predictions
    points = ("VL.1", "VL.2", "X1.plug.3", "F1.load", "GRIP.out_left")
    asked = [Measurement("digital voltmeter", point, "BAT.-", LEFT) for point in points]
    together = predictions.of_others(predictions.causes)
    together.prepare(asked)
    for one in asked:
        alone = predicted(one, together.circuits(LEFT))
        # the meter's 10 Mohm draws a microampere through what lies before it
        assert np.abs(together.of(one) - alone).max() < 2e-3


def test_a_harder_place_costs_more() -> None:
    efforts = workshop().candidates.efforts
    order = ["BAT.+", "X1.plug.1", "GRIP.feed", "SP1"]
    cost = [
        efforts.reading_s(Measurement("digital voltmeter", point, "BAT.-", LEFT)) for point in order
    ]
    assert cost == sorted(cost)
    assert len(set(cost)) == len(cost)
    off = Situation("key on, left", unplugged=frozenset({"VL"}))
    assert efforts.change_s(LEFT, off) > 0.0
    assert efforts.change_s(LEFT, LEFT) == 0.0


def test_a_splice_is_no_candidate_unless_nothing_else_tells() -> None:
    suspects = workshop().open(reader().read("VL does not click")).suspects
    pierced = [
        m for m, last in zip(suspects.measurements, suspects.last_resort, strict=True) if last
    ]
    assert pierced
    assert all("SP1" in (m.plus, m.minus) for m in pierced)


def test_a_reading_is_never_asked_for_twice() -> None:
    diagnosis = workshop().open(reader().read("VL does not click"))
    first = diagnosis.next_reading
    assert first is not None
    second = diagnosis.with_skipped(first.measurement).next_reading
    assert second is not None
    assert second.measurement != first.measurement


def test_all_forms_of_complaint_are_read() -> None:
    examples = reader("tipping_trailer_shared_return").examples()
    assert len(examples) == len(FORMS)
    for words in examples:
        found = reader("tipping_trailer_shared_return").read(words)
        assert found
        assert all(reading.value in (0.0, 1.0) for reading in found)
    (named,) = reader().read("VL does not click in key on, left + right")
    assert named.measurement.situation.position == "key on, left + right"
    with pytest.raises(CircuitError, match="no coil"):
        reader().read("F1 does not click")


def test_groups_hold_what_no_reading_tells_apart() -> None:
    chance = np.array([0.5, 0.3, 0.15, 0.001])
    outcome = np.zeros((1, 4, BANDS))
    outcome[0, [0, 1, 2, 3], [0, 0, 1, 1]] = 1.0
    found = group_numbers(chance, outcome, ("", "", "", ""), 0.01)
    assert found.tolist() == [0, 0, 1, -1]
    # one repair for two causes makes them one
    assert group_numbers(chance, outcome, ("a", "b", "a", ""), 0.01).tolist() == [0, 0, 0, -1]
    assert ELSE not in ("", "a", "b")


def test_bands_part_levels_and_not_what_the_meter_blurs() -> None:
    assert band_edges(np.array([0.0, 0.001, 12.0, 12.001]), 0.01).tolist() == pytest.approx([6.0])
    many = band_edges(np.linspace(0.0, 12.0, 500), 0.01)
    assert many.size == BANDS - 1
    assert (np.diff(many) > 0.0).all()


def test_nothing_is_asked_that_tells_nothing() -> None:
    assert choose(np.array([0.001, 0.0]), np.ones(2), np.ones(2, dtype=bool)) is None
    chosen = choose(
        np.array([0.5, 0.4, 2.0]), np.array([2.0, 1.0, 1.0]), np.array([True, True, False])
    )
    assert chosen is not None
    assert chosen.number == 1


def test_every_fault_of_every_example_has_a_prior() -> None:
    for example in EXAMPLES:
        assert workshop(example).prior.min() > 0.0
    with pytest.raises(LibraryError, match="no row"):
        prior_row(Fault("W1 bewitched", "W1", "bewitched"), workshop().full.harness, LIBRARY)


@pytest.mark.parametrize("example", EXAMPLES)
def test_no_value_has_two_meanings_and_none_between_them_has_none(example: str) -> None:
    shop = workshop(example)
    coil = next(iter(shop.candidates.places))
    diagnosis = shop.open(reader(example).read(f"{coil} does not click"))
    for _ in range(4):
        asked = diagnosis.next_reading
        if asked is None:
            break
        kind = LIBRARY.instrument(asked.measurement.instrument).kind
        if kind == VOLTMETER:
            ends = [(meaning.lower, meaning.upper) for meaning in asked.meanings]
            assert all(lower <= upper for lower, upper in ends)
            assert all(one[1] == other[0] for one, other in pairwise(ends))
        diagnosis = diagnosis.with_skipped(asked.measurement)


@pytest.mark.parametrize(("example", "asked"), [("wood_chipper_pull_hold", False),
                                                ("orchard_sprayer", True)])  # fmt: skip
def test_a_coil_is_fed_directly_only_where_the_lead_carries_it(example: str, asked: bool) -> None:
    """12.8 V on 1.26 and 13.5 ohm are 11 A, more than a fused lead of 5 A; a valve coil takes 2."""
    shop = workshop(example)
    coils = tuple(shop.candidates.places)
    every = shop.candidates.all(coils, [shop.candidates.places[coils[0]].positions[0]])
    assert any(one.instrument == "fed directly" for one in every) is asked
