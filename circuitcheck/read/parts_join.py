"""Connector, splice, ground stud and frame from their fields."""

from __future__ import annotations

from circuitcheck.model.connector import Connector
from circuitcheck.model.ground import Frame, FrameBond, GroundStud
from circuitcheck.model.library_rows import ContactRow
from circuitcheck.model.splice import Splice
from circuitcheck.model.terminal import Terminal
from circuitcheck.read.fields import Given
from circuitcheck.read.part_context import PartContext, contact_band, from_row
from circuitcheck.read.zones import range_text, union

RINGS_ALLOWED = 4
"""Most ring terminals on one stud where the file does not say (ABYC E-11, from memory)."""


def build_connector(given: Given, context: PartContext) -> Connector | None:
    """Return the connector; None after reporting a double crimp in a cavity it does not have."""
    cavities = given.value("cavities", int, 0)
    double_crimps = given.value("double_crimps", tuple, ())
    strange = [name for name in double_crimps if int(name.split(".")[1]) > cavities]
    for name in strange:
        given.at("double_crimps").problem(
            f'there is no cavity "{name}"', f"The connector has {cavities} cavities per half."
        )
    if strange:
        return None
    row = given.optional("contact", ContactRow)
    if row is not None:
        usual = row.resistance_ohm
    else:
        families = [r for r in context.library.contacts.values() if r.kind == "connector"]
        usual = union([r.resistance_ohm for r in families])
        given.assume("contact", f"{range_text(usual, 'ohm')}; rating and wire fit not judged")
    band = from_row(given, "contact_resistance", [usual], "ohm")
    return Connector(given.subject, context.zone, cavities, row, band, double_crimps)


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
        FrameBond(
            str(table.value("to", Terminal, Terminal(""))),
            contact_band(table, "resistance", "frame bond"),
        )
        for table in given.value("bonds", tuple, ())
        if isinstance(table, Given)
    ]
    surface = contact_band(given, "surface_resistance", "ring terminal on stud")
    return Frame(given.subject, context.zone, tuple(bonds), surface)
