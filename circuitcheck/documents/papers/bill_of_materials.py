"""The bill of materials: what has to be bought to build the add-on, and where it goes.

The machine's own battery, tap and frames are not in it.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator

from circuitcheck.documents.papers.bought_parts import Item, parts_bought
from circuitcheck.documents.papers.connector_table import is_sealed, wires_in_cavity
from circuitcheck.documents.papers.listing import COUNT, LENGTH, Cell, Column, Listing
from circuitcheck.documents.papers.wire_ends import RING, SPLICE_ROW, contact_at
from circuitcheck.documents.papers.wire_list import cut_m, slack_note
from circuitcheck.model.connector import HALVES, Connector
from circuitcheck.model.harness import Harness
from circuitcheck.model.library import Library
from circuitcheck.model.library_workshop_rows import WireEndRow
from circuitcheck.model.terminal import Terminal
from circuitcheck.model.ways import wire_ways
from circuitcheck.model.wire import Wire
from circuitcheck.model.workshop import wire_end

COLUMNS = (
    Column("group", "group"),
    Column("item", "item"),
    Column("pieces", "pieces", COUNT),
    Column("length", "length", LENGTH),
    Column("for", "for"),
)
WASTE = 0.10
"""Wire and covering bought beyond what is cut: common practice, no source."""
SPARE = (
    "Wire and coverings with 10 % for waste (common practice). Contacts and seals as counted: buy "
    "a few more, a crimp that fails is cut off."
)
GROMMET_SEAL = "grommet"
"""A grommet comes with its connector; all other seals are bought one by one."""
_MOST_NAMED = 8


def bill_of_materials(harness: Harness, library: Library) -> Listing:
    """Return the bill of materials, by group."""
    items = [
        *_wires(harness),
        *_contacts(harness, library),
        *_connectors(harness),
        *parts_bought(harness),
        *_fitted(harness),
        Item("labels", "wire label", tuple(harness.wires), pieces=2 * len(harness.wires)),
    ]
    groups = list(dict.fromkeys(item.group for item in items))
    items.sort(key=lambda item: groups.index(item.group))
    rows = tuple(_row(item) for item in items)
    notes = [SPARE, slack_note(harness)]
    unknown = _unknown_lengths(harness)
    if unknown:
        notes.append(f"Length not known, so not counted: {', '.join(unknown)}.")
    if not harness.branches:
        notes.append("Coverings, clips and grommets are counted where the file has branches.")
    heading = f"{harness.circuit}: bill of materials"
    return Listing(heading, COLUMNS, rows, tuple(notes), table=4)


def _row(item: Item) -> tuple[Cell, ...]:
    names = list(dict.fromkeys(item.where))
    shown = names[:_MOST_NAMED]
    more = f" and {len(names) - len(shown)} more" if len(names) > len(shown) else ""
    # Nothing known of a length is no length of nothing.
    length: Cell = "" if item.length_m is None else (item.length_m or None)
    pieces = "" if item.pieces is None else item.pieces
    return (item.group, item.what, pieces, length, ", ".join(shown) + more)


def _unknown_lengths(harness: Harness) -> list[str]:
    unknown = {a.subject for a in harness.assumptions if a.key == "length" and a.stated_unknown}
    return [wire.name for wire in harness.wires.values() if {wire.name, wire.cable or ""} & unknown]


def _bought_m(length_m: float) -> float:
    """Return a length to buy, with its waste, rounded up to a decimetre. [m]"""
    return math.ceil(round(length_m * (1.0 + WASTE) * 10.0, 6)) / 10.0


def _wires(harness: Harness) -> Iterator[Item]:
    """Yield single wires by size, colour, insulation and metal, and each jacketed cable."""
    ways = wire_ways(harness) if harness.branches else {}
    unknown = set(_unknown_lengths(harness))
    lengths: dict[tuple[str, str], float] = {}
    where: dict[tuple[str, str], list[str]] = {}
    for wire in harness.wires.values():
        if wire.cable is not None:
            continue
        key = ("wire", _wire_words(wire))
        known = wire.name not in unknown
        cut = cut_m(harness, wire, ways.get(wire.name)) if known else 0.0
        lengths[key] = lengths.get(key, 0.0) + cut
        where.setdefault(key, []).append(wire.name)
    for (group, what), length_m in lengths.items():
        yield Item(group, what, tuple(where[group, what]), length_m=_bought_m(length_m))
    for cable, cores in _cables(harness).items():
        first = cores[0]
        cut = 0.0 if first.name in unknown else cut_m(harness, first, ways.get(first.name))
        colours = ", ".join("/".join(core.colour) or "?" for core in cores)
        what = f"cable {len(cores)} x {first.gauge}, {first.insulation.name} ({colours})"
        yield Item("wire", what, (cable,), length_m=_bought_m(cut))


def _wire_words(wire: Wire) -> str:
    colour = "/".join(wire.colour) or "any colour"
    metal = "" if wire.material == "copper" else f", {wire.material}"
    insulation = wire.insulation.name
    named = "insulation unknown" if insulation == "unknown" else insulation
    return f"{wire.gauge}, {colour}, {named}{metal}"


def _cables(harness: Harness) -> dict[str, list[Wire]]:
    cables: dict[str, list[Wire]] = {}
    for wire in harness.wires.values():
        if wire.cable is not None:
            cables.setdefault(wire.cable, []).append(wire)
    return cables


def _contacts(harness: Harness, library: Library) -> Iterator[Item]:
    """Yield contacts, ring terminals and splices by family and wire size, then their seals."""
    where: dict[tuple[str, str], list[str]] = {}
    seals: dict[str, list[str]] = {}
    crimped: set[str] = set()
    for wire in harness.wires.values():
        for terminal in (wire.start, wire.end):
            family = contact_at(terminal, harness)
            once = family == SPLICE_ROW or _is_cavity(harness, terminal.part)
            if not family or (once and str(terminal) in crimped):
                continue
            crimped.add(str(terminal))
            row = wire_end(family, wire, library)
            where.setdefault(_fitting(family, terminal, row, wire), []).append(str(terminal))
            if row is not None and row.seal and not row.seal.startswith(GROMMET_SEAL):
                seals.setdefault(_seal(row), []).append(str(terminal))
    for (group, what), places in where.items():
        yield Item(group, what, tuple(places), pieces=len(places))
    for seal, places in seals.items():
        yield Item("seals", seal, tuple(places), pieces=len(places))


def _fitting(
    family: str, terminal: Terminal, row: WireEndRow | None, wire: Wire
) -> tuple[str, str]:
    """Return group and words of what is crimped on one end."""
    half = terminal.name.partition(".")[0]
    kind = f", {half}" if half in HALVES else ""
    size = f", to {row.area_upper_mm2:g} mm2" if row else f", {wire.gauge}"
    group = {RING: "ring terminals", SPLICE_ROW: "splices"}.get(family, "contacts")
    return group, f"{family}{kind}{size}"


def _seal(row: WireEndRow) -> str:
    if row.seal_lower_m is None or row.seal_upper_m is None:
        return row.seal
    return f"{row.seal}, {row.seal_lower_m * 1e3:g} to {row.seal_upper_m * 1e3:g} mm"


def _is_cavity(harness: Harness, part: str) -> bool:
    return isinstance(harness.parts.get(part), Connector)


def _connectors(harness: Harness) -> Iterator[Item]:
    plugs: Counter[str] = Counter()
    where: dict[str, list[str]] = {}
    for connector in harness.of_kind(Connector):
        for half in HALVES:
            family = connector.contact.name if connector.contact else "contacts not known"
            kind = connector.socket or f"{connector.cavities} cavities, {family}"
            yield Item("connectors", f"{half}, {kind}", (connector.name,), pieces=1)
            spare = [
                cavity
                for cavity in range(1, connector.cavities + 1)
                if not wires_in_cavity(harness, connector, half, cavity)
            ]
            if is_sealed(connector) and spare:
                plugs[family] += len(spare)
                where.setdefault(family, []).append(f"{connector.name}.{half}")
    for family, count in plugs.items():
        yield Item("seals", f"sealing plug, {family}", tuple(where[family]), pieces=count)


def _fitted(harness: Harness) -> Iterator[Item]:
    """Yield coverings by kind and size, clips and grommets of the branches."""
    lengths: dict[str, float] = {}
    where: dict[str, list[str]] = {}
    clips: list[str] = []
    for branch in harness.branches.values():
        covering = branch.covering
        if covering is not None and covering.kind != "none" and branch.length_m is not None:
            size = "" if covering.size_m is None else f", {covering.size_m * 1e3:g} mm inside"
            what = f"{covering.kind}{size}"
            lengths[what] = lengths.get(what, 0.0) + branch.length_m.nominal
            where.setdefault(what, []).append(branch.name)
        clips += [branch.name] * len(branch.clip_places_m)
    for what, length_m in lengths.items():
        yield Item("coverings", what, tuple(where[what]), length_m=_bought_m(length_m))
    if clips:
        yield Item("clips", "clip for the bundle", tuple(clips), pieces=len(clips))
    for branch in harness.branches.values():
        for grommet in branch.grommets:
            hole = "" if grommet.hole_m is None else f" for a hole of {grommet.hole_m * 1e3:g} mm"
            yield Item("grommets", f"grommet{hole}", (grommet.panel,), pieces=1)
