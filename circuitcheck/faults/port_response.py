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
from dataclasses import field

import numpy as np
from numpy.typing import NDArray

from circuitcheck.record import record
from circuitcheck.solve.curves.curves import LEAK_S
from circuitcheck.solve.elimination.elimination import EliminationPlan
from circuitcheck.solve.elimination.elimination_pass import Elimination

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.intp]
COLUMNS = 4096
"""Operating points that are solved side by side."""


@record
class Port:
    """Two nodes between which a voltage is asked for; `branch` where it is that of a branch."""

    plus: int
    minus: int
    branch: int = -1


class Ports:
    """Several ports, as arrays of their nodes and branches; each pair of nodes also once."""

    def __init__(self, ports: Sequence[Port]) -> None:
        self.all = tuple(ports)
        self.plus = np.array([p.plus for p in ports], dtype=np.intp)
        self.minus = np.array([p.minus for p in ports], dtype=np.intp)
        branch = np.array([p.branch for p in ports], dtype=np.intp)
        self.at_branch = np.flatnonzero(branch >= 0)
        self.branch = branch[self.at_branch]

    def __len__(self) -> int:
        return len(self.all)

    def __getitem__(self, place: int) -> Port:
        return self.all[place]

    @property
    def key(self) -> bytes:
        """What tells the nodes of these ports from others."""
        return self.plus.tobytes() + self.minus.tobytes()

    def across(self, node_v: FloatArray, branch_v: FloatArray) -> FloatArray:
        """Voltages at the ports, first axis; across a branch as the elimination found it."""
        out = node_v[self.plus] - node_v[self.minus]
        if self.branch.size:
            out[self.at_branch] = branch_v[self.branch]
        return out


@record
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
        self._answers: dict[bytes, tuple[FloatArray, FloatArray]] = {}

    def open_v(self, ports: Ports) -> FloatArray:
        """Voltages at ports for 1 V at the source, (ports, points)."""
        return ports.across(self.node_v, self.branch_v)

    def answers(self, ports: Ports) -> tuple[FloatArray, FloatArray]:
        """Node and branch voltages for 1 A fed into each port, (nodes, ports, points)."""
        if ports.key not in self._answers:
            zero = np.zeros(self.width)
            self._answers[ports.key] = self.factor.node_and_branch_v(zero, self._feed(ports))
        return self._answers[ports.key]

    def _feed(self, ports: Ports) -> FloatArray:
        feed = np.zeros((self.shape.plan.n_nodes, len(ports), 1))
        every = np.arange(len(ports))
        feed[ports.plus, every] += 1.0
        feed[ports.minus, every] -= 1.0
        return np.broadcast_to(feed, (feed.shape[0], len(ports), self.width))

    def mutual(self, ports: Ports, fed: Ports) -> FloatArray:
        """Voltages at ports for 1 A fed into others, (ports, fed, points) [ohm]."""
        return ports.across(*self.answers(fed))

    def own(self, ports: Ports) -> FloatArray:
        """Voltage at each port for 1 A fed into it, (ports, points) [ohm]."""
        every = np.arange(len(ports))
        if not ports.branch.size and ports.key not in self._answers:
            nodes = self.factor.node_v(np.zeros(self.width), self._feed(ports))
            return np.asarray(nodes[ports.plus, every] - nodes[ports.minus, every])
        nodes, branches = self.answers(ports)
        out = nodes[ports.plus, every] - nodes[ports.minus, every]
        if ports.branch.size:
            out[ports.at_branch] = branches[ports.branch, ports.at_branch]
        return np.asarray(out)
