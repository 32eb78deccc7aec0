"""Windings that one action switches off and that stay joined: currents that find one suppressor.

The current of a winding leaves its returned end and comes back into its fed end. It finds the
suppressor of another where closed ways, and diodes in their forward direction, lead from the one
end to the other's and back, once the contacts have opened. When the key goes off, the contacts of
relays are still closed. Shared ground of the checks on switching off; it judges nothing itself.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping

from circuitcheck.checks.check import Case
from circuitcheck.circuit.netlist import LOADS, Branch, Network
from circuitcheck.record import record
from circuitcheck.solve.position_solution import LEAST_COIL_A
from circuitcheck.solve.solution import COLD_START
from circuitcheck.solve.worst_case import PositionSolution

KEY_OFF = "key off"


@record
class JoinedRelease:
    """One action that switches windings off, from one position to another.

    `ways` tells for each winding across which windings its current can go on, itself among them.
    """

    on: PositionSolution
    off: PositionSolution
    ways: Mapping[str, frozenset[str]]

    @property
    def is_key(self) -> bool:
        """Whether it is the key that switches them off."""
        return self.on.position.key != self.off.position.key

    def of(self, branch: str) -> frozenset[str]:
        """Return the windings across which the current of one can go on."""
        return self.ways[branch]

    def into(self, branch: str) -> frozenset[str]:
        """Return the windings whose current can go on across one."""
        return frozenset(name for name, ways in self.ways.items() if branch in ways)


def joined_releases(case: Case, windings: Collection[str]) -> tuple[JoinedRelease, ...]:
    """Return every way in which one action switches some of `windings` off, each kind once."""
    found: dict[tuple[object, ...], JoinedRelease] = {}
    for on in case.solution.live(COLD_START):
        worked = [
            name for name in windings
            if name in on.asked_for and abs(on.current_a(name).nominal) > LEAST_COIL_A
        ]  # fmt: skip
        if not worked:
            continue
        for off in _after(case, on):
            gone = [name for name in worked if name not in off.asked_for]
            ways = _ways(on, off, gone)
            is_key = on.position.key != off.position.key
            key = (
                is_key,
                on.pull_state,
                tuple(sorted((k, tuple(sorted(v))) for k, v in ways.items())),
            )
            if gone:
                found.setdefault(key, JoinedRelease(on, off, ways))
    return tuple(found.values())


def _after(case: Case, on: PositionSolution) -> Iterator[PositionSolution]:
    """Yield the positions that the key, one button or all buttons let go lead to."""
    here = on.position
    for other in case.solution.positions:
        there = other.position
        if (other.coil_state, other.pull_state) != (on.coil_state, on.pull_state):
            continue
        changed = here.pressed ^ there.pressed
        by_button = there.key == here.key and changed and (len(changed) == 1 or not there.pressed)
        if by_button or (there.key == KEY_OFF != here.key and not changed):
            yield other


def _ways(
    on: PositionSolution, off: PositionSolution, gone: Collection[str]
) -> dict[str, frozenset[str]]:
    if len(gone) < 2:
        return {name: frozenset((name,)) for name in gone}
    onward = _onward(on, off)
    ends = {name: _fed_first(on, name) for name in gone}
    reached = {node: _reach(onward, node) for pair in ends.values() for node in pair}

    def finds(one: str, other: str) -> bool:
        (fed, returned), (other_fed, other_returned) = ends[one], ends[other]
        return other_returned in reached[returned] and fed in reached[other_fed]

    return {
        name: frozenset(other for other in gone if other == name or finds(name, other))
        for name in gone
    }


def _fed_first(on: PositionSolution, name: str) -> tuple[str, str]:
    network = on.network
    branch = network.branches[network.branch_of[name]]
    pair = (network.node_names[branch.start], network.node_names[branch.end])
    return pair if on.current_a(name).nominal > 0.0 else pair[::-1]


def _onward(on: PositionSolution, off: PositionSolution) -> dict[str, list[str]]:
    """Return from each terminal those that a current can go on to with the contacts open."""
    found: dict[str, list[str]] = {}
    lines: list[tuple[Network, Branch]] = [
        (off.network, branch) for branch in off.network.branches if branch.role not in LOADS
    ]
    if on.position.key != off.position.key:
        lines += [(on.network, b) for b in on.network.branches if b.role == "relay contact"]
    for network, branch in lines:
        start, end = network.node_names[branch.start], network.node_names[branch.end]
        found.setdefault(start, []).append(end)
        found.setdefault(end, []).append(start)
    for curve in off.network.curves:
        if curve.role == "diode":
            names = off.network.node_names
            found.setdefault(names[curve.start], []).append(names[curve.end])
    return found


def _reach(onward: Mapping[str, list[str]], start: str) -> set[str]:
    found, waiting = {start}, [start]
    while waiting:
        for there in onward.get(waiting.pop(), ()):
            if there not in found:
                found.add(there)
                waiting.append(there)
    return found
