"""All that a harness can become in any position: every branch, contacts open or closed.

A position, its relays and what is unplugged only say which branches carry; so faults of open
contacts have a branch to act on, and one numbering holds for all positions of a harness.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from circuitcheck.circuit.asked_for import asked_loads
from circuitcheck.circuit.build import build_network
from circuitcheck.circuit.netlist import Branch, ConverterBranch, Network
from circuitcheck.circuit.positions import KEY_STATES, Position, switch_positions
from circuitcheck.errors import CircuitError
from circuitcheck.faults.port_response import Shape
from circuitcheck.model.harness import Harness
from circuitcheck.model.library import Library
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.reading import Situation
from circuitcheck.model.relay import Relay
from circuitcheck.model.switch import SwitchHandle
from circuitcheck.solve.curves.active_curves import ActiveCurve, active_curves
from circuitcheck.solve.curves.curves import Lamp
from circuitcheck.solve.position_networks import PositionNetworks
from circuitcheck.solve.relays.relay_states import RelayStates, settle_relays

if TYPE_CHECKING:
    from circuitcheck.faults.situation_network import SituationNetwork

PART_SIDE = "/part"
"""Ends the name of a terminal of a part that is taken off: `VL.1/part` is the coil's own."""


class FullNetwork:
    """Nodes, branches and curves of a harness in every state, numbered once.

    `branches`, `curves` and `converters` have their ends as numbers into `node_names`. Of
    branches and curves it holds what any position closes. `shares` keeps where tolerances have been
    drawn, so that they are the same in every situation, `shapes` the compiled networks by what is
    unplugged and whether the battery is on, `machines` those drawn by situation, count and seed.
    """

    def __init__(self, harness: Harness, library: Library) -> None:
        if harness.user_rows is not None:
            library = library.with_rows(harness.user_rows)
        self.harness, self.library = harness, library
        self._nodes: dict[str, int] = {}
        self._wires: dict[str, Branch] = {}
        self.source = self.node(f"{harness.battery.name}.+")
        self.reference = self.node(f"{harness.battery.name}.-")
        self._collect()
        self.shares: dict[tuple[str, int, int], NDArray[np.float64]] = {}
        self.shapes: dict[tuple[frozenset[str], bool], Shape] = {}
        self.machines: dict[tuple[Situation, int, int], SituationNetwork] = {}
        self._closed: dict[tuple[object, ...], frozenset[str]] = {}
        self._asked: dict[str, frozenset[str]] = {}

    def node(self, name: str) -> int:
        """Return the number of a terminal, new if need be."""
        return self._nodes.setdefault(name, len(self._nodes))

    @property
    def node_names(self) -> tuple[str, ...]:
        """Terminals and inner nodes by number."""
        return tuple(self._nodes)

    @property
    def node_of(self) -> Mapping[str, int]:
        """Number of each terminal by its text."""
        return self._nodes

    @cached_property
    def positions(self) -> Mapping[str, Position]:
        """Every switch position by name, with the relays that a sound circuit energises."""
        return {position.name: position for position in self._settled.positions}

    @cached_property
    def _settled(self) -> RelayStates:
        networks = PositionNetworks(self.harness, self.library)
        return settle_relays(self.harness, switch_positions(self.harness), networks.coil_volts)

    def held_before(self, position: Position) -> frozenset[str]:
        """Return the relays that a press before has left operated; none from rest."""
        is_history = position.name in self._settled.came_from
        return position.energised_relays if is_history else frozenset()

    def position(self, name: str) -> Position:
        """Return a position by its name. Raises CircuitError when there is none."""
        if name not in self.positions:
            known = ", ".join(f'"{one}"' for one in self.positions)
            raise CircuitError(f'no switch position "{name}"; there are {known}')
        return self.positions[name]

    @cached_property
    def branch_of(self) -> Mapping[str, int]:
        """Branch number by branch name."""
        return {branch.name: number for number, branch in enumerate(self.branches)}

    @cached_property
    def curve_of(self) -> Mapping[str, int]:
        """Curve number by name."""
        return {one.name: number for number, one in enumerate(self.curves)}

    def closed(self, position: Position, cut_out: frozenset[str]) -> frozenset[str]:
        """Return the names of the branches that carry in a position with its relays as they stand.

        `cut_out` names the pull and hold coils whose pull winding is off.
        """
        key = (position.key, position.pressed, position.energised_relays, cut_out)
        if key not in self._closed:
            off = {f"{name}/pull" for name in cut_out}
            network = self._network(position)
            self._closed[key] = frozenset(b.name for b in network.branches) - off
        return self._closed[key]

    def asked(self, position: Position) -> frozenset[str]:
        """Return the parts whose coils, lamps or resistors a position asks for."""
        if position.name not in self._asked:
            loads = asked_loads(self._network(position))
            self._asked[position.name] = frozenset(name.partition("/")[0] for name in loads)
        return self._asked[position.name]

    branches: tuple[Branch, ...]
    curves: tuple[ActiveCurve, ...]
    converters: tuple[ConverterBranch, ...]

    def _collect(self) -> None:
        branches: dict[str, Branch] = {}
        curves: dict[str, ActiveCurve] = {}
        converters: dict[str, ConverterBranch] = {}
        for network in self._networks():
            number = [self.node(name) for name in network.node_names]
            for branch in network.branches:
                start, end = number[branch.start], number[branch.end]
                branches.setdefault(branch.name, replace(branch, start=start, end=end))
            for one in active_curves(network):
                curves.setdefault(one.name, _renumbered(one, number))
            for c in network.converters:
                source, output, minus = (number[k] for k in (c.source, c.output, c.minus))
                moved = replace(c, source=source, output=output, minus=minus)
                converters.setdefault(c.name, moved)
        self.branches, self.curves = tuple(branches.values()), tuple(curves.values())
        self.converters = tuple(converters.values())

    def _network(self, position: Position) -> Network:
        return build_network(self.harness, self.library, position, known_wires=self._wires)

    def _networks(self) -> Iterator[Network]:
        """Yield networks that between them hold every branch."""
        buttons = frozenset(
            (handle.name, button)
            for handle in self.harness.of_kind(SwitchHandle)
            for button in handle.buttons
        )
        relays = frozenset(relay.name for relay in self.harness.of_kind(Relay))
        for key in KEY_STATES:
            for pressed in dict.fromkeys((frozenset[tuple[str, str]](), buttons)):
                for energised in dict.fromkeys((frozenset[str](), relays)):
                    position = Position("", key, pressed, energised)
                    yield self._network(position)


def _renumbered(one: ActiveCurve, number: list[int]) -> ActiveCurve:
    curve = one.curve
    start, end = number[curve.start], number[curve.end]
    if isinstance(curve, Lamp):
        return replace(one, curve=replace(curve, start=start, end=end))
    return replace(one, curve=replace(curve, anode=start, cathode=end))


def pull_coils(harness: Harness) -> tuple[PullHoldCoil, ...]:
    """Return the coils whose pull winding something cuts out."""
    return tuple(coil for coil in harness.of_kind(PullHoldCoil) if coil.cuts_out)
