"""How a network and all its single faults answer at pairs of terminals, from one solved network.

A fault changes the conductance g of one branch, or joins two terminals by g'. With v the voltage
there before, U the voltage that 1 A fed in anywhere makes there and z what 1 A fed in there makes:

    V' = V + K v U,   Z' = Z + K U U^T            (Sherman and Morrison)
    terminals joined by g':    K = -g' / (1 + g' z)
    branch r made r':          K = (r' - r) (r + R) / (r^2 (r' + R));   opened: (r + R) / r^2
                               K v = (r' - r) E / (r (r' + R));         opened: E / r

R is what the rest of the network shows at the branch once it is open, E the voltage across it then:
they are solved so, since 1 - z / r would lose all its digits where r is a milliohm before an open
contact. So K is never a difference, and what is cut off keeps its digits; every node has a leak of
LEAK_S to battery minus, as circuit simulators give it. Joining what hangs on leaks alone would be
the difference of two huge numbers: such faults, and those that change several branches, have a
solved network of their own.
Source: J. Sherman, W. J. Morrison, Ann. Math. Stat. 21 (1950) 124.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from circuitcheck.solve.curves.curves import LEAK_S
from circuitcheck.solve.elimination.elimination import EliminationPlan
from circuitcheck.solve.elimination.elimination_pass import Elimination

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.intp]
COLUMNS = 4096
"""Operating points that are solved side by side."""


@dataclass(frozen=True)
class Port:
    """Two nodes between which a voltage is asked for; `branch` where it is that of a branch."""

    plus: int
    minus: int
    branch: int = -1


@dataclass(frozen=True)
class Edits:
    """What a fault makes of a network: new conductances of branches, and terminals it joins.

    Conductances have the shape (draws,). `branches` by number, `joins` by pair of nodes. `moved`
    tells which of the joins is a branch whose ends have been moved.
    """

    branches: Mapping[int, FloatArray] = field(default_factory=dict)
    joins: Mapping[tuple[int, int], FloatArray] = field(default_factory=dict)
    moved: Mapping[int, tuple[int, int]] = field(default_factory=dict)


class Shape:
    """Nodes and branches of a network, and the leaks; compiled once.

    With `fed` the battery holds the source node; without it the source is a node like any other.
    Joined terminals are branches after all others.
    """

    def __init__(
        self, n_nodes: int, starts: IntArray, ends: IntArray, source: int, reference: int, fed: bool
    ) -> None:
        self._given = (n_nodes, starts, ends, source, reference, fed)
        self._joined: dict[tuple[tuple[int, int], ...], Shape] = {}
        self.n_nodes, self.n_branches, self.fed = n_nodes, starts.size, fed
        kept = {source, reference} if fed else {reference}
        leaking = np.array([k for k in range(n_nodes) if k not in kept], dtype=np.intp)
        self.n_leaks = leaking.size
        a = np.concatenate([starts, leaking])
        b = np.concatenate([ends, np.full(leaking.size, reference, dtype=np.intp)])
        # without a battery a node of its own, which nothing leads to, stands for the source
        first = source if fed else n_nodes
        self.plan = EliminationPlan(n_nodes + (not fed), a, b, (first, reference))

    def with_joins(self, pairs: tuple[tuple[int, int], ...]) -> Shape:
        """Return the shape with further branches, each between a pair of nodes."""
        if not pairs:
            return self
        if pairs not in self._joined:
            n_nodes, starts, ends, source, reference, fed = self._given
            more = np.array(pairs, dtype=np.intp)
            starts, ends = np.concatenate([starts, more[:, 0]]), np.concatenate([ends, more[:, 1]])
            self._joined[pairs] = Shape(n_nodes, starts, ends, source, reference, fed)
        return self._joined[pairs]

    def factor(self, conductance: FloatArray) -> Elimination:
        """Eliminate for conductances (branches, points)."""
        leaks = np.full((self.n_leaks, conductance.shape[1]), LEAK_S)
        return self.plan.factor(np.concatenate([conductance, leaks]))


class Solved:
    """Some operating points of a shape: voltages for the source alone and for 1 A fed in."""

    def __init__(self, shape: Shape, conductance: FloatArray) -> None:
        self.shape, self.factor = shape, shape.factor(conductance)
        self.width = conductance.shape[1]
        volts = np.full(self.width, 1.0 if shape.fed else 0.0)
        self.node_v, self.branch_v = self.factor.node_and_branch_v(volts)
        self._answers: dict[tuple[int, int], tuple[FloatArray, FloatArray]] = {}

    def open_v(self, ports: Sequence[Port]) -> FloatArray:
        """Voltages at ports for 1 V at the source, (ports, points)."""
        return _at(ports, self.node_v, self.branch_v)

    def answers(self, ports: Sequence[Port]) -> list[tuple[FloatArray, FloatArray]]:
        """Node and branch voltages for 1 A fed into each port."""
        asked = [(p.plus, p.minus) for p in ports]
        new = list(dict.fromkeys(pair for pair in asked if pair not in self._answers))
        if new:
            feed = np.zeros((self.shape.plan.n_nodes, len(new), 1))
            for k, (plus, minus) in enumerate(new):
                feed[plus, k] += 1.0
                feed[minus, k] -= 1.0
            wide = np.broadcast_to(feed, (feed.shape[0], len(new), self.width))
            nodes, branches = self.factor.node_and_branch_v(np.zeros(self.width), wide)
            for k, pair in enumerate(new):
                self._answers[pair] = (nodes[:, k], branches[:, k])
        return [self._answers[pair] for pair in asked]

    def mutual(self, ports: Sequence[Port], fed: Sequence[Port]) -> FloatArray:
        """Voltages at ports for 1 A fed into others, (ports, fed, points) [ohm]."""
        out = np.empty((len(ports), len(fed), self.width))
        for k, (nodes, branches) in enumerate(self.answers(fed)):
            out[:, k] = _at(ports, nodes, branches)
        return out

    def own(self, ports: Sequence[Port]) -> FloatArray:
        """Voltage at each port for 1 A fed into it, (ports, points) [ohm]."""
        out = np.empty((len(ports), self.width))
        for k, (port, (nodes, branches)) in enumerate(zip(ports, self.answers(ports), strict=True)):
            out[k] = _at([port], nodes, branches)[0]
        return out


def _at(ports: Sequence[Port], node_v: FloatArray, branch_v: FloatArray) -> FloatArray:
    """Voltages at ports; across a branch as the elimination found it, not as a difference."""
    plus = np.array([p.plus for p in ports], dtype=np.intp)
    minus = np.array([p.minus for p in ports], dtype=np.intp)
    number = np.array([p.branch for p in ports], dtype=np.intp)
    out = node_v[plus] - node_v[minus]
    is_branch = number >= 0
    out[is_branch] = branch_v[number[is_branch]]
    return out
