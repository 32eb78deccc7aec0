"""What is on the end of a wire: contact or terminal, strip length, seal."""

from __future__ import annotations

from circuitcheck.model.battery import Battery
from circuitcheck.model.connector import HALVES, Connector
from circuitcheck.model.fuse import Fuse
from circuitcheck.model.ground import Frame, GroundStud
from circuitcheck.model.harness import Harness
from circuitcheck.model.library import Library
from circuitcheck.model.library_workshop_rows import WireEndRow
from circuitcheck.model.relay import Relay
from circuitcheck.model.splice import Splice
from circuitcheck.model.supply_tap import SupplyTap
from circuitcheck.model.terminal import Terminal
from circuitcheck.model.wire import Wire
from circuitcheck.model.workshop import outside_m, wire_end
from circuitcheck.record import record

RING, SPLICE_ROW, CLIP = "ring terminal on stud", "crimp splice", "fuse clip"
NO_SEAL_FITS = "no seal of the library fits"


@record
class End:
    """One end of a wire in words; `strip_m` is None where no row says how long. [m]

    `fitting` is what is crimped on, `row` the library row by which it is made.
    """

    terminal: Terminal
    fitting: str
    strip_m: float | None
    seal: str
    row: WireEndRow | None

    @property
    def part(self) -> str:
        """Name of the part it lands on."""
        return self.terminal.part

    @property
    def place(self) -> str:
        """Terminal or cavity on the part: `plug.2`, `line`; empty where there is one alone."""
        return self.terminal.name


def ends_of(wire: Wire, harness: Harness, library: Library) -> tuple[End, End]:
    """Return both ends of a wire."""
    return _end(wire, wire.start, harness, library), _end(wire, wire.end, harness, library)


def _end(wire: Wire, terminal: Terminal, harness: Harness, library: Library) -> End:
    contact = contact_at(terminal, harness)
    row = wire_end(contact, wire, library) if contact else None
    return End(
        terminal,
        fitting_at(terminal, harness),
        row.strip_m if row else None,
        _seal(row, wire, library),
        row,
    )


def _seal(row: WireEndRow | None, wire: Wire, library: Library) -> str:
    """Return what seals the end, and whether its range takes the wire."""
    if row is None or not row.seal:
        return ""
    if row.seal_lower_m is None or row.seal_upper_m is None:
        return row.seal
    said = f"{row.seal} {row.seal_lower_m * 1000.0:g} to {row.seal_upper_m * 1000.0:g} mm"
    size = outside_m(wire, library)
    fits = size is None or row.seal_lower_m <= size <= row.seal_upper_m
    return said if fits else f"{said}: {NO_SEAL_FITS}"


def contact_at(terminal: Terminal, harness: Harness) -> str:
    """Return the contact family on a terminal, as the library names it; empty where unknown."""
    part = harness.parts.get(terminal.part)
    if isinstance(part, Connector):
        return part.contact.name if part.contact else ""
    # A ring goes on the bolt of a post's clamp: the add-on never takes the clamp's place.
    if isinstance(part, GroundStud | Frame | Battery):
        return RING
    if isinstance(part, Splice):
        return SPLICE_ROW
    return CLIP if isinstance(part, Fuse) else ""


def fitting_at(terminal: Terminal, harness: Harness) -> str:
    """Return what is crimped on the end of a wire that lands on this terminal."""
    part = harness.parts.get(terminal.part)
    if isinstance(part, Connector):
        return _contact(part, terminal)
    if isinstance(part, Relay):
        return f"{part.kind} terminal {terminal.name}"
    if isinstance(part, GroundStud | Frame | Battery):
        return "ring terminal"
    if isinstance(part, Splice):
        return "splice"
    if isinstance(part, SupplyTap):
        return "tap"
    return f"{part.kind} terminal" if part else "unknown"


def _contact(part: Connector, terminal: Terminal) -> str:
    """Return contact family, half and plating, and what a socket's plan has the cavity for."""
    half, _, cavity = terminal.name.partition(".")
    said = f"{part.contact.name if part.contact else 'contact unknown'}, {half}"
    if part.plating is not None:
        said += f", {part.plating[HALVES.index(half)]}"
    function = part.function(int(cavity))
    return f"{said} ({part.socket} cavity {cavity}: {function})" if function else said
