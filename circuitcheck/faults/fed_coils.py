"""Which faults can put current through a coil at all, told from closed ways alone.

Current needs a way from one battery post to a winding and from its other end to a post, past the
winding itself and what lies beside it across the same two ends. Where a fault leaves none, whatever
the resistances are, nothing has to be solved. Loads, lamps and diodes either way count as ways,
relay contacts as closed where either state of their relay closes them, and nothing that a fault
opens is taken away: what is not named cannot carry more than what leaks, what is named may yet
carry nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from circuitcheck.circuit.netlist import WINDINGS, Branch
from circuitcheck.circuit.positions import Position
from circuitcheck.faults.fault import (
    AddedOhm,
    AlwaysClosed,
    Change,
    CoilSeized,
    CurveOpen,
    CurveReversed,
    EndMoved,
    Fault,
    FuseRated,
    Joined,
    OhmTimes,
    RelayStuck,
    SupplyAt,
    changes_of,
)
from circuitcheck.faults.full_network import FullNetwork
from circuitcheck.model.relay import Relay

Pair = tuple[int, int]
OPENS_NO_WAY = (
    AddedOhm, OhmTimes, CurveOpen, CurveReversed, CoilSeized, SupplyAt, FuseRated, RelayStuck,
)  # fmt: skip
"""Changes that lead nowhere that current could not go before, by the rules above."""


def faults_that_feed(
    full: FullNetwork, faults: Sequence[Fault], position: Position, coils: Iterable[str]
) -> list[Fault]:
    """Return the faults, in their order, that may feed a coil which the position does not ask for.

    `coils` are names of parts. All faults are returned where a coil may carry current even without
    one.
    """
    others = set(coils) - full.asked(position)
    windings = [b for b in full.branches if b.owner in others and b.role in WINDINGS]
    ways = [_Ways(full, position, winding) for winding in windings]
    return [one for one in faults if any(way.may_feed(one) for way in ways)]


class _Ways:
    """The nodes of one position, joined by all that may carry beside one winding."""

    def __init__(self, full: FullNetwork, position: Position, winding: Branch) -> None:
        self.full = full
        self.ends = {winding.start, winding.end}
        self.root = list(range(len(full.node_names)))
        closed = _closed_somehow(full, position)
        pairs = [(b.start, b.end) for b in full.branches if b.name in closed]
        pairs += [(one.curve.start, one.curve.end) for one in full.curves]
        for pair in pairs:
            # what lies across the same two ends carries no more to them than the winding does
            if set(pair) != self.ends:
                _join(self.root, *pair)
        for c in full.converters:
            _join(self.root, c.source, c.minus)
            _join(self.root, c.output, c.minus)

    def may_feed(self, fault: Fault) -> bool:
        """Return whether the winding's ends lead to both battery posts with the fault there."""
        pairs: list[Pair] = []
        for change in changes_of(fault):
            new = self._new_way(change)
            if new is None:
                return True
            pairs += new
        root = self.root.copy()
        for pair in pairs:
            _join(root, *pair)
        plus, minus = _find(root, self.full.source), _find(root, self.full.reference)
        return {_find(root, end) for end in self.ends} == {plus, minus}

    def _new_way(self, change: Change) -> list[Pair] | None:
        """Return pairs of nodes between which a change lets current pass; None if not known."""
        if isinstance(change, OPENS_NO_WAY):
            return []
        if isinstance(change, Joined):
            return self._pairs(change.first, change.second)
        if isinstance(change, AlwaysClosed | EndMoved) and change.branch in self.full.branch_of:
            b = self.full.branches[self.full.branch_of[change.branch]]
            names = [self.full.node_names[end] for end in (b.start, b.end)]
            if isinstance(change, EndMoved):
                names.append(change.to)
            return self._pairs(*names)
        return None

    def _pairs(self, first: str, *others: str) -> list[Pair] | None:
        node_of = self.full.node_of
        if not {first, *others} <= node_of.keys():
            return None
        return [(node_of[first], node_of[other]) for other in others]


def _closed_somehow(full: FullNetwork, position: Position) -> frozenset[str]:
    """Return the branches that carry in a position, whatever its relays do."""
    relays = frozenset(relay.name for relay in full.harness.of_kind(Relay))
    states = dict.fromkeys((frozenset[str](), relays, position.energised_relays))
    return frozenset[str]().union(
        *(full.closed(replace(position, energised_relays=on), frozenset()) for on in states)
    )


def _join(root: list[int], first: int, second: int) -> None:
    root[_find(root, first)] = _find(root, second)


def _find(root: list[int], node: int) -> int:
    """Return what stands for all nodes joined to one."""
    while root[node] != node:
        root[node] = root[root[node]]
        node = root[node]
    return node
