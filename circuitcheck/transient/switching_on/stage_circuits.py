"""The circuits of one harness's stages: what many actions pass through, built together."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from itertools import groupby

import numpy as np

from circuitcheck.circuit.netlist import Network
from circuitcheck.circuit.positions import Position
from circuitcheck.errors import SolveError
from circuitcheck.model.converter import Converter
from circuitcheck.model.harness import Harness
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.solenoid_coil import SolenoidCoil
from circuitcheck.model.tolerance_band import Band
from circuitcheck.solve.position_networks import PositionNetworks, supply_of
from circuitcheck.solve.worst_case import Solution
from circuitcheck.transient.switching_on.corners import STRONGEST, Corner
from circuitcheck.transient.switching_on.port_elements import Elements, elements_at
from circuitcheck.transient.switching_on.port_network import Port
from circuitcheck.transient.switching_on.shared_reduction import SharedReduction
from circuitcheck.transient.switching_on.stage_circuit import StageCircuit
from circuitcheck.transient.switching_on.steady import steady_together
from circuitcheck.transient.waveform import FloatArray

Asked = tuple[Position, frozenset[str], Corner]
"""A position, the pull windings cut out in it, and a corner."""
_Shape = tuple[frozenset[str], frozenset[str]]
_Key = tuple[frozenset[str], frozenset[str], Band, str]


class StageCircuits:
    """The circuits of one harness by position, pull windings cut out, and corner; built once."""

    def __init__(self, solution: Solution, networks: PositionNetworks) -> None:
        self.solution, self.networks = solution, networks
        harness = solution.harness
        self._inductances_h = known_inductances_h(harness)
        self._capacitances_f = {
            one.name: one.input_capacitance_f
            for one in harness.of_kind(Converter)
            if one.input_capacitance_f is not None
        }
        self._plungers = {c.name: c.plunger for c in harness.coils if c.plunger is not None}
        self._filament_s = solution.library.limit("filament_time_constant_s").value
        self._shapes: dict[Position, tuple[Network, frozenset[str], Band]] = {}
        self._networks: dict[_Shape, Network] = {}
        self._reduction = SharedReduction()
        self._number: dict[_Shape, int] = {}
        self._elements: dict[tuple[tuple[Port, ...], str], Elements] = {}
        self._found: dict[_Key, StageCircuit] = {}

    def at(self, position: Position, cut: frozenset[str], corner: Corner) -> StageCircuit:
        """Return the circuit of a position with some pull windings cut out, at a corner."""
        key = self._key(position, cut, corner)
        if key not in self._found:
            self.build([(position, cut, corner)])
        return self._found[key]

    def build(self, asked: Iterable[Asked]) -> None:
        """Build the circuits that are not built yet, all of a corner side by side."""
        missing = {self._key(*one): one for one in asked}
        missing = {key: one for key, one in missing.items() if key not in self._found}
        # Wires are as hot as the settled currents of the strongest corner make them.
        strongest = Corner(STRONGEST, self.solution.heat)
        for position, cut, corner in list(missing.values()):
            if not corner.is_strongest and self.networks.at(position).network.live:
                key = self._key(position, cut, strongest)
                if key not in self._found:
                    missing.setdefault(key, (position, cut, strongest))
        order = sorted(missing, key=lambda key: key[3] != STRONGEST)
        for _, keys in groupby(order, key=lambda key: key[3]):
            chosen = list(keys)
            self._build(chosen, [missing[key] for key in chosen])

    def _key(self, position: Position, cut: frozenset[str], corner: Corner) -> _Key:
        if position not in self._shapes:
            network = self.networks.at(position).network
            supply_v = supply_of(self.solution.harness, position)
            self._shapes[position] = (network, network.closed_contacts(), supply_v)
        network, closed, supply_v = self._shapes[position]
        self._networks.setdefault((closed, cut), network)
        return closed, cut, supply_v, corner.name

    def _build(self, keys: Sequence[_Key], asked: Sequence[Asked]) -> None:
        """Build circuits of one corner."""
        corner = asked[0][2]
        for shape in dict.fromkeys(key[:2] for key in keys):
            if shape not in self._number:
                self._number[shape] = self._reduction.add(self._networks[shape], shape[1])
        numbers = [self._number[key[:2]] for key in keys]
        highest_a = [self.highest_a(*one) for one in asked]
        ohms = self._reduction.resistance_ohm(numbers, corner, highest_a)
        reduced = self._reduction.at(numbers, ohms, [corner.supply_v(key[2]) for key in keys])
        built = []
        for key, found in zip(keys, reduced, strict=True):
            network = self._networks[key[:2]]
            elements = self._elements_at(network, found.ports, corner)
            circuit = StageCircuit(network, found.values, elements, found.floating, self._plungers)
            self._found[key] = circuit
            built.append(circuit)
        _settle(built)

    def _elements_at(self, network: Network, ports: tuple[Port, ...], corner: Corner) -> Elements:
        """Return what hangs at some ports: the same parts in every position."""
        key = (ports, corner.name)
        if key not in self._elements:
            self._elements[key] = elements_at(
                network, ports, corner, self._inductances_h, self._capacitances_f,
                self._filament_s,
            )  # fmt: skip
        return self._elements[key]

    def pull_volts(self, position: Position, cut: frozenset[str]) -> Mapping[str, float]:
        """Return the voltage that settles at each pull winding of a position, not cut out. [V]"""
        if not self.solution.harness.of_kind(PullHoldCoil):
            return {}
        circuit = self.at(position, cut, Corner(STRONGEST, self.solution.heat))
        volts = circuit.steady.voltage_v.tolist()
        return {
            port.name: volt
            for port, volt in zip(circuit.elements.ports, volts, strict=True)
            if port.name.endswith("/pull")
        }

    def highest_a(self, position: Position, cut: frozenset[str], corner: Corner) -> FloatArray:
        """Return the currents that heat wires: those of the strongest corner, settled. [A]"""
        network = self.networks.at(position).network
        if corner.is_strongest or not network.live:
            return np.zeros(len(network.branches))
        strongest = self.at(position, cut, Corner(STRONGEST, self.solution.heat))
        return np.abs(strongest.branch_a(strongest.steady.current_a))


def known_inductances_h(harness: Harness) -> dict[str, Band]:
    """Return the inductance of each winding of which it is known, by the name of its branch."""
    found: dict[str, Band] = {}
    for part in harness.parts.values():
        if isinstance(part, SolenoidCoil):
            if part.plunger is not None:
                found[part.name] = Band.exact(part.plunger.released_h)
            elif part.inductance_h is not None:
                found[part.name] = part.inductance_h
        elif isinstance(part, PullHoldCoil) and part.inductance_h is not None:
            found[f"{part.name}/hold"] = part.inductance_h
    return found


def _settle(circuits: Sequence[StageCircuit]) -> None:
    """Work out where circuits settle, those with the same ports side by side."""
    alike: dict[tuple[Port, ...], list[StageCircuit]] = {}
    for circuit in circuits:
        alike.setdefault(circuit.elements.ports, []).append(circuit)
    for some in alike.values():
        try:
            found = steady_together([c.values for c in some], [c.elements for c in some])
        except SolveError:
            continue  # one of them does not settle: it says so by itself when it is asked
        for circuit, settled in zip(some, found, strict=True):
            circuit.settles_at(settled)
