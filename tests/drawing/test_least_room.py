"""A diagram is never smaller than its least room, nor larger than the most that its places say."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from generated_circuits import mixed
from sample_harnesses import generated

from circuitcheck.drawing.layout.asked import asked_for
from circuitcheck.drawing.layout.columns import columns_of
from circuitcheck.drawing.layout.cutting import units_of
from circuitcheck.drawing.layout.diagram import MOST_LABEL_LINES, drawn_from, room_where
from circuitcheck.drawing.layout.lanes import lanes_of
from circuitcheck.drawing.layout.layout import put_in_order
from circuitcheck.drawing.layout.least_room import least_in
from circuitcheck.drawing.layout.room import Room
from circuitcheck.drawing.layout.trials import Trials
from circuitcheck.model.harness import Harness

SLACK_MM = 10.0
"""The most may not be much more, else what has room would be drawn to be measured."""
MAKES: list[Callable[[int, int], Harness]] = [generated, mixed]


@pytest.mark.parametrize("make", MAKES, ids=lambda make: make.__name__)
@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize("label_lines", range(1, MOST_LABEL_LINES + 1))
def test_no_diagram_is_smaller_than_its_least_room(
    make: Callable[[int, int], Harness], seed: int, label_lines: int
) -> None:
    asked = asked_for(make(seed, 5 + 4 * seed), None, str, None)
    lanes = lanes_of(columns_of(asked.whole))
    least = least_in(Room(lanes, asked.notes, label_lines))
    put_in_order(lanes, asked.notes)
    drawn = drawn_from(lanes, asked.notes, label_lines).box
    assert 0.0 < least.width <= drawn.width
    assert 0.0 <= least.height <= drawn.height


@pytest.mark.parametrize("make", MAKES, ids=lambda make: make.__name__)
@pytest.mark.parametrize("seed", range(6))
def test_a_section_lies_between_its_least_and_its_most_room(
    make: Callable[[int, int], Harness], seed: int
) -> None:
    asked = asked_for(make(seed, 60), None, str, None)
    units = units_of(asked.whole)
    trials = Trials(units, asked.notes, "sheet 88, H88")
    for size in (3, 7, 12):
        for start in range(0, len(units.order) - size, 2 * size):
            group = tuple(units.order[start : start + size])
            least, lanes = trials.least(group), trials.lanes(group)
            notes = trials.widest_notes(group)
            most = room_where(lambda _: True, lanes, notes)
            assert most is not None
            drawn = drawn_from(lanes, notes, MOST_LABEL_LINES).box
            assert least.width <= drawn.width <= most.width <= drawn.width + SLACK_MM
            assert least.height <= drawn.height <= most.height <= drawn.height + SLACK_MM
