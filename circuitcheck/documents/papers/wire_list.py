"""The wire list: one row per wire, from where to where, of what, how long, and how its ends are."""

from __future__ import annotations

from collections.abc import Container, Mapping

from circuitcheck.documents.papers.listing import (
    LENGTH,
    SMALL,
    Cell,
    Column,
    Listing,
)
from circuitcheck.documents.papers.wire_ends import ends_of
from circuitcheck.model.harness import Harness
from circuitcheck.model.library import Library
from circuitcheck.model.ways import Way, wire_ways
from circuitcheck.model.wire import Wire

COLUMNS = (
    Column("wire", "wire"),
    Column("cable", "cable"),
    Column("from", "from"),
    Column("to", "to"),
    Column("gauge", "gauge"),
    Column("colour", "colour"),
    Column("length", "length", LENGTH),
    Column("cut", "cut", LENGTH),
    Column("insulation", "insulation"),
    Column("material", "material"),
    Column("route", "route"),
    Column("way", "way"),
    Column("from_end", "from end"),
    Column("from_strip", "strip", SMALL),
    Column("from_seal", "seal"),
    Column("to_end", "to end"),
    Column("to_strip", "strip", SMALL),
    Column("to_seal", "seal"),
)
_TABLE = 8
_PRINTED = (
    ("wire", ("wire", "cable")),
    ("from", ("from", "from_end", "from_strip", "from_seal")),
    ("to", ("to", "to_end", "to_strip", "to_seal")),
    ("gauge", ("gauge",)),
    ("colour", ("colour",)),
    ("length", ("length",)),
    ("cut", ("cut",)),
    ("insulation", ("insulation", "material")),
    ("route", ("route", "way")),
)
STRIP = "Strip lengths: usual ones; the crimp's own drawing goes before them."


def wire_list(harness: Harness, library: Library) -> Listing:
    """Return the wire list, wires in the order of the file.

    A wire is cut as long as it lies (its length, or its way through the branches where that is
    longer), and the slack of the file, rounded up to a centimetre.
    """
    unknown = {(a.subject, a.key) for a in harness.assumptions if a.stated_unknown}
    ways = wire_ways(harness) if harness.branches else {}
    rows = tuple(
        _row(harness, library, wire, {key for name, key in unknown if name == wire.name}, ways)
        for wire in harness.wires.values()
    )
    heading = f"{harness.circuit}: wire list, {len(rows)} wires"
    if harness.revision:
        heading += f", revision {harness.revision}"
    return Listing(heading, COLUMNS, rows, (slack_note(harness), STRIP), _TABLE, _PRINTED)


def slack_note(harness: Harness) -> str:
    """Return the sentence that says how much longer than they lie the wires are cut."""
    slack = harness.slack
    said = f"Cut: {slack.share * 100.0:g} % and {slack.each_end_m * 1000.0:g} mm at each end more"
    return f"{said}, as the file says." if slack.stated else f"{said} than it lies: usual slack."


def cut_m(harness: Harness, wire: Wire, way: Way | None) -> float:
    """Return the length to cut a wire, rounded up to a centimetre. [m]"""
    lies_m = wire.length_m.nominal
    if way is not None and way.length_m is not None:
        lies_m = max(lies_m, way.length_m.nominal)
    hundredths = harness.slack.cut_m(lies_m) * 100.0
    return -(-round(hundredths, 6) // 1.0) / 100.0


def _row(
    harness: Harness,
    library: Library,
    wire: Wire,
    unknown: Container[str],
    ways: Mapping[str, Way],
) -> tuple[Cell, ...]:
    first, second = ends_of(wire, harness, library)
    way = ways.get(wire.name)
    known = "length" not in unknown
    return (
        wire.name,
        wire.cable or "",
        str(wire.start),
        str(wire.end),
        "unknown" if "gauge" in unknown else wire.gauge,
        "/".join(wire.colour),
        wire.length_m.nominal if known else None,
        cut_m(harness, wire, way) if known else None,
        wire.insulation.name,
        "unknown" if "material" in unknown else wire.material,
        " > ".join(wire.route),
        " > ".join(way.branches) if way else "",
        first.fitting,
        first.strip_m,
        first.seal,
        second.fitting,
        second.strip_m,
        second.seal,
    )
