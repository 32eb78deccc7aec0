"""Pairs of terminals at which a network is asked, and what faults change between them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import field

import numpy as np
from numpy.typing import NDArray

from circuitcheck.record import record

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.intp]


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
        self.every_branch = np.array([p.branch for p in ports], dtype=np.intp)
        self.at_branch = np.flatnonzero(self.every_branch >= 0)
        self.branch = self.every_branch[self.at_branch]

    def __len__(self) -> int:
        return len(self.all)

    def __getitem__(self, place: int) -> Port:
        return self.all[place]

    @property
    def key(self) -> bytes:
        """What tells the nodes of these ports from others."""
        return self.plus.tobytes() + self.minus.tobytes()

    @property
    def pairs(self) -> list[tuple[int, int]]:
        """Nodes of each port."""
        return list(zip(self.plus.tolist(), self.minus.tolist(), strict=True))

    def across(
        self, node_v: FloatArray, branch_v: FloatArray, columns: IntArray | None = None
    ) -> FloatArray:
        """Voltages at the ports, first axis; across a branch as the elimination found it.

        With `columns` only those of the second axis.
        """
        rows = (self.plus, self.minus, self.branch)
        if columns is None:
            plus, minus, branch = rows
            out = node_v[plus] - node_v[minus]
            found = branch_v[branch] if branch.size else None
        else:
            plus, minus, branch = (row[:, None] for row in rows)
            out = node_v[plus, columns] - node_v[minus, columns]
            found = branch_v[branch, columns] if branch.size else None
        if found is not None:
            out[self.at_branch] = found
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

    def where(self, chosen: NDArray[np.bool_], other: Edits, sound: FloatArray) -> Edits:
        """Return these edits with those of another state in the chosen draws.

        `sound` (branches, draws) are the conductances that nothing has changed.
        """
        numbers, pairs = {**self.branches, **other.branches}, {**self.joins, **other.joins}
        branches = {
            number: np.where(
                chosen,
                other.branches.get(number, sound[number]),
                self.branches.get(number, sound[number]),
            )
            for number in numbers
        }
        none = np.zeros(sound.shape[1])
        joins = {
            pair: np.where(chosen, other.joins.get(pair, none), self.joins.get(pair, none))
            for pair in pairs
        }
        return Edits(branches, joins, {**self.moved, **other.moved})
