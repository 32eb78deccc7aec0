"""Random coil circuits as networks of the project, and their rise in closed form."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from random_circuits import REFERENCE, SOURCE, SWITCH_OHM, CoilCircuit

from circuitcheck.circuit.netlist import Branch, Network
from circuitcheck.circuit.positions import Position
from circuitcheck.model.tolerance_band import Band
from circuitcheck.transient.switching_on.filament import Filaments
from circuitcheck.transient.switching_on.port_elements import Elements
from circuitcheck.transient.switching_on.port_network import Port, PortNetwork, PortValues
from circuitcheck.transient.switching_on.rise import Rise, rise
from circuitcheck.transient.switching_on.steady import steady

NOTHING = np.zeros(0)
NO_LAMPS = Filaments(NOTHING, NOTHING, NOTHING, NOTHING, 1.0)


@dataclass(frozen=True)
class Reduced:
    """A circuit with some switches closed, reduced to its coils."""

    values: PortValues
    elements: Elements


def network_of(circuit: CoilCircuit, closed: frozenset[int]) -> Network:
    """Return the network with the switches of the coils numbered in `closed` closed."""
    branches = [
        _branch(f"R{i}", "fuse" if i == 0 else "wire", u, v, ohm)
        for i, (u, v, ohm) in enumerate(circuit.resistors)
    ]
    branches += [
        _branch(f"S{i}", "switch contact", coil.switch_from, coil.switch_to, SWITCH_OHM)
        for i, coil in enumerate(circuit.coils)
        if i in closed
    ]
    branches += [
        _branch(f"L{i}", "coil", coil.start, coil.end, coil.ohm)
        for i, coil in enumerate(circuit.coils)
    ]
    position = Position("key on", "key on", frozenset())
    names = tuple(f"n{k}" for k in range(circuit.n_nodes))
    return Network(position, names, tuple(branches), (), SOURCE, REFERENCE, True)


def _branch(name: str, role: str, start: int, end: int, ohm: float) -> Branch:
    return Branch(
        name, name, role, start, end, Band.exact(0.0), Band.exact(ohm), Band.exact(20.0), ("zone",)
    )


def reduced(circuit: CoilCircuit, closed: frozenset[int]) -> Reduced:
    """Return the circuit with these switches closed, reduced to the ports of its coils."""
    network = network_of(circuit, closed)
    ports = [Port(f"L{i}", f"L{i}", "winding", c.start, c.end) for i, c in enumerate(circuit.coils)]
    ohms = np.array([branch.contact_ohm.nominal for branch in network.branches])
    values = PortNetwork(network, ports).at(ohms, circuit.source_v)
    count = len(ports)
    elements = Elements(
        tuple(ports),
        np.array([coil.henry for coil in circuit.coils]),
        np.array([coil.ohm for coil in circuit.coils]),
        np.zeros(count),
        np.zeros(count, dtype=bool),
        np.zeros(0, dtype=np.intp),
        NO_LAMPS,
        (),
    )
    return Reduced(values, elements)


def switched_on(circuit: CoilCircuit) -> tuple[Rise, Reduced]:
    """Return the rise when all switches close, from what was settled with the held ones alone."""
    held = frozenset(i for i, coil in enumerate(circuit.coils) if coil.is_held)
    before = reduced(circuit, held)
    start_a = steady(before.values, before.elements).current_a
    after = reduced(circuit, frozenset(range(len(circuit.coils))))
    return rise(after.values, after.elements, start_a), after
