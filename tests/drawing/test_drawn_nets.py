"""The reading back of a drawing, held against drawings that were spoilt on purpose."""

from __future__ import annotations

from dataclasses import replace

import pytest
from drawn_nets import drawn_joints
from sample_harnesses import handle_and_cable, two_coils
from test_layout import assert_true_to_circuit

from circuitcheck.drawing.layout.layout import layout


def test_a_missing_dot_is_noticed():
    given = two_coils()
    page = layout(given)
    assert page.dots
    with pytest.raises(AssertionError, match="no dot"):
        drawn_joints(replace(page, dots=()), given)


def test_two_wires_changed_over_are_noticed():
    given = handle_and_cable()
    page = layout(given)
    names = {"W5": "W6", "W6": "W5"}
    lines = tuple(replace(line, owner=names.get(line.owner, line.owner)) for line in page.lines)
    with pytest.raises(AssertionError):
        assert_true_to_circuit(replace(page, lines=lines), given)


def test_a_wire_that_stops_short_is_noticed():
    given = handle_and_cable()
    page = layout(given)
    lines = []
    for line in page.lines:
        points = line.points
        if line.owner == "W9":
            points = (*points[:-1], (points[-1][0] + 3.0, points[-1][1] + 3.0))
        lines.append(replace(line, points=points))
    with pytest.raises(AssertionError):
        assert_true_to_circuit(replace(page, lines=tuple(lines)), given)


def test_a_missing_wire_is_noticed():
    given = two_coils()
    page = layout(given)
    lines = tuple(line for line in page.lines if line.owner != "W6")
    with pytest.raises(AssertionError):
        assert_true_to_circuit(replace(page, lines=lines), given)
