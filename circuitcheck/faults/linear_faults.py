"""All faults of one state of the contacts, as voltages and resistances seen at pairs of terminals.

One change to one branch, and one joint of two terminals, follow from the sound network in closed
form (`port_response.py`), several changes by a small matrix (`several_changes.py`); what leaves
parts hanging on leaks has columns of its own (`own_columns.py`).
Axes of all arrays are faults, ports, (ports fed,) draws.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from circuitcheck.faults.own_columns import OwnColumns
from circuitcheck.faults.port_response import COLUMNS, Shape
from circuitcheck.faults.ports import Edits, FloatArray, IntArray, Port, Ports
from circuitcheck.faults.several_changes import SeveralChanges
from circuitcheck.record import record

MOST_JOINS = 24
"""Joined terminals that one set of columns takes: each makes its elimination longer."""
MOST_RANK = 10
"""Changes at once up to which a fault is worked out from the sound network."""
FEW_FAULTS = 48
"""Up to so many faults of several changes are worked out as one, whatever their numbers of them."""
FIRM_OHM = 1e5
"""Above this what stands between two terminals is leaks; joining them is solved anew."""


@record
class _Single:
    """Faults that change one conductance: their places and ports.

    `factor` is K, `push` is K v for 1 V at the source, both (faults, draws).
    """

    places: IntArray
    ports: Ports
    factor: FloatArray
    push: FloatArray


class LinearFaults:
    """Faults as edits of one network with conductances (branches, draws), numbered as given."""

    def __init__(self, shape: Shape, conductance: FloatArray, edits: Sequence[Edits]) -> None:
        self.shape, self.conductance = shape, conductance
        carries = (conductance.min(axis=1) > 0.0).tolist()
        self.count, self.draws = len(edits), conductance.shape[1]
        self.sound = shape.solved(conductance)
        self._own: list[tuple[int, Edits]] = []
        several: dict[int, list[tuple[int, Edits]]] = {}
        raised: list[tuple[int, int, FloatArray]] = []
        joined: list[tuple[int, Edits]] = []
        for place, edit in enumerate(edits):
            changed = [n for n, g in edit.branches.items() if (g != conductance[n]).any()]
            if not changed and not edit.joins:
                continue
            if len(changed) == 1 and not edit.joins and carries[changed[0]]:
                raised.append((place, changed[0], edit.branches[changed[0]]))
            elif not changed and len(edit.joins) == 1:
                joined.append((place, edit))
            elif len(edit.branches) + len(edit.joins) <= MOST_RANK:
                rank = len(edit.branches) + len(edit.joins)
                several.setdefault(rank, []).append((place, edit))
            else:
                self._own.append((place, edit))
        self._single = self._singles(raised, self._firm(joined))
        self._chunks: list[SeveralChanges | OwnColumns] = []
        for rank, some in _few_together(several).items():
            together = SeveralChanges(self.sound, conductance, some, rank)
            self._own += together.refused
            self._chunks.append(together)
        self._chunks += self._own_chunks()

    def open_v(self, ports: Ports) -> FloatArray:
        """Voltage at each port for 1 V at the source, (faults, ports, draws)."""
        sound, single = self.sound.open_v(ports), self._single
        out = np.broadcast_to(sound, (self.count, *sound.shape)).copy()
        if single.places.size:
            out[single.places] += single.push[:, None, :] * self._between(ports)
        for chunk in self._chunks:
            out[chunk.places] = chunk.open_v(ports)
        return out

    def mutual(self, ports: Ports, fed: Ports) -> FloatArray:
        """Voltage at ports for 1 A fed into others, (faults, ports, fed, draws) [ohm]."""
        sound, single = self.sound.mutual(ports, fed), self._single
        out = np.broadcast_to(sound, (self.count, *sound.shape)).copy()
        if single.places.size:
            here = self._between(ports) * single.factor[:, None, :]
            out[single.places] += here[:, :, None, :] * self._between(fed)[:, None, :, :]
        for chunk in self._chunks:
            out[chunk.places] = chunk.mutual(ports, fed)
        return out

    def own(self, ports: Ports) -> FloatArray:
        """Voltage at each port for 1 A fed into it, (faults, ports, draws) [ohm]."""
        single = self._single
        # answers to the ports first: what the sound network shows at them is then known
        here = self._between(ports) if single.places.size else None
        sound = self.sound.own(ports)
        out = np.broadcast_to(sound, (self.count, *sound.shape)).copy()
        if here is not None:
            out[single.places] += single.factor[:, None, :] * here**2
        for chunk in self._chunks:
            out[chunk.places] = chunk.own(ports)
        return out

    def _between(self, ports: Ports) -> FloatArray:
        """U of each single fault at each port, (singles, ports, draws)."""
        return self.sound.mutual(self._single.ports, ports)

    def _firm(self, joined: list[tuple[int, Edits]]) -> list[tuple[int, Port, FloatArray]]:
        """Return the joints of terminals that hang on more than leaks; the others go their own."""
        found = [(place, Port(*pair), g) for place, e in joined for pair, g in e.joins.items()]
        if not found:
            return []
        own = self.sound.own(Ports([port for _, port, _ in found]))
        is_firm = (own.max(axis=1) < FIRM_OHM).tolist()
        self._own += [one for one, firm in zip(joined, is_firm, strict=True) if not firm]
        return [one for one, firm in zip(found, is_firm, strict=True) if firm]

    def _singles(
        self,
        raised: list[tuple[int, int, FloatArray]],
        joined: list[tuple[int, Port, FloatArray]],
    ) -> _Single:
        a, b = self.shape.plan.a, self.shape.plan.b
        ports = [Port(int(a[n]), int(b[n]), n) for _, n, _ in raised]
        factor, push = np.zeros((2, len(raised) + len(joined), self.draws))
        if raised:
            numbers = np.array([n for _, n, _ in raised], dtype=np.intp)
            new = np.array([g for _, _, g in raised])
            factor[: len(raised)], push[: len(raised)] = self._changed(numbers, new)
        if joined:
            more = Ports([port for _, port, _ in joined])
            g, z = np.array([g for _, _, g in joined]), self.sound.own(more)
            factor[len(raised) :] = -g / (1.0 + g * z)
            push[len(raised) :] = factor[len(raised) :] * self.sound.open_v(more)
            ports += more.all
        places = np.array([one[0] for one in (*raised, *joined)], dtype=np.intp)
        return _Single(places, Ports(ports), factor, push)

    def _changed(self, numbers: IntArray, new: FloatArray) -> tuple[FloatArray, FloatArray]:
        """K and K v of branches: r becomes r', infinite where opened."""
        distinct, which = np.unique(numbers, return_inverse=True)
        ohm, volts = (found[which.reshape(-1)] for found in self.sound.once_open(distinct))
        r = 1.0 / self.conductance[numbers]
        with np.errstate(divide="ignore", invalid="ignore"):
            after = 1.0 / new
            share = np.where(new > 0.0, (after - r) / (after + ohm), 1.0)
        return share * (r + ohm) / (r * r), share * volts / r

    def _own_chunks(self) -> Iterator[OwnColumns]:
        """Sort the faults with networks of their own into sets that are solved together."""
        some: list[tuple[int, Edits]] = []
        pairs: set[tuple[int, int]] = set()
        for one in sorted(self._own, key=lambda found: sorted(found[1].joins)):
            is_full = (len(some) + 1) * self.draws > COLUMNS
            if some and (is_full or len(pairs | set(one[1].joins)) > MOST_JOINS):
                yield OwnColumns(self.shape, self.conductance, some)
                some, pairs = [], set()
            some.append(one)
            pairs |= set(one[1].joins)
        if some:
            yield OwnColumns(self.shape, self.conductance, some)


def _few_together(
    several: dict[int, list[tuple[int, Edits]]],
) -> dict[int, list[tuple[int, Edits]]]:
    """Return faults by their number of changes; where there are few, together by the largest."""
    if sum(map(len, several.values())) > FEW_FAULTS or not several:
        return several
    return {max(several): [one for rank in sorted(several) for one in several[rank]]}
