"""What sits across a winding, as far as it carries current at working voltage."""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.circuit.branches.context import BranchContext
from circuitcheck.circuit.netlist import DiodeBranch, Element
from circuitcheck.model.solenoid_coil import Suppression


def suppression_branches(
    suppression: Suppression, owner: str, ends: tuple[str, str], context: BranchContext
) -> Iterator[Element]:
    """Yield the resistor or bare diode between two terminals of `owner`.

    `ends` are the names of the terminals inside the part. A diode + Zener pair and a
    bidirectional suppressor block both ways at working voltage: neither is a branch.
    """
    nodes = {end: context.node(f"{owner}.{end}") for end in ends}
    name = f"{owner}/suppressor"
    if suppression.kind == "resistor" and suppression.resistance_ohm is not None:
        pair = (nodes[ends[0]], nodes[ends[1]])
        yield context.contact(name, "suppressor", owner, pair, suppression.resistance_ohm)
    if suppression.kind == "diode" and suppression.cathode in nodes:
        anode = ends[1] if suppression.cathode == ends[0] else ends[0]
        yield DiodeBranch(name, owner, nodes[anode], nodes[suppression.cathode])
