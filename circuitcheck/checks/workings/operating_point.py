"""One corner of the box, solved: the values at which a bound is reached, so that it can be redone.

A bound is found at one end of every resistance and of the supply. There the circuit falls into
chains: stretches of wires, contacts and loads in series that carry one current between two points
at which paths join. Shared ground of the workings; it judges nothing itself.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cached_property

import numpy as np

from circuitcheck.circuit.netlist import LOADS, Network
from circuitcheck.record import record
from circuitcheck.solve.bounds import bounds
from circuitcheck.solve.bounds.bounded import Bounded
from circuitcheck.solve.bounds.box import FloatArray
from circuitcheck.solve.circuit_point import point_of_bound
from circuitcheck.solve.shorts.fault_network import Fault
from circuitcheck.solve.worst_case import PositionSolution

NEGLIGIBLE = 1e-10
"""Share of the current asked about; a side path with less is left out of a chain."""
UNEVEN = 1e-9
"""Share of what passes a node; more left over than this goes into a part that is no resistance."""


@record
class Chain:
    """Branches in series, in the order in which their current (above 0) passes them."""

    branches: tuple[int, ...]
    first: int
    last: int
    current_a: float
    ohms: tuple[float, ...]

    @property
    def drop_v(self) -> float:
        """Voltage between its ends [V]."""
        return self.current_a * math.fsum(self.ohms)


@record
class OperatingPoint:
    """Supply [V], resistances [ohm] and currents [A] of all branches at one corner.

    `ends` tells at which end each resistance stands, -1, 0 or +1.
    """

    network: Network
    supply_v: float
    resistance_ohm: FloatArray
    current_a: FloatArray
    node_v: FloatArray
    ends: Sequence[int]

    def chain(self, branch: int) -> Chain:
        """Return the chain that a branch is part of, in the direction of its current."""
        least_a = NEGLIGIBLE * abs(float(self.current_a[branch]))
        first, last = self._towards(branch)
        before, first = self._follow(branch, first, least_a)
        after, last = self._follow(branch, last, least_a)
        branches = (*reversed(before), branch, *after)
        return Chain(
            branches,
            first,
            last,
            abs(float(self.current_a[branch])),
            tuple(float(self.resistance_ohm[number]) for number in branches),
        )

    def has_load(self, chain: Chain) -> bool:
        """Return whether a chain holds a coil, a winding or another load."""
        return any(self.network.branches[number].role in LOADS for number in chain.branches)

    def loaded(self, chain: Chain) -> tuple[Chain, ...]:
        """Return the chains with loads whose currents add up to that of a chain without one.

        The chain itself where it has a load, or where the paths beside it do not simply add up.
        """
        if self.has_load(chain):
            return (chain,)
        return self._onward(chain, True) or self._onward(chain, False) or (chain,)

    def _onward(self, chain: Chain, with_current: bool) -> tuple[Chain, ...]:
        """Return the chains that a chain parts into, or is joined from; empty where none are."""
        node = chain.last if with_current else chain.first
        if node in self._stops:
            return ()
        found: list[Chain] = []
        for number in self._active(node, NEGLIGIBLE * chain.current_a):
            if number in chain.branches:
                continue
            if (self._out_of(node, number) > 0.0) != with_current:
                return ()  # flows the other way: no plain sum
            other = self.chain(number)
            onward = () if self.has_load(other) else self._onward(other, with_current)
            found += onward or (other,)
        total_a = math.fsum(other.current_a for other in found)
        return tuple(found) if math.isclose(total_a, chain.current_a, rel_tol=1e-9) else ()

    @cached_property
    def _stops(self) -> frozenset[int]:
        """Return the posts, and the nodes at which a lamp, diode or converter takes its share."""
        passed, left = (
            np.zeros(len(self.network.node_names)),
            np.zeros(len(self.network.node_names)),
        )
        for ends, sign in ((self.network.starts, 1.0), (self.network.ends, -1.0)):
            np.add.at(left, ends, sign * self.current_a)
            np.add.at(passed, ends, np.abs(self.current_a))
        uneven = np.flatnonzero(np.abs(left) > UNEVEN * passed).tolist()
        return frozenset((self.network.source, self.network.reference, *uneven))

    @cached_property
    def _at_node(self) -> list[list[int]]:
        found: list[list[int]] = [[] for _ in self.network.node_names]
        for number, branch in enumerate(self.network.branches):
            if branch.start != branch.end:
                found[branch.start].append(number)
                found[branch.end].append(number)
        return found

    def _active(self, node: int, least_a: float) -> list[int]:
        amps = self._amps
        return [n for n in self._at_node[node] if abs(amps[n]) > least_a]

    @cached_property
    def _amps(self) -> list[float]:
        found: list[float] = self.current_a.tolist()
        return found

    def _towards(self, branch: int) -> tuple[int, int]:
        """Return the nodes of a branch in the direction of its current."""
        record = self.network.branches[branch]
        ends = (record.start, record.end)
        return ends if self.current_a[branch] >= 0.0 else ends[::-1]

    def _out_of(self, node: int, branch: int) -> float:
        """Return the current that a branch takes out of a node [A]."""
        amps = float(self.current_a[branch])
        return amps if self.network.branches[branch].start == node else -amps

    def _follow(self, branch: int, node: int, least_a: float) -> tuple[list[int], int]:
        """Return the branches on from a node while one path alone leads on, and where it ends."""
        passed: list[int] = []
        here, last = node, branch
        while here not in self._stops:
            onward = [number for number in self._active(here, least_a) if number != last]
            if len(onward) != 1 or onward[0] == branch:
                break
            last = onward[0]
            passed.append(last)
            record = self.network.branches[last]
            here = record.end if record.start == here else record.start
        return passed, here


def fault_point(fault: Fault, branch: str) -> OperatingPoint:
    """Return the corner at which a short's current in a branch was found largest."""
    number, current = fault.network.branch_of[branch], fault.current
    is_upper = abs(current.upper[number]) >= abs(current.lower[number])
    ends = (current.corner_upper if is_upper else current.corner_lower)[:, number]
    volts = float((current.source_upper_v if is_upper else current.source_lower_v)[number])
    rows, every = ends.astype(np.intp) + 1, np.arange(ends.size)
    ohms = fault.box.resistance_ohm[rows, every]
    shape = bounds.shape_of(
        len(fault.network.node_names),
        fault.network.starts,
        fault.network.ends,
        fault.network.source,
        fault.network.reference,
    )
    found = bounds.solve_corner(shape, ohms, volts)
    return OperatingPoint(fault.network, volts, ohms, found.branch_a, found.node_v, ends.tolist())


def operating_point(solved: PositionSolution, bounded: Bounded, side: str) -> OperatingPoint:
    """Return the corner at which the `lower` or `upper` end of a quantity was found."""
    point = point_of_bound(solved, bounded, side)
    found, count = point.solution(), len(solved.network.branches)
    return OperatingPoint(
        solved.network,
        point.supply_v,
        point.resistance_ohm,
        found.branch_a[:count, 0],
        found.node_v[:, 0],
        point.ends[:count].tolist(),
    )
