"""What a part's branches are built from besides the part: harness, library, position, nodes."""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property

from circuitcheck.circuit.netlist import Branch
from circuitcheck.circuit.positions import Position
from circuitcheck.model.harness import Harness
from circuitcheck.model.library import Library
from circuitcheck.model.tolerance_band import Band
from circuitcheck.record import record

NONE = Band.exact(0.0)


@record
class BranchContext:
    """One network under way. `node` numbers a terminal or inner node by its text.

    `reference` is the node of battery minus, `pull_state` PULLING or HOLDING.
    `in_line` names the resistors that stand before a load.
    """

    harness: Harness
    library: Library
    position: Position
    node: Callable[[object], int]
    reference: int
    pull_state: str
    in_line: frozenset[str] = frozenset()

    @cached_property
    def landed(self) -> frozenset[str]:
        """Terminals on which a wire lands."""
        return frozenset(str(end) for w in self.harness.wires.values() for end in (w.start, w.end))

    def contact(
        self, name: str, role: str, owner: str, ends: tuple[int, int], resistance_ohm: Band
    ) -> Branch:
        """Return a branch whose resistance does not follow temperature, in its owner's air."""
        zone = self.harness.zone_of(self.harness.parts[owner].zone)
        return Branch(name, owner, role, *ends, NONE, resistance_ohm, zone.ambient_c, (zone.name,))

    def winding(
        self,
        name: str,
        owner: str,
        ends: tuple[int, int],
        resistance_20c_ohm: Band,
        hottest_c: float | None,
        role: str = "coil",
    ) -> Branch:
        """Return a coil winding: copper that follows temperature and heats by its own power."""
        zone = self.harness.zone_of(self.harness.parts[owner].zone)
        return Branch(
            name,
            owner,
            role,
            *ends,
            resistance_20c_ohm,
            NONE,
            zone.ambient_c,
            (zone.name,),
            heating_k_per_a2=None,
            hottest_c=hottest_c,
        )
