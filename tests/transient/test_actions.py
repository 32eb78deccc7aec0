"""Every action of a harness: what leads from one switch position to another."""

from __future__ import annotations

from pathlib import Path

import pytest

from circuitcheck import read_harness, read_library
from circuitcheck.circuit.positions import switch_positions
from circuitcheck.transient.switching_on.actions import actions

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*/harness.toml"))


def named(example: str) -> list[str]:
    path = next(path for path in EXAMPLES if path.parent.name == example)
    return [action.name for action in actions(read_harness(path, read_library()))]


def test_two_buttons_without_interlock() -> None:
    assert named("orchard_sprayer")[:6] == [
        "press left", "press right", "press left, right held", "press right, left held",
        "press left + right", "key on",
    ]  # fmt: skip


def test_an_interlock_removes_what_it_bars() -> None:
    found = named("road_sweeper_24v")
    assert "press front bar" in found
    assert not [name for name in found if "held" in name and name.startswith("press")]
    assert not [name for name in found if "+" in name]


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.parent.name)
def test_each_action_joins_two_positions_and_has_its_reverse(path: Path) -> None:
    harness = read_harness(path, read_library())
    found = actions(harness)
    positions = set(switch_positions(harness))
    assert len({action.name for action in found}) == len(found)
    assert any(action.switches_on for action in found)
    ways = {(action.before, action.after) for action in found}
    for action in found:
        assert {action.before, action.after} <= positions
        assert (action.after, action.before) in ways
        assert not (action.adds and action.drops)
        assert "cranking" not in (action.before.key, action.after.key)
