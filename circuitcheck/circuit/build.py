"""Build the network of one switch position from the model."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from circuitcheck.circuit.branches import part_branches
from circuitcheck.circuit.branches.context import BranchContext
from circuitcheck.circuit.branches.supply_tap import tap_is_live
from circuitcheck.circuit.netlist import (
    HOLDING,
    PULLING,
    Branch,
    ConverterBranch,
    CurveBranch,
    DiodeBranch,
    Element,
    Network,
)
from circuitcheck.circuit.positions import Position
from circuitcheck.circuit.topology import read_topology
from circuitcheck.circuit.wire_branch import wire_branch
from circuitcheck.model.harness import Harness
from circuitcheck.model.library import Library
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.resistor import Resistor
from circuitcheck.model.supply_tap import SupplyTap

__all__ = ["build_network", "pull_states", "tap_is_live"]


@dataclass
class _Nodes:
    """Numbers nodes in the order they are first met."""

    names: dict[str, int] = field(default_factory=dict)

    def __call__(self, name: object) -> int:
        return self.names.setdefault(str(name), len(self.names))


def build_network(
    harness: Harness,
    library: Library,
    position: Position,
    *,
    pull_state: str = PULLING,
    known_wires: dict[str, Branch] | None = None,
) -> Network:
    """Return nodes and branches of the harness in one switch position.

    Every wire, contact, bond and coil becomes one branch; open contacts have none. A wire's
    branch includes its two crimps and what it lands on (battery post, splice, frame, tap).
    Relay contacts stand as `position.energised_relays` says. In `pull_state` HOLDING the pull
    windings that something cuts out are off (see `pull_states`). `known_wires` keeps the branches
    of wires from one position of the same harness to the next.
    """
    node = _Nodes()
    source, reference = node(f"{harness.battery.name}.+"), node(f"{harness.battery.name}.-")
    in_line = read_topology(harness).in_line if harness.of_kind(Resistor) else frozenset()
    context = BranchContext(harness, library, position, node, reference, pull_state, in_line)
    elements = tuple(_elements(context, {} if known_wires is None else known_wires))
    return Network(
        position,
        tuple(node.names),
        tuple(element for element in elements if isinstance(element, Branch)),
        tuple(element for element in elements if isinstance(element, DiodeBranch)),
        source,
        reference,
        _is_live(harness, position),
        tuple(element for element in elements if isinstance(element, CurveBranch)),
        tuple(element for element in elements if isinstance(element, ConverterBranch)),
        pull_state,
    )


def pull_states(harness: Harness) -> tuple[str, ...]:
    """Return the states to build: PULLING, and HOLDING where a pull winding is cut out.

    A pull winding that nothing cuts out, or of which that is not known, is on in both.
    """
    cut_out = any(coil.cuts_out for coil in harness.of_kind(PullHoldCoil))
    return (PULLING, HOLDING) if cut_out else (PULLING,)


def _elements(context: BranchContext, known_wires: dict[str, Branch]) -> Iterator[Element]:
    for part in context.harness.parts.values():
        yield from part_branches(part, context)
    for wire in context.harness.wires.values():
        ends = (context.node(wire.start), context.node(wire.end))
        known = known_wires.get(wire.name)
        if known is None or (known.start, known.end) != ends:
            known = wire_branch(context.harness, context.library, wire, context.node)
            known_wires[wire.name] = known
        yield known


def _is_live(harness: Harness, position: Position) -> bool:
    # A wire on the battery post itself is live whatever the key does.
    plus = f"{harness.battery.name}.+"
    on_post = any(
        str(end) == plus for wire in harness.wires.values() for end in (wire.start, wire.end)
    )
    return on_post or any(tap_is_live(tap, position.key) for tap in harness.of_kind(SupplyTap))
