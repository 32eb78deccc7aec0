"""Movements that need an assessment of their own stop; unknown ones are not judged."""

import pytest

from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS
from circuitcheck.checks.movement.movement_hazard import CHECK


def hazard(on_bench, name):
    moves = f'{{ valve = "v", port = "A", movement = "lifts the mast", hazard = "{name}" }}'
    return on_bench(CHECK, "VL", moves=moves)[0]


@pytest.mark.parametrize("name", ["steering", "brakes", "lifting people", "driven shaft"])
def test_movements_that_can_hurt(on_bench, name):
    found = hazard(on_bench, name)
    assert found.result == FAIL
    assert "functional-safety assessment (ISO 25119, ISO 13849)" in found.reason
    assert found.sources == ("iso-25119", "iso-13849")


@pytest.mark.parametrize("name", ["none", "spray", "noise", "machine part moves", "load can fall"])
def test_other_movements(on_bench, name):
    found = hazard(on_bench, name)
    assert found.result == PASS
    assert f"hazard: {name}" in found.conditions
    assert "movement: lifts the mast" in found.conditions


def test_what_can_fall_or_move_is_warned_of(on_bench):
    assert "block or lower it" in hazard(on_bench, "load can fall").reason
    assert "nobody in its path" in hazard(on_bench, "machine part moves").reason


def test_unknown_is_not_judged(on_bench):
    assert hazard(on_bench, "unknown").result == NOT_JUDGED
    assert on_bench(CHECK, "VL", moves=None)[0].result == NOT_JUDGED
