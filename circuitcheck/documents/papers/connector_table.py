"""The connector table: every cavity of every half, with its wire or how it is closed."""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.documents.papers.listing import SMALL, Cell, Column, Listing
from circuitcheck.documents.papers.wire_ends import ends_of
from circuitcheck.model.connector import HALVES, Connector
from circuitcheck.model.harness import Harness
from circuitcheck.model.library import Library
from circuitcheck.model.terminal import Terminal
from circuitcheck.model.wire import Wire

COLUMNS = (
    Column("connector", "connector"),
    Column("half", "half"),
    Column("cavity", "cavity"),
    Column("wire", "wire"),
    Column("colour", "colour"),
    Column("gauge", "gauge"),
    Column("goes_to", "goes to"),
    Column("contact", "contact"),
    Column("strip", "strip", SMALL),
    Column("seal", "seal"),
    Column("function", "function"),
    Column("zone", "zone"),
)
_PRINTED = (
    ("connector", ("connector", "half")),
    ("cavity", ("cavity",)),
    ("wire", ("wire",)),
    ("colour", ("colour",)),
    ("gauge", ("gauge",)),
    ("goes to", ("goes_to",)),
    ("contact", ("contact", "strip", "seal")),
    ("function", ("function",)),
    ("zone", ("zone",)),
)
SEALING_PLUG, EMPTY = "sealing plug", "empty"
NUMBERS = "Cavities by the numbers moulded on the connector, each half from its wire side."


def connector_table(harness: Harness, library: Library) -> Listing:
    """Return the connector table, connectors in the order of the file."""
    rows = [
        row
        for connector in harness.of_kind(Connector)
        for half in HALVES
        for cavity in range(1, connector.cavities + 1)
        for row in _rows(harness, library, connector, half, cavity)
    ]
    count = len(harness.of_kind(Connector))
    counted = "1 connector" if count == 1 else f"{count} connectors"
    heading = f"{harness.circuit}: connector table, {counted}"
    notes = (NUMBERS,) if rows else ("The harness has no connector.",)
    return Listing(heading, COLUMNS, tuple(rows), notes, printed=_PRINTED)


def is_sealed(connector: Connector) -> bool:
    """Return whether empty cavities of a connector have to be closed."""
    return connector.contact is not None and bool(connector.contact.sealed)


def wires_in_cavity(harness: Harness, connector: Connector, half: str, cavity: int) -> list[Wire]:
    """Return the wires in one cavity."""
    terminal = Terminal(connector.name, f"{half}.{cavity}")
    return [wire for wire in harness.wires.values() if terminal in (wire.start, wire.end)]


def _rows(
    harness: Harness, library: Library, connector: Connector, half: str, cavity: int
) -> Iterator[tuple[Cell, ...]]:
    wires = wires_in_cavity(harness, connector, half, cavity)
    family = connector.contact.name if connector.contact else "unknown"
    what = connector.function(cavity)
    begins = (connector.name, half, str(cavity))
    if not wires:
        closed = SEALING_PLUG if is_sealed(connector) else EMPTY
        yield (*begins, f"({closed})", "", "", "", "", None, "", what, connector.zone)
    for wire in wires:
        ends = ends_of(wire, harness, library)
        here = ends[0] if str(ends[0].terminal) == f"{connector.name}.{half}.{cavity}" else ends[1]
        other = ends[1] if here is ends[0] else ends[0]
        yield (
            *begins,
            wire.name,
            "/".join(wire.colour),
            wire.gauge,
            str(other.terminal),
            family,
            here.strip_m,
            here.seal,
            what,
            connector.zone,
        )
