"""Pull and hold coil: the hold winding always, the pull winding until it is cut out."""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.circuit.branches.context import BranchContext
from circuitcheck.circuit.branches.suppression import suppression_branches
from circuitcheck.circuit.link import Link
from circuitcheck.circuit.netlist import PULLING, Element
from circuitcheck.model.harness import Harness
from circuitcheck.model.pull_hold_coil import PullHoldCoil


def branches(part: PullHoldCoil, context: BranchContext) -> Iterator[Element]:
    """Yield the windings that are on in the state of the context, and what suppresses them."""
    hold, common = context.node(f"{part.name}.hold"), context.node(f"{part.name}.common")
    pull = context.node(f"{part.name}.{part.pull_terminal}")
    limit_c = part.temperature_limit_c
    name = part.name
    yield context.winding(
        f"{name}/hold", name, (hold, common), part.hold_20c_ohm, limit_c, role="hold winding"
    )
    if context.pull_state == PULLING or not part.cuts_out:
        yield context.winding(
            f"{name}/pull", name, (pull, common), part.pull_20c_ohm, limit_c, role="pull winding"
        )
    yield from suppression_branches(part.suppression, name, ("hold", "common"), context)


def links(part: PullHoldCoil, harness: Harness) -> Iterator[Link]:
    """Yield nothing: both windings are loads."""
    yield from ()
