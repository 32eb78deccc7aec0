"""Random machines that a harness file allows, solved by dense matrices of numpy.

A draw is one machine on one day: one air temperature per zone, shared by all that lies in it;
every wire, contact, coil and bond at its own place within its tolerance; every wire warmed by its
own current, anywhere between just switched on and settled; one supply voltage. Each choice is one
number from 0 to 1, so that a machine is a point of the unit cube.

The matrix is assembled here, not by the package: node admittances, solved by LAPACK.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from circuitcheck.circuit.netlist import Network
from circuitcheck.model.harness import Harness
from circuitcheck.model.tolerance_band import Band
from circuitcheck.solve.solution import HEAT_SOAKED
from circuitcheck.solve.worst_case import PositionSolution, Solution

Array = NDArray[np.float64]
AT_ONCE = 4000
GLOWING_C = 250.0  # no wire of the trade lasts beyond
WIDE = 10.0  # bands wider than this ratio are drawn evenly by their logarithm


def dense_node_v(network: Network, ohms: Array, volts: Array) -> Array:
    """Node voltages (nodes, points) for resistances (branches, points); NaN where a node floats."""
    count, points = len(network.node_names), ohms.shape[1]
    fed = _fed(network)
    free = [k for k in sorted(fed) if k not in (network.source, network.reference)]
    row = {k: i for i, k in enumerate(free)}
    out = np.full((count, points), np.nan)
    out[network.reference], out[network.source] = 0.0, volts
    for first in range(0, points, AT_ONCE):
        part = slice(first, min(first + AT_ONCE, points))
        width = part.stop - part.start
        matrix = np.zeros((width, len(free), len(free)))
        right = np.zeros((width, len(free)))
        for branch, ohm in zip(network.branches, ohms[:, part], strict=True):
            for near, far in ((branch.start, branch.end), (branch.end, branch.start)):
                if near in row and near != far:
                    matrix[:, row[near], row[near]] += 1.0 / ohm
                    if far in row:
                        matrix[:, row[near], row[far]] -= 1.0 / ohm
                    elif far == network.source:
                        right[:, row[near]] += volts[part] / ohm
        out[free, part] = np.linalg.solve(matrix, right[:, :, None])[:, :, 0].T
    return out


def _fed(network: Network) -> set[int]:
    found = {network.source, network.reference}
    grown = True
    while grown:
        size = len(found)
        for branch in network.branches:
            if found & {branch.start, branch.end}:
                found |= {branch.start, branch.end}
        grown = len(found) > size
    return found


def _within(band: Band, place: Array) -> Array:
    if band.lower > 0.0 and band.upper > WIDE * band.lower:
        return band.lower * (band.upper / band.lower) ** place
    return band.lower + place * (band.upper - band.lower)


@dataclass
class Machines:
    """The machines that one position of a solved harness may be, in one coil state."""

    solution: Solution
    solved: PositionSolution
    slots: dict[tuple[str, str], int] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self._slot("supply", "")
        for zone in self.harness.zones:
            self._slot("air", zone)
        for branch in self.network.branches:
            for what in ("copper", "contact"):
                self._slot(what, branch.name)
            if branch.role in ("wire", "upstream wire"):
                self._slot("warmed", branch.name)
                for zone in set(branch.zones):
                    self._slot(f"share of {zone}", branch.name)

    def _slot(self, what: str, name: str) -> int:
        return self.slots.setdefault((what, name), len(self.slots))

    @property
    def harness(self) -> Harness:
        return self.solution.harness

    @property
    def network(self) -> Network:
        return self.solved.network

    def draw(self, rng: np.random.Generator, points: int) -> Array:
        """Points of the cube (slots, points): a third anywhere, a third at corners, a third mixed.

        Random points alone hardly ever come near a bound that dozens of values make.
        """
        shape = (len(self.slots), points)
        anywhere = rng.uniform(size=shape)
        at_corner = rng.integers(0, 2, shape).astype(float)
        mixed = np.where(rng.uniform(size=shape) < 0.5, anywhere, at_corner)
        return np.where(np.arange(points) % 3 == 0, anywhere, 0.0) + np.where(
            np.arange(points) % 3 == 1, at_corner, np.where(np.arange(points) % 3 == 2, mixed, 0.0)
        )

    def solve(self, cube: Array, rounds: int = 4) -> tuple[Array, Array, Array]:
        """Node voltages, branch voltages, branch currents of machines; (…, points).

        A wire's own rise is some kelvin: each round of current and rise brings two digits.
        """
        volts = self.supply_v(cube)
        rise = np.zeros((len(self.network.branches), cube.shape[1]))
        for _ in range(rounds):
            ohms = self.ohms(cube, rise)
            node_v = dense_node_v(self.network, ohms, volts)
            branch_v = node_v[self.network.starts] - node_v[self.network.ends]
            branch_a = np.nan_to_num(branch_v / ohms)
            rise = self.rise(cube, branch_a)
        return node_v, np.nan_to_num(branch_v), branch_a

    def supply_v(self, cube: Array) -> Array:
        """Supply of each machine, (points,) [V]."""
        return _within(self.solved.supply_v, cube[self.slots["supply", ""]])

    def ohms(self, cube: Array, rise: Array) -> Array:
        """Resistances (branches, points) with wires warmer than their air by `rise` [K]."""
        place = {key: cube[number] for key, number in self.slots.items()}
        return np.array([self._ohms(number, place, rise[number]) for number in range(len(rise))])

    def rise(self, cube: Array, branch_a: Array) -> Array:
        """How much warmer than its air each wire is by its own current, (branches, points) [K]."""
        out = np.zeros_like(branch_a)
        for number, branch in enumerate(self.network.branches):
            slot = self.slots.get(("warmed", branch.name))
            if slot is not None and branch.heating_k_per_a2 is not None:
                settled = branch.heating_k_per_a2 * branch_a[number] ** 2
                out[number] = cube[slot] * settled
        return out

    def _ohms(self, number: int, place: dict[tuple[str, str], Array], rise: Array) -> Array:
        branch = self.network.branches[number]
        contact = _within(branch.contact_ohm, place["contact", branch.name])
        if branch.role == "coil" and self.solved.coil_state == HEAT_SOAKED:
            winding = self.solution.heat[branch.owner].resistance_ohm
            band = Band(winding.lower, winding.nominal, winding.upper)
            return _within(band, place["copper", branch.name])
        copper = _within(branch.resistance_20c_ohm, place["copper", branch.name])
        air = self._air(branch.name, branch.zones, place)
        metal_c = np.minimum(air + rise, GLOWING_C)
        return np.maximum(copper * (234.5 + metal_c) / 254.5 + contact, 1e-6)

    def _air(self, name: str, zones: tuple[str, ...], place: dict[tuple[str, str], Array]) -> Array:
        shares = {z: place.get((f"share of {z}", name), np.ones(1)) + 1e-12 for z in set(zones)}
        total = sum(shares.values())
        return sum(
            share / total * _within(self.harness.zone_of(zone).ambient_c, place["air", zone])
            for zone, share in shares.items()
        )
