"""The circuit of one switch position as nodes and branches; node numbers count from 0."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from circuitcheck.circuit.positions import Position
from circuitcheck.model.tolerance_band import Band
from circuitcheck.record import record

ROLES = (
    "wire",
    "fuse",
    "contact",
    "switch contact",
    "bond",
    "coil",
    "pull winding",
    "hold winding",
    "relay coil",
    "relay contact",
    "resistor",
    "line resistor",
    "suppressor",
    "upstream fuse",
    "upstream wire",
    "key contact",
    "present load",
)


WINDINGS = ("coil", "pull winding", "hold winding", "relay coil")
LOADS = (*WINDINGS, "resistor", "suppressor", "present load")
"""Roles that take the supply voltage; all others only lead to them. A `line resistor` stands
before a load, a `resistor` across one or across a contact."""
PULLING, HOLDING = "pulling", "holding"
"""States of a network with pull and hold coils: pull winding on, or cut out."""


@record
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


@record
class DiodeBranch:
    """A bare diode between two nodes; it conducts from `anode` to `cathode`."""

    name: str
    owner: str
    anode: int
    cathode: int


@record
class LampCurve:
    """Filament lamp: i = `current_a` (v / `rated_v`) ** `exponent`, the same both ways round.

    At small voltage it is its cold resistance, `rated_v` / `current_a` / `cold_ratio`.
    """

    rated_v: float
    current_a: Band
    cold_ratio: Band
    exponent: float


@record
class DiodeCurve:
    """Diode or LED: conducts from start to end above about `forward_v`, blocks the other way.

    `forward_v` runs from just conducting to the upper limit at `current_a`; `series_ohm` is a
    resistor in series. `current_a` is None where `forward_v` holds for the usual current of the
    part behind its own resistor. `reverse_v` is what it withstands, None where not known.
    """

    forward_v: Band
    series_ohm: Band
    current_a: float | None
    reverse_v: float | None


CURVE_ROLES = ("lamp", "LED", "diode")


@record
class CurveBranch:
    """A part whose current is a curve of its voltage; `role` is one of CURVE_ROLES.

    A lamp is symmetric; a diode or LED conducts from `start` (anode) to `end`.
    """

    name: str
    owner: str
    role: str
    start: int
    end: int
    parameters: LampCurve | DiodeCurve


@record
class ConverterBranch:
    """A converter: a source of `output_v` behind `output_ohm` from `minus` to `output`.

    Its input takes output power / `efficiency` + `idle_a` times input voltage, from `source` to
    `minus`.
    """

    name: str
    owner: str
    source: int
    output: int
    minus: int
    output_v: Band
    output_ohm: Band
    rated_a: float
    efficiency: Band
    idle_a: Band


Element = Branch | DiodeBranch | CurveBranch | ConverterBranch
"""What a part may put between two nodes."""


@record
class Network:
    """Nodes and branches of one switch position.

    Every terminal is a node; parts add inner nodes named `PART/inner`. `live` is False where no
    path leads from the battery to any part of the add-on. `diodes` are bare suppressor diodes,
    `curves` the lamps, LEDs and diodes that are parts. `pull_state` is PULLING or HOLDING.
    """

    position: Position
    node_names: tuple[str, ...]
    branches: tuple[Branch, ...]
    diodes: tuple[DiodeBranch, ...]
    source: int
    reference: int
    live: bool
    curves: tuple[CurveBranch, ...] = ()
    converters: tuple[ConverterBranch, ...] = ()
    pull_state: str = PULLING

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

    def numbers_of(self, roles: tuple[str, ...]) -> NDArray[np.intp]:
        """Return the numbers of the branches whose role is one of `roles`."""
        if roles not in self._numbers_of:
            numbers = [n for n, branch in enumerate(self.branches) if branch.role in roles]
            self._numbers_of[roles] = np.array(numbers, dtype=np.intp)
        return self._numbers_of[roles]

    @cached_property
    def _numbers_of(self) -> dict[tuple[str, ...], NDArray[np.intp]]:
        return {}

    @cached_property
    def onward(self) -> Mapping[int, Sequence[tuple[Branch | CurveBranch, int]]]:
        """From each node what leads on, and where to: no loads, diodes in their direction."""
        found: dict[int, list[tuple[Branch | CurveBranch, int]]] = {}
        for branch in self.branches:
            if branch.role not in LOADS:
                found.setdefault(branch.start, []).append((branch, branch.end))
                found.setdefault(branch.end, []).append((branch, branch.start))
        for curve in self.curves:
            if curve.role == "diode":
                found.setdefault(curve.start, []).append((curve, curve.end))
        return found

    def closed_contacts(self) -> frozenset[str]:
        """Return what makes this network electrically different from another position's."""
        return frozenset(
            branch.name
            for branch in self.branches
            if branch.role in ("switch contact", "key contact", "relay contact", "pull winding")
        )

    def reached_from_source(self, *, without: str = "") -> frozenset[str]:
        """Return the nodes that battery plus reaches in this position without passing a load.

        `without` names a branch that is left out.
        """
        return self._reached(self.source, stop=self.reference, without=without)

    def reached_from_reference(self) -> frozenset[str]:
        """Return the nodes that battery minus reaches in this position without passing a load."""
        return self._reached(self.reference, stop=self.source)

    def _reached(self, start: int, *, stop: int, without: str = "") -> frozenset[str]:
        neighbours: dict[int, list[int]] = {}
        for branch in self.branches:
            if branch.role not in LOADS and branch.name != without:
                neighbours.setdefault(branch.start, []).append(branch.end)
                neighbours.setdefault(branch.end, []).append(branch.start)
        found, waiting = {start}, [start]
        while waiting:
            for there in neighbours.get(waiting.pop(), ()):
                if there not in found and there != stop:
                    found.add(there)
                    waiting.append(there)
        return frozenset(self.node_names[node] for node in found)
