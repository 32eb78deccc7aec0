"""The circuit of one switch position as nodes and branches; node numbers count from 0."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from circuitcheck.circuit.positions import Position
from circuitcheck.model.tolerance_band import Band

ROLES = (
    "wire",
    "fuse",
    "contact",
    "switch contact",
    "bond",
    "coil",
    "suppressor",
    "upstream fuse",
    "upstream wire",
    "key contact",
    "present load",
)


LOADS = ("coil", "suppressor", "present load")


@dataclass(frozen=True)
class Branch:
    """One resistance between two nodes; current is positive from `start` to `end`.

    `owner` is the part or wire it belongs to, `role` one of ROLES. The resistance is
    `resistance_20c_ohm` of metal at 20 degC, which follows temperature as copper does, plus
    `contact_ohm`, which does not. `ambient_c` is the air around it; `heating_k_per_a2` its own
    rise per ampere squared; `hottest_c` the temperature assumed where heating is not known.
    """

    name: str
    owner: str
    role: str
    start: int
    end: int
    resistance_20c_ohm: Band
    contact_ohm: Band
    ambient_c: Band
    zones: tuple[str, ...]
    heating_k_per_a2: float | None = 0.0
    hottest_c: float | None = None


@dataclass(frozen=True)
class DiodeBranch:
    """A bare diode between two nodes; it conducts from `anode` to `cathode`."""

    name: str
    owner: str
    anode: int
    cathode: int


Element = Branch | DiodeBranch
"""What a part may put between two nodes."""


@dataclass(frozen=True)
class Network:
    """Nodes and branches of one switch position.

    Every terminal is a node; parts add inner nodes named `PART/inner`. `live` is False where no
    path leads from the battery to any part of the add-on.
    """

    position: Position
    node_names: tuple[str, ...]
    branches: tuple[Branch, ...]
    diodes: tuple[DiodeBranch, ...]
    source: int
    reference: int
    live: bool

    @cached_property
    def node_of(self) -> Mapping[str, int]:
        """Node number of each terminal, by its text such as `F1.line`."""
        return {name: number for number, name in enumerate(self.node_names)}

    @cached_property
    def branch_of(self) -> Mapping[str, int]:
        """Branch number by branch name."""
        return {branch.name: number for number, branch in enumerate(self.branches)}

    @cached_property
    def starts(self) -> NDArray[np.intp]:
        """Start node of each branch, shape (branches,)."""
        return np.array([branch.start for branch in self.branches], dtype=np.intp)

    @cached_property
    def ends(self) -> NDArray[np.intp]:
        """End node of each branch, shape (branches,)."""
        return np.array([branch.end for branch in self.branches], dtype=np.intp)

    def closed_contacts(self) -> frozenset[str]:
        """Return what makes this network electrically different from another position's."""
        return frozenset(
            branch.name
            for branch in self.branches
            if branch.role in ("switch contact", "key contact")
        )

    def reached_from_source(self) -> frozenset[str]:
        """Return the nodes that battery plus reaches in this position without passing a load."""
        neighbours: dict[int, list[int]] = {}
        for branch in self.branches:
            if branch.role not in LOADS:
                neighbours.setdefault(branch.start, []).append(branch.end)
                neighbours.setdefault(branch.end, []).append(branch.start)
        found, waiting = {self.source}, [self.source]
        while waiting:
            for there in neighbours.get(waiting.pop(), ()):
                if there not in found and there != self.reference:
                    found.add(there)
                    waiting.append(there)
        return frozenset(self.node_names[node] for node in found)
