"""A position's resistances, reduced to the ports at which everything else hangs.

    v = e - R_T i          voltages at the ports, currents i taken by what hangs there
    i_b = a + A i          current of each resistance

Windings, lamps, diodes and converters are taken out; each leaves its leakage, so that a winding
between open contacts has a voltage too. e and R_T are the open-circuit voltages and the matrix of
source resistances (theorem of H. Helmholtz, Pogg. Ann. 89 (1853) 211, and L. Thevenin, for more
ports than one).
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from circuitcheck.circuit.netlist import WINDINGS, Network
from circuitcheck.record import record
from circuitcheck.solve.elimination.elimination import EliminationPlan
from circuitcheck.transient.waveform import FloatArray

LEAK_S = 1e-7
"""Insulation of a winding or lamp that hangs open, 10 Mohm: a microampere at 12 V."""


@record
class Port:
    """Two nodes between which something hangs that is no plain resistance.

    `kind` is `winding`, `lamp`, `diode`, `converter input` or `converter output`; current counts
    from `start` to `end`.
    """

    name: str
    owner: str
    kind: str
    start: int
    end: int


@record
class PortValues:
    """A reduced network at one supply and one set of resistances; p ports, m branches.

    open_v (p,) voltage at each port with no current taken. [V]
    source_ohm (p, p) what each port loses per ampere taken at each. [ohm]
    branch_a (m,), branch_per_a (m, p) current of each branch; 0 for windings. [A], [A/A]
    """

    open_v: FloatArray
    source_ohm: FloatArray
    branch_a: FloatArray
    branch_per_a: FloatArray


class PortNetwork:
    """Compiled reduction of one network to some ports; those that float are left out.

    `ports` are those that hang on the battery in some way; `floating` the names of the others,
    which carry nothing whatever happens.
    """

    def __init__(self, network: Network, ports: Sequence[Port]) -> None:
        self.network = network
        starts = np.concatenate([network.starts, [port.start for port in ports]]).astype(np.intp)
        ends = np.concatenate([network.ends, [port.end for port in ports]]).astype(np.intp)
        self.plan = EliminationPlan(
            len(network.node_names), starts, ends, (network.source, network.reference)
        )
        is_lost = [bool(self.plan.floating[port.start]) for port in ports]
        self.floating = tuple(p.name for p, lost in zip(ports, is_lost, strict=True) if lost)
        self.ports = tuple(p for p, lost in zip(ports, is_lost, strict=True) if not lost)
        rows = [k for k, lost in enumerate(is_lost) if not lost]
        self._rows = len(network.branches) + np.array(rows, dtype=np.intp)
        self._extra = len(ports)
        self._windings = network.numbers_of(WINDINGS)

    def at(self, resistance_ohm: FloatArray, supply_v: float) -> PortValues:
        """Return the reduced network for resistances (branches,); those of windings are unused."""
        m, n, p = len(self.network.branches), self.plan.n_nodes, len(self.ports)
        conductance = np.full(m + self._extra, LEAK_S)
        conductance[:m] = 1.0 / resistance_ohm
        conductance[self._windings] = 0.0
        factor = self.plan.factor(conductance[:, None])
        feed = np.zeros((n, p, 1))
        every = np.arange(p)
        feed[[port.start for port in self.ports], every, 0] -= 1.0
        feed[[port.end for port in self.ports], every, 0] += 1.0
        _, branch_v = factor.node_and_branch_v(np.array([supply_v]), None)
        branch_v_per_a = np.zeros((len(conductance), 0, 1))
        if p:
            _, branch_v_per_a = factor.node_and_branch_v(np.zeros(1), feed)
        return PortValues(
            branch_v[self._rows, 0],
            -branch_v_per_a[self._rows, :, 0],
            branch_v[:m, 0] * conductance[:m],
            branch_v_per_a[:m, :, 0] * conductance[:m, None],
        )
