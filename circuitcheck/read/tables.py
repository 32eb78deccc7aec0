"""The tables of a harness file, each read by the rules of its kind; nothing is built yet."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from circuitcheck.read.branch_rules import BRANCH
from circuitcheck.read.field_rules import CABLE, CORE, TABLES, TOP, WIRE, ZONE
from circuitcheck.read.forms.fields import Field, Given, read_fields
from circuitcheck.read.forms.forms import NAME, NAME_RULE
from circuitcheck.read.forms.printable import printable, shown
from circuitcheck.read.parts.part_rules import PART_FIELDS
from circuitcheck.read.reading import Place, Reading
from circuitcheck.read.zones import ANYWHERE
from circuitcheck.record import record

MOST_TABLES = 3_000
_EXAMPLES = {"part": "F1", "wire": "W1", "cable": "C1", "zone": "cab", "branch": "B1"}


@record
class WireGiven:
    """The fields of one wire: its own, and those it shares with its cable."""

    name: str
    own: Given
    shared: Given
    cable: str | None = None
    cores: int = 1

    @property
    def broken(self) -> bool:
        """Whether any of its fields was refused."""
        return self.own.broken or self.shared.broken


PartGiven = tuple[str, Given]
"""Kind and fields of one part."""


def top_fields(reading: Reading) -> Given:
    """Return the keys above all tables."""
    tables = reading.source.tables
    plain = {key: value for key, value in tables.items() if key not in TABLES}
    return read_fields(plain, TOP, Place(reading, ()), "", others=TABLES)


def single_table(reading: Reading, table: str, fields: tuple[Field, ...]) -> Given:
    """Return the fields of a table that stands once, such as [use]; empty where it is absent."""
    place = Place(reading, (table,))
    value = reading.source.tables.get(table, {})
    if not isinstance(value, dict):
        place.problem(f"got {shown(value)}", f"Write it as a table: [{table}].")
        value = {}
    return read_fields(value, fields, place, table)


def named_tables(reading: Reading, table: str) -> Iterator[tuple[str, Mapping[str, object], Place]]:
    """Yield name, content and place of each [table.NAME]; what is none is reported."""
    place = Place(reading, (table,))
    value = reading.source.tables.get(table, {})
    like = f"[{table}.{_EXAMPLES[table]}]"
    if not isinstance(value, dict):
        place.problem(f"got {shown(value)}", f"Give each {table} its own table: {like}.")
        return
    if len(value) > MOST_TABLES:
        place.problem(f"{len(value)} of them", f"At most {MOST_TABLES} are read.")
        return
    for name, fields in value.items():
        at = place.inside(name)
        if not NAME.fullmatch(name):
            at.problem(f"got the name {shown(name)}", NAME_RULE)
        elif not isinstance(fields, dict):
            at.problem(f"got {shown(fields)}", f"Give each {table} its own table: {like}.")
        else:
            yield name, fields, at


def zone_tables(reading: Reading) -> dict[str, Given]:
    """Return the fields of each zone."""
    zones = {}
    for name, fields, at in named_tables(reading, "zone"):
        if name == ANYWHERE:
            at.problem("this name is taken", "It stands for parts whose place is not known.")
        else:
            zones[name] = read_fields(fields, ZONE, at, f"zone {name}")
    return zones


def branch_tables(reading: Reading) -> dict[str, Given]:
    """Return the fields of each branch."""
    return {
        name: read_fields(fields, BRANCH, at, f"branch {name}")
        for name, fields, at in named_tables(reading, "branch")
    }


def part_tables(reading: Reading) -> dict[str, PartGiven | None]:
    """Return kind and fields of each part; None for a part of no known kind."""
    return {name: _part(name, fields, at) for name, fields, at in named_tables(reading, "part")}


def _part(name: str, fields: Mapping[str, object], at: Place) -> PartGiven | None:
    kind = fields.get("kind")
    known = f"Kinds: {', '.join(PART_FIELDS)}."
    if isinstance(kind, str) and kind in PART_FIELDS:
        rest = {key: value for key, value in fields.items() if key != "kind"}
        return kind, read_fields(rest, PART_FIELDS[kind], at, name)
    if "kind" not in fields:
        at.problem("kind is missing", known)
    else:
        hint = at.hint(kind, PART_FIELDS) if isinstance(kind, str) else ""
        at.inside("kind").problem(f"got {shown(kind)}", hint or known)
    return None


def wire_tables(reading: Reading) -> list[WireGiven]:
    """Return the fields of each wire and of each core of each cable."""
    wires = []
    for name, fields, at in named_tables(reading, "wire"):
        given = read_fields(fields, WIRE, at, name)
        wires.append(WireGiven(name, given, given))
    for name, fields, at in named_tables(reading, "cable"):
        wires += _cores(name, fields, at)
    return wires


def _cores(cable: str, fields: Mapping[str, object], at: Place) -> list[WireGiven]:
    shared = read_fields(fields, CABLE, at, cable)
    cores = shared.values.get("cores")
    named: list[tuple[str, str | int, object]] = []
    if isinstance(cores, dict):
        named = [(str(key), key, value) for key, value in cores.items()]
    elif isinstance(cores, list):
        named = [(str(i + 1), i, value) for i, value in enumerate(cores)]
    wires = []
    for core, key, value in named:
        name, place = f"{cable}-{core}", at.inside("cores").inside(key)
        if not NAME.fullmatch(f"a{core}"):
            place.problem(f"got the name {shown(core)}", "Letters, digits, `_` and `-` only.")
        elif not isinstance(value, dict):
            place.problem(
                f"got {shown(value)}",
                'Give a table, for example { from = "X1.plug.1", to = "VL.1", colour = "BN" }.',
            )
        else:
            own = read_fields(value, CORE, place, name)
            wires.append(WireGiven(name, own, shared, cable, len(named)))
    return wires


def refuse_shared_names(parts: Mapping[str, object], wires: list[WireGiven]) -> None:
    """Report a wire or core that bears the name of a part or of another wire."""
    taken = set(parts)
    for wire in wires:
        if wire.name in taken:
            wire.own.place.problem(
                f'the name "{printable(wire.name)}" is taken',
                "Give each part and wire its own name.",
            )
        taken.add(wire.name)
