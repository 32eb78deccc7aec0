"""Diode: one curve from anode to cathode."""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.circuit.branches.context import NONE, BranchContext
from circuitcheck.circuit.link import Link
from circuitcheck.circuit.netlist import CurveBranch, DiodeCurve, Element
from circuitcheck.model.diode import Diode
from circuitcheck.model.harness import Harness


def branches(part: Diode, context: BranchContext) -> Iterator[Element]:
    """Yield the diode."""
    anode, cathode = (context.node(f"{part.name}.{terminal}") for terminal in part.terminals)
    curve = DiodeCurve(part.forward_v, NONE, part.current_a, part.reverse_v)
    yield CurveBranch(part.name, part.name, "diode", anode, cathode, curve)


def links(part: Diode, harness: Harness) -> Iterator[Link]:
    """Yield nothing: whether it is a path hangs on all others (`Topology.in_line`)."""
    yield from ()
