"""Battery and splice: terminals only; what a wire's end adds there is in the wire's branch."""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.circuit.branches.context import BranchContext
from circuitcheck.circuit.link import Link
from circuitcheck.circuit.netlist import Element
from circuitcheck.model.battery import Battery
from circuitcheck.model.harness import Harness
from circuitcheck.model.splice import Splice


def branches(part: Battery | Splice, context: BranchContext) -> Iterator[Element]:
    """Yield nothing: the part is a single point, or the source itself."""
    yield from ()


def links(part: Battery | Splice, harness: Harness) -> Iterator[Link]:
    """Yield nothing: no metallic path leads through the part."""
    yield from ()
