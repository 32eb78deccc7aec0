"""Which fuses stand ahead of a terminal, and in words what air makes of a fuse.

Shared ground of the checks on fuses; it judges nothing itself. A fuse stands ahead of a terminal
when battery plus does not reach the terminal once that fuse is out, every contact taken as closed.
"""

from __future__ import annotations

from collections.abc import Mapping

from circuitcheck.checks.finding import Term, Working
from circuitcheck.circuit.topology import reach, read_topology
from circuitcheck.model.fuse import Fuse
from circuitcheck.model.harness import Harness
from circuitcheck.model.library import FuseRow
from circuitcheck.model.supply_tap import SupplyTap
from circuitcheck.model.tolerance_band import Band
from circuitcheck.record import record
from circuitcheck.units import text


@record
class FittedFuse:
    """A fuse of the add-on, or the machine's own before a tap (`owner` is the tap).

    `row` is None where the file does not know the machine's fuse.
    """

    owner: str
    branch: str
    row: FuseRow | None
    ambient_c: Band
    inline: bool

    @property
    def words(self) -> str:
        """How it is named to people."""
        size = f"{self.row.rating_a:g} A" if self.row else "unknown"
        return f"{self.owner} ({size})" if self.inline else f"the machine's fuse ({size})"


@record
class FusesAhead:
    """All fuses of a harness; `reached_without` holds what battery plus reaches without each."""

    fuses: Mapping[str, FittedFuse]
    reached_without: Mapping[str, frozenset[str]]

    def of(self, terminal: str) -> tuple[FittedFuse, ...]:
        """Return the fuses ahead of a terminal, the unknown one of a tap included."""
        return tuple(
            fuse
            for owner, fuse in self.fuses.items()
            if terminal not in self.reached_without[owner]
        )

    def of_wire(self, harness: Harness, wire: str) -> tuple[FittedFuse, ...]:
        """Return the fuses ahead of a wire; `TAP/wire` is the machine's, behind its own fuse."""
        if wire in harness.wires:
            return self.of(str(harness.wires[wire].start))
        return self.of(wire.removesuffix("/wire"))


def read_fuses_ahead(harness: Harness) -> FusesAhead:
    """Return the fuses of a harness and what lies behind each."""
    fuses: dict[str, FittedFuse] = {}
    for part in harness.parts.values():
        if isinstance(part, Fuse):
            air = harness.zone_of(part.zone).ambient_c
            fuses[part.name] = FittedFuse(part.name, part.name, part.row, air, True)
        elif isinstance(part, SupplyTap) and (part.upstream.fuse or not part.upstream.fuse_known):
            # Nobody says in which of the two zones the fuse box sits.
            boxes = [harness.zone_of(zone).ambient_c for zone in (part.zone, part.upstream.zone)]
            air = Band(
                min(box.lower for box in boxes),
                boxes[0].nominal,
                max(box.upper for box in boxes),
            )
            row = part.upstream.fuse
            fuses[part.name] = FittedFuse(part.name, f"{part.name}/fuse", row, air, False)
    links, battery = read_topology(harness).links, harness.battery.name
    without = {
        owner: reach(
            (link for link in links if link.owner != owner), f"{battery}.+", stop=f"{battery}.-"
        )
        for owner in fuses
    }
    return FusesAhead(fuses, without)


def air_words(fuse: FittedFuse, air_c: float, worth_a: float) -> str:
    """Return in words what air makes of a fuse, e.g. `F1 in air of 45 degC: worth 4.86 A`."""
    return f"{fuse.words} in air of {air_c:g} degC: worth {text(worth_a, 'A')}"


def worth_working(
    row: FuseRow, air_c: float, worth_a: float, share: float, result: Term
) -> Working:
    """Return how much of a fuse counts: rating, re-rated for its air, times a share of it."""
    terms = (
        Term("s", share, "1", "share of it that counts"),
        Term("I_n", row.rating_a, "A", "rated current of the fuse"),
        Term("f", worth_a / row.rating_a, "1", f"re-rating factor in air of {air_c:g} degC"),
    )
    return Working("s * I_n * f", terms, result)
