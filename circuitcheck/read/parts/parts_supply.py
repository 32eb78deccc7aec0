"""Battery, supply tap and fuse from their fields."""

from __future__ import annotations

from dataclasses import replace

from circuitcheck.model.battery import Battery
from circuitcheck.model.fuse import Fuse
from circuitcheck.model.library import Library
from circuitcheck.model.library_rows import (
    BatteryRow,
    ConductorRow,
    ContactRow,
    FuseRow,
    InsulationRow,
)
from circuitcheck.model.supply_tap import SupplyTap, Upstream
from circuitcheck.model.terminal import Terminal
from circuitcheck.model.tolerance_band import Band
from circuitcheck.read.forms.fields import Given
from circuitcheck.read.forms.quantities import fitting_areas, gauge_row_name
from circuitcheck.read.parts.part_context import PartContext, contact_band, from_row
from circuitcheck.read.zones import range_text, union
from circuitcheck.units import text

UNKNOWN_LENGTH_M = Band(0.1, 5.0, 10.0)
"""Assumed for a wire of unknown length: short for a dead short, long for the voltage drop."""


def build_battery(given: Given, context: PartContext) -> Battery | None:
    """Return the battery; None after reporting a type of the wrong voltage."""
    row = given.optional("type", BatteryRow)
    if row is not None and row.system_v != context.system_v:
        given.at("type").problem(
            f"this is a {row.system_v:g} V battery", f"The system is {context.system_v:g} V."
        )
        return None
    rows = [row] if row else _batteries(context)
    if row is None:
        given.assume("type", f"the extremes of all {context.system_v:g} V batteries of the library")
    most_a = max(row.alternator_a for row in rows)
    return Battery(
        name=given.subject,
        type=row.name if row else "unknown",
        zone=context.zone,
        rated_v=context.system_v,
        open_circuit_v=from_row(given, "open_circuit", [r.open_circuit_v for r in rows], "V"),
        internal_resistance_ohm=from_row(
            given, "internal_resistance", [r.resistance_ohm for r in rows], "ohm"
        ),
        charging_current_a=given.usual("charging_current", float, most_a, text(most_a, "A")),
        post_contact_ohm=contact_band(given, "post_resistance", "battery post clamp"),
    )


def _batteries(context: PartContext) -> list[BatteryRow]:
    rows = context.library.batteries.values()
    return [row for row in rows if row.system_v == context.system_v]


def build_fuse(given: Given, context: PartContext) -> Fuse | None:
    """Return the fuse; None after reporting a rating that its style does not have."""
    style, rating_a = given.value("style", str, ""), given.value("rating", float, 0.0)
    row = context.library.fuses.get(f"{rating_a:g} A {style}")
    if row is None:
        ratings = ", ".join(f"{r:g}" for r in context.library.fuse_ratings(style))
        given.at("rating").problem(
            f"there is no {style} fuse of {text(rating_a, 'A')}", f"Ratings in A: {ratings}."
        )
        return None
    row = replace(
        row,
        voltage_rating_v=_rating(given, "voltage_rating", row.voltage_rating_v, "V"),
        breaking_capacity_a=_rating(given, "breaking_capacity", row.breaking_capacity_a, "A"),
        resistance_ohm=from_row(given, "element_resistance", [row.resistance_ohm], "ohm"),
    )
    clip = contact_band(given, "clip_resistance", row.clip)
    return Fuse(given.subject, context.zone, row, row.resistance_ohm, clip)


def _rating(given: Given, key: str, of_row: float | None, unit: str) -> float | None:
    """Return a rating of the fuse, else that of its row; what neither knows is recorded."""
    if of_row is not None:
        return given.usual(key, float, of_row, text(of_row, unit))
    stated = given.optional(key, float)
    if stated is None:
        given.assume(key, "not known for direct current: not judged")
    return stated


def build_supply_tap(given: Given, context: PartContext) -> SupplyTap | None:
    """Return the tap with its upstream; None after reporting a problem."""
    upstream_given = given.values["upstream"]
    assert isinstance(upstream_given, Given)
    upstream = _upstream(upstream_given, context)
    if upstream is None:
        return None
    feeds = given.optional("also_feeds", tuple)
    if feeds is None:
        given.assume("also_feeds", "not known: what else goes dead with the tap's fuse")
    if upstream_given.values.get("fuse") == "electronic fuse":
        feeds = (*(feeds or ()), "electronic fuse")
    joints = [
        row
        for row in context.library.contacts.values()
        if row.kind in ("connector", "splice", "ring terminal")
    ]
    widest = union([row.resistance_ohm for row in joints])
    row = given.optional("contact", ContactRow)
    if row is None:
        given.assume("contact", f"{range_text(widest, 'ohm')}, any kind of joint")
    contact = row.resistance_ohm if row else widest
    return SupplyTap(given.subject, context.zone, upstream, contact, feeds)


def _upstream(given: Given, context: PartContext) -> Upstream | None:
    conductor = conductor_row(given, context.library)
    if conductor is None:
        return None
    fuse = given.optional("fuse", FuseRow)
    if given.is_unknown("fuse"):
        given.assume("fuse", "no fuse known: what it protects is not judged")
    key = given.settled("key", str, "unknown", "live in every key state")
    contact_ohm, rated_a = _key_contact(given, key, context)
    return Upstream(
        source=_source(given, context),
        fuse=fuse,
        fuse_known=not given.is_unknown("fuse"),
        conductor=conductor,
        insulation=insulation_row(given, context.library),
        length_m=wire_length(given),
        key=key,
        cranking=given.settled("cranking", str, "unknown", "stays live while cranking"),
        present_load_a=_present_load(given),
        key_contact_ohm=contact_ohm,
        key_contact_rated_a=rated_a,
        clip_ohm=contact_band(given, "clip_resistance", fuse.clip if fuse else "fuse clip"),
        zone=_upstream_zone(given, context),
    )


def _source(given: Given, context: PartContext) -> Terminal:
    positive = Terminal(context.battery_name, "+")
    if given.is_unknown("from"):
        given.assume("from", f"{positive}")
    return given.value("from", Terminal, positive)


def _upstream_zone(given: Given, context: PartContext) -> str:
    if given.is_unknown("zone"):
        given.assume("zone", "anywhere: the extremes of all zones")
        return context.anywhere
    zone = given.value("zone", str, context.zone)
    context.check_zone(given.at("zone"), zone)
    return zone


def _present_load(given: Given) -> Band | None:
    load = given.optional("present_load", Band)
    if load is None:
        given.assume("present_load", "not known: the tap's capacity is not judged")
        return None
    # A single figure is the load with everything on; with everything off it is nothing.
    lower = load.lower if load.lower < load.upper else 0.0
    return Band(lower, load.nominal, load.upper)


def _key_contact(given: Given, key: str, context: PartContext) -> tuple[Band, float | None]:
    contact = given.values.get("key_contact")
    row = context.library.contact("switch contact").resistance_ohm
    if contact == "none" or (contact is None and key == "always"):
        return Band.exact(0.0), None
    if isinstance(contact, Given):
        rated_a = contact.optional("rated_current", float)
        if rated_a is None:
            contact.assume("rated_current", "not known: not judged")
        return contact_band(contact, "resistance", "switch contact"), rated_a
    given.assume("key_contact", f"one contact of {range_text(row, 'ohm')}, rating not judged")
    return row, None


def wire_length(given: Given) -> Band:
    """Return a wire's length; unknown is both short and long."""
    assumed = range_text(UNKNOWN_LENGTH_M, "m")
    return given.settled("length", Band, UNKNOWN_LENGTH_M, assumed)


def insulation_row(given: Given, library: Library) -> InsulationRow:
    """Return the insulation class; left out or unknown is the library's lowest."""
    row = library.insulation("unknown")
    return given.settled(
        "insulation", InsulationRow, row, f"insulation for {text(row.temperature_c, 'degC')}"
    )


def conductor_row(given: Given, library: Library) -> ConductorRow | None:
    """Return the conductor; unknown is the one of highest resistance in the library.

    None after reporting that the area standard does not go with the size.
    """
    gauge = given.optional("gauge", str)
    if gauge is None:
        row = max(library.conductors.values(), key=lambda r: r.resistance_ohm_per_m.upper)
        given.assume("gauge", f"{row.name}, the smallest size of the library")
        return row
    fitting = fitting_areas(gauge)
    if given.is_unknown("area"):
        rows = (library.conductors.get(gauge_row_name(gauge, area)) for area in fitting)
        row = max(filter(None, rows), key=lambda r: r.resistance_ohm_per_m.upper)
        given.assume("area", row.name)
        return row
    area = given.value("area", str, fitting[0])
    if area not in fitting:
        given.at("area").problem(
            f"{area} does not size {gauge}", f"For this size: {' or '.join(fitting)}."
        )
        return None
    found = library.conductors.get(gauge_row_name(gauge, area))
    if found is None:
        given.at("area").problem(f"the library has no {gauge} by {area}", "Leave `area` out.")
    return found
