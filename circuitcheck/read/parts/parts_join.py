"""Connector, splice, ground stud and frame from their fields."""

from __future__ import annotations

from circuitcheck.model.connector import Connector
from circuitcheck.model.ground import Frame, FrameBond, GroundStud
from circuitcheck.model.library_part_rows import SocketRow
from circuitcheck.model.library_rows import ContactRow
from circuitcheck.model.splice import Splice
from circuitcheck.model.terminal import Terminal
from circuitcheck.model.tolerance_band import Band
from circuitcheck.read.forms.fields import Given
from circuitcheck.read.parts.join_rules import CONNECTOR
from circuitcheck.read.parts.part_context import PartContext, contact_band, from_row
from circuitcheck.read.zones import range_text, union

RINGS_ALLOWED = 4
"""Most ring terminals on one stud where the file does not say (ABYC E-11, from memory)."""


def build_connector(given: Given, context: PartContext) -> Connector | None:
    """Return the connector; None after reporting cavities or a contact that cannot be."""
    socket = given.optional("socket", SocketRow)
    cavities = _cavities(given, socket, context)
    if cavities is None:
        return None
    double_crimps = given.value("double_crimps", tuple, ())
    strange = [name for name in double_crimps if int(name.split(".")[1]) > cavities]
    for name in strange:
        given.at("double_crimps").problem(
            f'there is no cavity "{name}"', f"The connector has {cavities} cavities per half."
        )
    if strange:
        return None
    row = given.optional("contact", ContactRow)
    if row is None and socket is not None and not given.is_unknown("contact"):
        row = context.library.contact(socket.contact)
    if row is not None:
        usual = row.resistance_ohm
    else:
        kinds = ("connector", "trailer contact") if socket else ("connector",)
        families = [r for r in context.library.contacts.values() if r.kind in kinds]
        usual = union([r.resistance_ohm for r in families])
        given.assume("contact", f"{range_text(usual, 'ohm')}; rating and wire fit not judged")
    return Connector(
        name=given.subject,
        zone=context.zone,
        cavities=cavities,
        contact=row,
        contact_ohm=from_row(given, "contact_resistance", [usual], "ohm"),
        double_crimps=double_crimps,
        plating=_plating(given, row),
        socket=socket.name if socket else None,
        functions=tuple(cavity.function for cavity in socket.cavities) if socket else (),
        rows=_rows(given, cavities),
    )


def _rows(given: Given, cavities: int) -> int | None:
    """Return the rows of cavities; more rows than cavities are reported."""
    rows = given.optional("rows", int)
    if rows is not None and rows > cavities:
        given.at("rows").problem(
            f"{rows} rows of {cavities} cavities", "Give the rows that its face has."
        )
    return rows


def _cavities(given: Given, socket: SocketRow | None, context: PartContext) -> int | None:
    missing = [key for key in ("cavities", "contact") if key not in given.values]
    if socket is None:
        for key in missing:
            needed = next(field for field in CONNECTOR if field.key == key)
            given.place.problem(
                f"{key} is missing", f"Give {key}: {needed.meaning} ({needed.form.allowed})."
            )
        return None if missing else given.value("cavities", int, 0)
    if socket.system_v != context.system_v:
        given.at("socket").problem(
            f"this is a {socket.system_v:g} V socket", f"The system is {context.system_v:g} V."
        )
        return None
    count = len(socket.cavities)
    if given.value("cavities", int, count) != count:
        given.at("cavities").problem(
            f"{socket.name} has {count} cavities", "Leave `cavities` out, or `socket`."
        )
        return None
    return count


def _plating(given: Given, row: ContactRow | None) -> tuple[str, str] | None:
    stated = given.optional("plating", tuple)
    if stated:
        return str(stated[0]), str(stated[-1])
    if row is not None and not given.is_unknown("plating"):
        return row.plating, row.plating
    given.assume("plating", "not known: not judged")
    return None


def build_splice(given: Given, context: PartContext) -> Splice:
    """Return the splice."""
    return Splice(
        given.subject, context.zone, contact_band(given, "joint_resistance", "crimp splice")
    )


def build_ground_stud(given: Given, context: PartContext) -> GroundStud:
    """Return the ground stud; its frame is looked up when all parts are known."""
    return GroundStud(
        given.subject,
        context.zone,
        given.value("frame", str, ""),
        contact_band(given, "bond", "frame bond"),
        given.value("rings", int, RINGS_ALLOWED),
    )


def build_frame(given: Given, context: PartContext) -> Frame:
    """Return the frame; what it is bonded to is looked up when all parts are known."""
    bonds = [
        _bond(table, context)
        for table in given.value("bonds", tuple, ())
        if isinstance(table, Given)
    ]
    surface = contact_band(given, "surface_resistance", "ring terminal on stud")
    return Frame(given.subject, context.zone, tuple(bonds), surface)


def _bond(table: Given, context: PartContext) -> FrameBond:
    by = table.optional("by", str)
    if by is None:
        table.assume("by", "not known")
    row = context.library.frame_bond(by or "unknown")
    usual = f"{range_text(row.resistance_ohm, 'ohm')} (library frame bond `{row.name}`)"
    band = table.settled("resistance", Band, row.resistance_ohm, usual)
    return FrameBond(str(table.value("to", Terminal, Terminal(""))), band, by or "unknown")
