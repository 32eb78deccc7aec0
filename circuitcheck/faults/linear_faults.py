"""All faults of one state of the contacts, as voltages and resistances seen at pairs of terminals.

Three kinds: one change to one branch and one joint of two terminals follow from the sound network
in closed form; what changes more has columns of its own (`port_response.py` has the formulas).
Axes of all arrays are faults, ports, (ports fed,) draws.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from circuitcheck.faults.port_response import (
    COLUMNS,
    Edits,
    FloatArray,
    IntArray,
    Port,
    Shape,
    Solved,
)


@dataclass(frozen=True)
class _Single:
    """Faults that change one conductance: their places, ports and factors K (faults, draws)."""

    places: IntArray
    ports: tuple[Port, ...]
    factor: FloatArray


class LinearFaults:
    """Faults as edits of one network with conductances (branches, draws), numbered as given."""

    def __init__(
        self, shape: Shape, conductance: FloatArray, edits: Sequence[Edits], *, fed: bool
    ) -> None:
        self.shape, self.conductance, self.fed = shape, conductance, fed
        self.count, self.draws = len(edits), conductance.shape[1]
        self.sound = Solved(shape, conductance, fed)
        simple: list[tuple[int, Port, FloatArray]] = []
        self._own: list[tuple[int, Edits]] = []
        for place, edit in enumerate(edits):
            one = self._simple(edit)
            if one == "own":
                self._own.append((place, edit))
            elif one is not None:
                simple.append((place, *one))
        self._single = self._singles(simple)
        self._chunks = list(self._own_chunks())

    def open_v(self, ports: Sequence[Port]) -> FloatArray:
        """Voltage at each port for 1 V at the source, (faults, ports, draws)."""
        sound, single = self.sound.open_v(ports), self._single
        out = np.broadcast_to(sound, (self.count, *sound.shape)).copy()
        if single.places.size:
            at = self.sound.open_v(single.ports)
            out[single.places] += (single.factor * at)[:, None, :] * self._between(ports)
        for chunk in self._chunks:
            out[chunk.places] = chunk.open_v(ports)
        return out

    def mutual(self, ports: Sequence[Port], fed: Sequence[Port]) -> FloatArray:
        """Voltage at ports for 1 A fed into others, (faults, ports, fed, draws) [ohm]."""
        sound, single = self.sound.mutual(ports, fed), self._single
        out = np.broadcast_to(sound, (self.count, *sound.shape)).copy()
        if single.places.size:
            here = self._between(ports) * single.factor[:, None, :]
            out[single.places] += here[:, :, None, :] * self._between(fed)[:, None, :, :]
        for chunk in self._chunks:
            out[chunk.places] = chunk.mutual(ports, fed)
        return out

    def own(self, ports: Sequence[Port]) -> FloatArray:
        """Voltage at each port for 1 A fed into it, (faults, ports, draws) [ohm]."""
        sound, single = self.sound.own(ports), self._single
        out = np.broadcast_to(sound, (self.count, *sound.shape)).copy()
        if single.places.size:
            out[single.places] += single.factor[:, None, :] * self._between(ports) ** 2
        for chunk in self._chunks:
            out[chunk.places] = chunk.own(ports)
        return out

    def _between(self, ports: Sequence[Port]) -> FloatArray:
        """U of each single fault at each port, (singles, ports, draws)."""
        return self.sound.mutual(self._single.ports, ports)

    def _simple(self, edit: Edits) -> tuple[Port, FloatArray] | str | None:
        """Return the port and new conductance of a single change, None for no change, or `own`."""
        branches = {n: g for n, g in edit.branches.items() if (g != self.conductance[n]).any()}
        if not branches and not edit.joins:
            return None
        if len(branches) + len(edit.joins) > 1:
            return "own"
        if edit.joins:
            ((plus, minus), new) = next(iter(edit.joins.items()))
            return Port(plus, minus), new
        number, new = next(iter(branches.items()))
        a, b = self.shape.plan.a[number], self.shape.plan.b[number]
        return Port(int(a), int(b), number), new

    def _singles(self, simple: list[tuple[int, Port, FloatArray]]) -> _Single:
        places = np.array([place for place, _, _ in simple], dtype=np.intp)
        ports = tuple(port for _, port, _ in simple)
        factor = np.zeros((len(simple), self.draws))
        if not simple:
            return _Single(places, ports, factor)
        new = np.array([np.broadcast_to(g, (self.draws,)) for _, _, g in simple])
        numbers = np.array([port.branch for port in ports], dtype=np.intp)
        old = np.where((numbers >= 0)[:, None], self.conductance[numbers], 0.0)
        carried = (numbers >= 0) & (old > 0.0).all(axis=1)
        if carried.any():
            factor[carried] = self._changed(numbers[carried], old[carried], new[carried])
        if (~carried).any():
            rest = [port for port, is_one in zip(ports, carried, strict=True) if not is_one]
            z = self.sound.own(rest)
            more = new[~carried] - old[~carried]
            factor[~carried] = -more / (1.0 + more * z)
        return _Single(places, ports, factor)

    def _changed(self, numbers: IntArray, old: FloatArray, new: FloatArray) -> FloatArray:
        """K of branches that carried: r becomes r', infinite where opened."""
        distinct, which = np.unique(numbers, return_inverse=True)
        outside = self._outside_ohm(distinct)[which.reshape(-1)]
        r = 1.0 / old
        with np.errstate(divide="ignore", invalid="ignore"):
            after = 1.0 / new
            raised = (after - r) * (r + outside) / (r * r * (after + outside))
        return np.where(new > 0.0, raised, (r + outside) / (r * r))

    def _outside_ohm(self, numbers: IntArray) -> FloatArray:
        """What each branch is shown by the rest of the network, (branches, draws) [ohm]."""
        out = np.empty((numbers.size, self.draws))
        step = max(1, COLUMNS // self.draws)
        for first in range(0, numbers.size, step):
            some = numbers[first : first + step]
            wide = np.repeat(self.conductance[:, None, :], some.size, axis=1)
            wide[some, np.arange(some.size)] = 0.0
            factor = self.shape.factor(wide.reshape(len(wide), -1))
            feed = np.zeros((self.shape.plan.n_nodes, some.size, self.draws))
            a, b = self.shape.plan.a[some], self.shape.plan.b[some]
            every = np.arange(some.size)
            feed[a, every] += 1.0
            feed[b, every] -= 1.0
            volts = factor.node_v(np.zeros(some.size * self.draws), feed.reshape(len(feed), -1))
            volts = volts.reshape(len(feed), some.size, self.draws)
            out[first : first + step] = volts[a, every] - volts[b, every]
        return out

    def _own_chunks(self) -> Iterator[_OwnColumns]:
        step = max(1, COLUMNS // self.draws)
        ordered = sorted(self._own, key=lambda pair: len(pair[1].joins))
        for first in range(0, len(ordered), step):
            yield _OwnColumns(self, ordered[first : first + step])


class _OwnColumns:
    """Faults with a solved network each, and on top of it the terminals they join."""

    def __init__(self, whole: LinearFaults, faults: Sequence[tuple[int, Edits]]) -> None:
        self.places = np.array([place for place, _ in faults], dtype=np.intp)
        self.draws, count = whole.draws, len(faults)
        wide = np.repeat(whole.conductance[:, None, :], count, axis=1)
        for k, (_, edit) in enumerate(faults):
            for number, g in edit.branches.items():
                wide[number, k] = g
        self.solved = Solved(whole.shape, wide.reshape(len(wide), -1), whole.fed)
        self._join([edit for _, edit in faults])

    def _join(self, edits: Sequence[Edits]) -> None:
        """Prepare G (1 + Z_JJ G)^-1 of the joined terminals; missing ones have G = 0."""
        count, most = len(edits), max((len(edit.joins) for edit in edits), default=0)
        self.pairs = np.zeros((most, 2, count), dtype=np.intp)
        g = np.zeros((most, count, self.draws))
        for k, edit in enumerate(edits):
            for j, (pair, value) in enumerate(edit.joins.items()):
                self.pairs[j, :, k], g[j, k] = pair, value
        self.most = most
        if not most:
            return
        width = count * self.draws
        feed = np.zeros((self.solved.shape.plan.n_nodes, most, width))
        plus = np.repeat(self.pairs[:, 0], self.draws, axis=1)
        minus = np.repeat(self.pairs[:, 1], self.draws, axis=1)
        row, column = np.arange(most)[:, None], np.arange(width)[None, :]
        np.add.at(feed, (plus, row, column), 1.0)
        np.add.at(feed, (minus, row, column), -1.0)
        self.nodes, self.branches = self.solved.factor.node_and_branch_v(np.zeros(width), feed)
        z = self._rows(self.nodes)
        flat = np.moveaxis(g.reshape(most, width), 0, -1)
        matrix = np.eye(most) + np.moveaxis(z, -1, 0) * flat[:, None, :]
        self.inner = flat[:, :, None] * np.linalg.inv(matrix)

    def _rows(self, node_v: FloatArray) -> FloatArray:
        """Voltages across the joined terminals, (joins, ..., points)."""
        plus = np.repeat(self.pairs[:, 0], self.draws, axis=1)
        minus = np.repeat(self.pairs[:, 1], self.draws, axis=1)
        column = np.arange(plus.shape[1])
        wide = np.moveaxis(node_v, -1, 1)
        return np.moveaxis(wide[plus, column] - wide[minus, column], 1, -1)

    def _spread(self, volts: FloatArray) -> FloatArray:
        """Give an array (..., points) its axes of faults, first, and of draws, last."""
        wide = volts.reshape(*volts.shape[:-1], -1, self.draws)
        return np.moveaxis(wide, -2, 0)

    def open_v(self, ports: Sequence[Port]) -> FloatArray:
        out = self.solved.open_v(ports)
        if self.most:
            across = self._rows(self.solved.node_v)
            taken = np.einsum("xij,jx->ix", self.inner, across)
            out = out - np.einsum("pix,ix->px", self._joined(ports), taken)
        return self._spread(out)

    def mutual(self, ports: Sequence[Port], fed: Sequence[Port]) -> FloatArray:
        out = self.solved.mutual(ports, fed)
        if self.most:
            taken = np.einsum("xij,fjx->fix", self.inner, self._joined(fed))
            out = out - np.einsum("pix,fix->pfx", self._joined(ports), taken)
        return self._spread(out)

    def own(self, ports: Sequence[Port]) -> FloatArray:
        out = self.solved.own(ports)
        if self.most:
            joined = self._joined(ports)
            taken = np.einsum("xij,pjx->pix", self.inner, joined)
            out = out - np.einsum("pix,pix->px", joined, taken)
        return self._spread(out)

    def _joined(self, ports: Sequence[Port]) -> FloatArray:
        """Voltages at ports for 1 A fed into each joint, (ports, joins, points)."""
        plus = np.array([p.plus for p in ports], dtype=np.intp)
        minus = np.array([p.minus for p in ports], dtype=np.intp)
        number = np.array([p.branch for p in ports], dtype=np.intp)
        out = self.nodes[plus] - self.nodes[minus]
        out[number >= 0] = self.branches[number[number >= 0]]
        return out
