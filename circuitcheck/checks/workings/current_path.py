"""The path that a current takes through the solved circuit, from battery plus to minus.

From the load the largest current is followed back to its source and on to its return, over
branches, lamps, LEDs and diodes alike. Shared ground of the checks; it judges nothing itself.
"""

from __future__ import annotations

from collections.abc import Sequence

from circuitcheck.record import record
from circuitcheck.solve.circuit_point import point_of_bound
from circuitcheck.solve.worst_case import PositionSolution


@record
class _Step:
    """One element with its current (above 0), in the direction that it flows."""

    name: str
    first: int
    last: int
    current_a: float


def current_path(solved: PositionSolution, name: str) -> tuple[str, ...]:
    """Return what the largest current of a load passes, in order, the load included.

    Names of branches and curves; empty where nothing flows. A path that begins or ends at a
    converter stops there.
    """
    steps = _steps(solved, name)
    here = next((step for step in steps if step.name == name), None)
    if here is None:
        return ()
    network = solved.network
    before = _follow(steps, here, network.source, backwards=True)
    after = _follow(steps, here, network.reference, backwards=False)
    return tuple(step.name for step in (*reversed(before), here, *after))


def _steps(solved: PositionSolution, name: str) -> list[_Step]:
    """Return every element that carries current where the load's current is largest."""
    network, ranges = solved.network, solved.ranges
    amps = solved.current_a(name)
    side = "upper" if abs(amps.upper) >= abs(amps.lower) else "lower"
    point = point_of_bound(solved, ranges.currents[_element(solved, name)], side)
    current_a = point.solution().branch_a[:, 0]
    ends = [(branch.name, branch.start, branch.end) for branch in network.branches]
    ends += [(one.name, one.curve.start, one.curve.end) for one in ranges.active]
    found = []
    for number, (element, start, end) in enumerate(ends):
        value = float(current_a[number])
        if value != 0.0:
            pair = (start, end) if value > 0.0 else (end, start)
            found.append(_Step(element, *pair, abs(value)))
    return found


def _element(solved: PositionSolution, name: str) -> int:
    number = solved.network.branch_of.get(name)
    if number is not None:
        return number
    return len(solved.network.branches) + [c.name for c in solved.network.curves].index(name)


def _follow(steps: Sequence[_Step], load: _Step, goal: int, *, backwards: bool) -> list[_Step]:
    """Return the steps from the load's end to the goal, along the largest current each time."""
    passed: list[_Step] = []
    node = load.first if backwards else load.last
    seen = {node}
    while node != goal:
        beside = [step for step in steps if (step.last if backwards else step.first) == node]
        beside = [s for s in beside if (s.first if backwards else s.last) not in seen]
        if not beside:
            break
        step = max(beside, key=lambda step: step.current_a)
        passed.append(step)
        node = step.first if backwards else step.last
        seen.add(node)
    return passed
