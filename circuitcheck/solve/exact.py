"""Second opinion: the nominal network of a position, solved exactly by another program.

The only door to lcapy (and to sympy below it). lcapy sees generated names and numbers alone:
`R1`, `R2` for the branches, integers for the nodes; no text of a harness file ever reaches it.
Diodes and lamps are left out: one without current changes nothing, one with current is refused.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction
from functools import lru_cache
from typing import Any

from circuitcheck.circuit.netlist import Branch
from circuitcheck.errors import SolveError
from circuitcheck.record import record
from circuitcheck.solve.converters.converter_shares import running_converters
from circuitcheck.solve.worst_case import PositionSolution

GROUND = 0
"""Node of battery minus in the netlist, as every netlist language has it."""


@record
class Component:
    """One line of the netlist: generated name, two nodes, value in volt or ohm, what it stands for.

    `stands_for` is a branch name; it is shown beside the line and never part of it.
    """

    name: str
    start: int
    end: int
    value: Fraction
    stands_for: str

    def line(self) -> str:
        """Return the line as lcapy reads it."""
        return f"{self.name} {self.start} {self.end} {{{self.value}}}"


@record
class NominalNetlist:
    """The nominal network: one source, resistances, and where terminals and branches went.

    Branches without resistance join their nodes into one and have no line of their own; nor has
    a branch whose two ends are joined that way.
    """

    components: tuple[Component, ...]
    node_of: Mapping[str, int]
    diodes: tuple[tuple[int, int], ...]
    lamps: tuple[tuple[int | None, ...], ...] = ()

    def text(self) -> str:
        """Return the netlist as lcapy reads it."""
        return "\n".join(c.line() for c in self.components if c.start != c.end)

    def component_of(self, branch: str) -> Component | None:
        """Return the line of a branch; None where it has none."""
        return next((c for c in self.components if c.stands_for == branch), None)


def nominal_netlist(solved: PositionSolution, *, meter: str = "") -> NominalNetlist:
    """Return the nominal network of one switch position and coil state, in exact fractions.

    Only what is joined to the battery is listed. A float becomes the fraction of its shortest
    decimal, which is closer to it than 1e-16. `meter` names a branch that is kept as a source of
    0 V even if it has no resistance, so that its current can be asked for.
    """
    network = solved.network
    if running_converters(network):
        raise SolveError("a converter runs here; the exact solver works with one source")
    values = [_fraction(solved.resistance_ohm(b.name).nominal) for b in network.branches]
    reached = _joined_to_battery(network.branches, network.source, network.reference)
    merged = list(range(len(network.node_names)))
    for branch, value in zip(network.branches, values, strict=True):
        if value == 0 and branch.name != meter:
            merged[_root(merged, branch.start)] = _root(merged, branch.end)
    numbers = {_root(merged, network.reference): GROUND}
    if _root(merged, network.source) in numbers:
        raise SolveError("battery plus and minus are joined without any resistance")

    def node(old: int) -> int:
        return numbers.setdefault(_root(merged, old), len(numbers))

    supply = _fraction(solved.supply_v.nominal)
    components = [Component("V1", node(network.source), GROUND, supply, "supply")]
    for branch, value in zip(network.branches, values, strict=True):
        if branch.start not in reached or (value == 0 and branch.name != meter):
            continue
        start, end = node(branch.start), node(branch.end)
        if value == 0 and start == end:
            raise SolveError(f"other paths without resistance lie beside {branch.name}")
        name = f"R{len(components)}" if value else "V2"
        components.append(Component(name, start, end, value, branch.name))
    nodes = {name: node(k) for k, name in enumerate(network.node_names) if k in reached}
    pairs = [(diode.anode, diode.cathode) for diode in network.diodes]
    pairs += [(c.start, c.end) for c in network.curves if c.role != "lamp"]
    diodes = tuple((node(a), node(b)) for a, b in pairs if a in reached and b in reached)
    lamps = tuple(
        tuple(node(k) if k in reached else None for k in (c.start, c.end))
        for c in network.curves
        if c.role == "lamp" and {c.start, c.end} & reached
    )
    return NominalNetlist(tuple(components), nodes, diodes, lamps)


def exact_current_a(solved: PositionSolution, branch: str) -> Fraction:
    """Return the nominal current of a branch, positive from its start to its end [A].

    Raises SolveError where the branch carries no definite current or a diode conducts.
    """
    netlist = nominal_netlist(solved, meter=branch)
    component = netlist.component_of(branch)
    if component is None:
        raise SolveError(f"{branch} is not joined to the battery in {solved.position.name}")
    if component.start == component.end:
        return Fraction(0)
    circuit = _solved(netlist)
    return _rational(circuit[component.name].I.dc)


def exact_voltage_v(solved: PositionSolution, start: str, end: str) -> Fraction:
    """Return the nominal voltage from one terminal to another [V].

    Raises SolveError where a terminal is not joined to the battery or a diode conducts.
    """
    netlist = nominal_netlist(solved)
    for terminal in (start, end):
        if terminal not in netlist.node_of:
            raise SolveError(f"{terminal} is not joined to the battery in {solved.position.name}")
    circuit = _solved(netlist)
    return _node_v(circuit, netlist.node_of[start]) - _node_v(circuit, netlist.node_of[end])


@lru_cache(maxsize=64)
def _circuit(text: str) -> Any:
    from lcapy import Circuit

    return Circuit(text)


def _solved(netlist: NominalNetlist) -> Any:
    circuit = _circuit(netlist.text())
    for anode, cathode in netlist.diodes:
        if _node_v(circuit, anode) > _node_v(circuit, cathode):
            raise SolveError("a diode conducts here; the exact solver works without diodes")
    for ends in netlist.lamps:
        volts = {None if end is None else _node_v(circuit, end) for end in ends}
        if len(volts) > 1:
            raise SolveError("a lamp carries current here; the exact solver works without lamps")
    return circuit


def _node_v(circuit: Any, node: int) -> Fraction:
    return Fraction(0) if node == GROUND else _rational(circuit[node].V.dc)


def _rational(expression: Any) -> Fraction:
    number = expression.sympy
    if not number.is_Rational:
        raise SolveError("the exact solver gave no fraction")
    return Fraction(int(number.p), int(number.q))


def _fraction(value: float) -> Fraction:
    return Fraction(repr(float(value)))


def _joined_to_battery(branches: Iterable[Branch], source: int, reference: int) -> frozenset[int]:
    """Return the nodes that current can reach: those joined to either post of the battery."""
    neighbours: dict[int, list[int]] = {}
    for branch in branches:
        neighbours.setdefault(branch.start, []).append(branch.end)
        neighbours.setdefault(branch.end, []).append(branch.start)
    found, waiting = {source, reference}, [source, reference]
    while waiting:
        for there in neighbours.get(waiting.pop(), ()):
            if there not in found:
                found.add(there)
                waiting.append(there)
    return frozenset(found)


def _root(merged: list[int], node: int) -> int:
    while merged[node] != node:
        node = merged[node]
    return node
