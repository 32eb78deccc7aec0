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

from collections.abc import Sequence
from weakref import WeakValueDictionary

import numpy as np

from circuitcheck.faults.ports import FloatArray, IntArray, Ports
from circuitcheck.record import record
from circuitcheck.solve.curves.curves import LEAK_S
from circuitcheck.solve.elimination.elimination import EliminationPlan
from circuitcheck.solve.elimination.elimination_pass import Elimination

COLUMNS = 4096
"""Operating points that are solved side by side."""


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
        self._solved: WeakValueDictionary[bytes, Solved] = WeakValueDictionary()
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

    def solved(self, conductance: FloatArray) -> Solved:
        """Return the network solved for conductances (branches, points), by whoever still has it.

        Other faults of the same network stand on the same answers.
        """
        key = conductance.tobytes()
        found = self._solved.get(key)
        if found is None:
            found = self._solved[key] = Solved(self, conductance)
        return found

    def factor(self, conductance: FloatArray) -> Elimination:
        """Eliminate for conductances (branches, points)."""
        leaks = np.full((self.n_leaks, conductance.shape[1]), LEAK_S)
        return self.plan.factor(np.concatenate([conductance, leaks]))


class Solved:
    """Some operating points of a shape: voltages for the source alone and for 1 A fed in.

    What was worked out for a port stays known.
    """

    def __init__(self, shape: Shape, conductance: FloatArray) -> None:
        self.shape, self.conductance = shape, conductance
        self.factor = shape.factor(conductance)
        self.width = conductance.shape[1]
        volts = np.full(self.width, 1.0 if shape.fed else 0.0)
        self.node_v, self.branch_v = self.factor.node_and_branch_v(volts)
        self._answers: list[_Answers] = []
        self._at: dict[tuple[int, int], tuple[int, int]] = {}
        self._pieces_of: dict[bytes, tuple[_Piece, ...]] = {}
        self._opened: dict[int, tuple[FloatArray, FloatArray]] = {}

    def open_v(self, ports: Ports) -> FloatArray:
        """Voltages at ports for 1 V at the source, (ports, points)."""
        return ports.across(self.node_v, self.branch_v)

    def mutual(self, ports: Ports, fed: Ports) -> FloatArray:
        """Voltages at ports for 1 A fed into others, (ports, fed, points) [ohm]."""
        pieces = self._pieces(fed)
        if len(pieces) == 1:
            return pieces[0].across(ports)
        out = np.empty((len(ports), len(fed), self.width))
        for piece in pieces:
            out[:, piece.places] = piece.across(ports)
        return out

    def own(self, ports: Ports) -> FloatArray:
        """Voltage at each port for 1 A fed into it, (ports, points) [ohm]."""
        if not ports.branch.size and not self._knows(ports):
            every = np.arange(len(ports))
            nodes = self.factor.node_v(np.zeros(self.width), self._feed(ports.pairs))
            return np.asarray(nodes[ports.plus, every] - nodes[ports.minus, every])
        out = np.empty((len(ports), self.width))
        for piece in self._pieces(ports):
            piece.own(ports, out)
        return out

    def once_open(self, numbers: IntArray) -> tuple[FloatArray, FloatArray]:
        """What stands at branches, each once it is open, (branches, points): R [ohm] and E [V]."""
        new = [n for n in numbers.tolist() if n not in self._opened]
        step = max(1, COLUMNS // self.width)
        for first in range(0, len(new), step):
            some = new[first : first + step]
            ohm, volts = self._once_open(np.array(some, dtype=np.intp))
            self._opened |= {n: (ohm[k], volts[k]) for k, n in enumerate(some)}
        found = [self._opened[n] for n in numbers.tolist()]
        return np.array([ohm for ohm, _ in found]), np.array([volts for _, volts in found])

    def _once_open(self, numbers: IntArray) -> tuple[FloatArray, FloatArray]:
        plan, every = self.shape.plan, np.arange(numbers.size)
        wide = np.repeat(self.conductance[:, None, :], numbers.size, axis=1)
        wide[numbers, every] = 0.0
        factor = self.shape.factor(wide.reshape(len(wide), -1))
        a, b = plan.a[numbers], plan.b[numbers]
        feed = np.zeros((plan.n_nodes, 2, numbers.size, self.width))
        feed[a, 1, every] += 1.0
        feed[b, 1, every] -= 1.0
        width = numbers.size * self.width
        source = np.zeros((2, width))
        source[0] = 1.0 if self.shape.fed else 0.0
        found = factor.node_v(source, feed.reshape(len(feed), 2, width)).reshape(feed.shape)
        across = found[a, :, every] - found[b, :, every]
        return across[:, 1], across[:, 0]

    def _knows(self, ports: Ports) -> bool:
        return all(pair in self._at for pair in ports.pairs)

    def _pieces(self, fed: Ports) -> tuple[_Piece, ...]:
        """Return where the answers to ports stand; those not yet known are worked out together."""
        if fed.key not in self._pieces_of:
            new = list(dict.fromkeys(pair for pair in fed.pairs if pair not in self._at))
            if new:
                self._at |= {pair: (len(self._answers), k) for k, pair in enumerate(new)}
                zero = np.zeros(self.width)
                volts = self.factor.node_and_branch_v(zero, self._feed(new))
                self._answers.append(_Answers(*volts))
            self._pieces_of[fed.key] = self._sorted([self._at[pair] for pair in fed.pairs])
        return self._pieces_of[fed.key]

    def _sorted(self, where: Sequence[tuple[int, int]]) -> tuple[_Piece, ...]:
        places: dict[int, list[int]] = {}
        for place, (number, _) in enumerate(where):
            places.setdefault(number, []).append(place)
        out = []
        for number, some in places.items():
            columns = [where[place][1] for place in some]
            answers = self._answers[number]
            is_whole = columns == list(range(answers.node_v.shape[1]))
            picked = None if is_whole else np.array(columns, dtype=np.intp)
            out.append(_Piece(answers, np.array(some, dtype=np.intp), picked))
        return tuple(out)

    def _feed(self, pairs: Sequence[tuple[int, int]]) -> FloatArray:
        feed = np.zeros((self.shape.plan.n_nodes, len(pairs), 1))
        ends, every = np.array(pairs, dtype=np.intp).reshape(-1, 2), np.arange(len(pairs))
        feed[ends[:, 0], every] += 1.0
        feed[ends[:, 1], every] -= 1.0
        return np.broadcast_to(feed, (feed.shape[0], len(pairs), self.width))


@record
class _Answers:
    """Node and branch voltages for 1 A fed into each of some ports, (nodes, ports, points)."""

    node_v: FloatArray
    branch_v: FloatArray


@record
class _Piece:
    """Answers to the ports at some places of a list; None for `columns` where they are all."""

    answers: _Answers
    places: IntArray
    columns: IntArray | None

    def across(self, ports: Ports) -> FloatArray:
        """Voltages at other ports, (ports, places, points)."""
        return ports.across(self.answers.node_v, self.answers.branch_v, self.columns)

    def own(self, ports: Ports, out: FloatArray) -> None:
        """Put the voltage at each port itself into (ports, points)."""
        columns = np.arange(self.places.size) if self.columns is None else self.columns
        plus, minus = ports.plus[self.places], ports.minus[self.places]
        node_v = self.answers.node_v
        out[self.places] = node_v[plus, columns] - node_v[minus, columns]
        branch = ports.every_branch[self.places]
        at = np.flatnonzero(branch >= 0)
        out[self.places[at]] = self.answers.branch_v[branch[at], columns[at]]
