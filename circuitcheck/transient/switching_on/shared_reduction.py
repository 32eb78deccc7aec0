"""Several positions' networks reduced to their ports by one elimination program.

    open contact, winding cut out: a branch of conductance 0

The networks of one harness differ in a few contacts. Their branches are taken together and
compiled once (`solve/elimination/elimination.py`); the numbers of all positions and corners then
run through it side by side. A port that no branch joins to the battery in its own network floats.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from circuitcheck.circuit.netlist import WINDINGS, Branch, Network
from circuitcheck.record import record
from circuitcheck.solve.elimination.elimination import EliminationPlan
from circuitcheck.transient.switching_on.corners import BranchEnds, Corner
from circuitcheck.transient.switching_on.port_elements import BoolArray, IntArray, ports_of
from circuitcheck.transient.switching_on.port_network import LEAK_S, Port, PortValues
from circuitcheck.transient.waveform import FloatArray


@record
class _Place:
    """A member's own ports; its branches and ports as numbers among all."""

    network: Network
    ports: tuple[Port, ...]
    branches: IntArray
    columns: IntArray


@record
class Reduced:
    """One member at one set of resistances; `ports` without `floating`, as in `PortNetwork`."""

    ports: tuple[Port, ...]
    floating: tuple[str, ...]
    values: PortValues


class SharedReduction:
    """Compiled reduction of the members added to it, each told by the number it was given."""

    def __init__(self) -> None:
        self._nodes: dict[str, int] = {}
        self._branches: dict[tuple[str, int, int], int] = {}
        self._known: list[Branch] = []
        self._ports: dict[tuple[str, str, int, int], int] = {}
        self._places: list[_Place] = []
        self._alike: dict[tuple[Port, ...], tuple[Port, ...]] = {}
        self._numbered: dict[tuple[str, ...], list[int]] = {}
        self._compiled: _Compiled | None = None

    def add(self, network: Network, cut: frozenset[str]) -> int:
        """Add a position's network with some windings cut out; return its number."""
        sizes = (len(self._nodes), len(self._branches), len(self._ports))
        self._places.append(self._placed(network, cut))
        if sizes != (len(self._nodes), len(self._branches), len(self._ports)):
            self._compiled = None
        return len(self._places) - 1

    @property
    def _all(self) -> _Compiled:
        if self._compiled is None:
            network = self._places[0].network
            ends = (network.node_names[network.source], network.node_names[network.reference])
            self._compiled = _Compiled(
                replace(network, branches=tuple(self._known)),
                np.array([key[1:] for key in self._branches], dtype=np.intp).reshape(-1, 2),
                np.array([key[2:] for key in self._ports], dtype=np.intp).reshape(-1, 2),
                len(self._nodes),
                (self._nodes[ends[0]], self._nodes[ends[1]]),
            )
        return self._compiled

    def _placed(self, network: Network, cut: frozenset[str]) -> _Place:
        # Ports alike are one tuple, so that it is told apart from others at a glance.
        ports = ports_of(network, cut)
        ports = self._alike.setdefault(ports, ports)
        nodes = self._numbers(network.node_names)
        branches = [
            self._branch(branch, nodes[branch.start], nodes[branch.end])
            for branch in network.branches
        ]
        columns = [
            self._ports.setdefault(
                (port.name, port.kind, nodes[port.start], nodes[port.end]), len(self._ports)
            )
            for port in ports
        ]
        return _Place(
            network, ports, np.array(branches, dtype=np.intp), np.array(columns, dtype=np.intp)
        )

    def _numbers(self, names: tuple[str, ...]) -> list[int]:
        """Return the numbers of a member's nodes among all; most members have the same."""
        if names not in self._numbered:
            every = self._nodes
            self._numbered[names] = [every.setdefault(name, len(every)) for name in names]
        return self._numbered[names]

    def _branch(self, branch: Branch, start: int, end: int) -> int:
        """Return the number of a branch among all: a part's is the same in every position."""
        number = self._branches.setdefault((branch.name, start, end), len(self._branches))
        if number == len(self._known):
            self._known.append(branch)
        return number

    def resistance_ohm(
        self, numbers: Sequence[int], corner: Corner, highest_a: Sequence[FloatArray]
    ) -> FloatArray:
        """Return resistances (m, b) of all branches for members (b,) at a corner. [ohm]

        `highest_a` are the currents that heat the wires of each member, by its own branches.
        """
        amps = np.zeros((len(self._known), len(numbers)))
        for k, (number, known_a) in enumerate(zip(numbers, highest_a, strict=True)):
            amps[self._places[number].branches, k] = known_a
        return self._all.ends.at(corner, amps)

    def at(
        self, numbers: Sequence[int], resistance_ohm: FloatArray, supply_v: Sequence[float]
    ) -> list[Reduced]:
        """Return members (b,) reduced at resistances of all branches (m, b) and supplies (b,)."""
        places = [self._places[number] for number in numbers]
        count, columns = len(self._known), len(self._ports)
        carries = np.zeros((count + columns, len(places)))
        for k, place in enumerate(places):
            carries[place.branches, k] = 1.0
            carries[count + place.columns, k] = LEAK_S
        carries[:count] /= resistance_ohm
        floats, branch_v = self._all.solved(carries, np.array(supply_v))
        branch_a = branch_v[:, :count] * carries[:count].T[:, :, None]
        return [
            _reduced(place, floats[k, place.columns], branch_v[k, count:], branch_a[k])
            for k, place in enumerate(places)
        ]


class _Compiled:
    """All branches and ports of the members, `network` holding the branches, compiled."""

    def __init__(
        self,
        network: Network,
        branches: IntArray,
        ports: IntArray,
        n_nodes: int,
        kept: tuple[int, int],
    ) -> None:
        ends = np.concatenate([branches, ports])
        self.plan = EliminationPlan(n_nodes, ends[:, 0], ends[:, 1], kept)
        self.ends = BranchEnds(network)
        self.windings = network.numbers_of(WINDINGS)
        self.port_starts = ports[:, 0]
        # What each port takes at its start comes back at its end; the last column is the supply.
        every = np.arange(len(ports))
        self.feed = np.zeros((n_nodes, len(ports) + 1, 1))
        self.feed[ports[:, 0], every, 0] -= 1.0
        self.feed[ports[:, 1], every, 0] += 1.0

    def solved(self, carries: FloatArray, supply_v: FloatArray) -> tuple[BoolArray, FloatArray]:
        """Return which ports float (b, p), and the voltages of all (b, m + p, p + 1).

        `carries` (m + p, b) are conductances of branches, then ports; those of windings become 0.
        Voltages are for an ampere taken at each port, the last for the supply.
        """
        carries[self.windings] = 0.0
        columns, width = self.feed.shape[1], len(supply_v)
        source_v = np.zeros((columns, width))
        source_v[-1] = supply_v
        feed = np.broadcast_to(self.feed, (len(self.feed), columns, width))
        node_v, branch_v = self.plan.factor(carries).node_and_branch_v(source_v, feed)
        floats = np.isnan(node_v[self.port_starts, -1]).T
        return floats, np.ascontiguousarray(branch_v.transpose(2, 0, 1))


def _reduced(
    place: _Place, is_lost: BoolArray, port_v: FloatArray, branch_a: FloatArray
) -> Reduced:
    ports, columns = place.ports, place.columns
    floating: tuple[str, ...] = ()
    if is_lost.any():
        lost = is_lost.tolist()
        floating = tuple(p.name for p, is_off in zip(ports, lost, strict=True) if is_off)
        ports = tuple(p for p, is_off in zip(ports, lost, strict=True) if not is_off)
        columns = columns[~is_lost]
    mine = branch_a[place.branches]
    values = PortValues(
        port_v[columns, -1], -port_v[columns][:, columns], mine[:, -1], mine[:, columns]
    )
    return Reduced(ports, floating, values)
