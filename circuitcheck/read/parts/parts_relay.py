"""Relay and contactor from their fields and their trade type."""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.model.library_part_rows import RelayRow
from circuitcheck.model.relay import Relay
from circuitcheck.model.solenoid_coil import Suppression
from circuitcheck.model.switch import SwitchRating
from circuitcheck.model.tolerance_band import Band
from circuitcheck.read.forms.fields import Given
from circuitcheck.read.parts.coil_rules import CLASSES
from circuitcheck.read.parts.part_context import (
    PartContext,
    coil_body,
    contact_band,
    else_type,
    plus_terminal,
    where_given,
)
from circuitcheck.read.parts.parts_switch import contact_ratings, least_current
from circuitcheck.read.parts.relay_rules import CONTACTOR_ENDS, RELAY_ENDS, THERMAL
from circuitcheck.read.parts.suppression import read_suppression
from circuitcheck.read.zones import range_text, union
from circuitcheck.units import text

COIL_AT_C = 20.0


def build_relay(given: Given, context: PartContext) -> Relay | None:
    """Return a plug-in relay; None after reporting what is missing."""
    return _build(given, context, "relay", RELAY_ENDS)


def build_contactor(given: Given, context: PartContext) -> Relay | None:
    """Return a contactor; None after reporting what is missing."""
    return _build(given, context, "contactor", CONTACTOR_ENDS)


def _build(given: Given, context: PartContext, kind: str, ends: tuple[str, str]) -> Relay | None:
    row = given.optional("type", RelayRow)
    missing = list(_missing(given, row, kind))
    for key, right in missing:
        given.place.problem(f"{key} is missing", right)
    if missing:
        return None
    if given.is_unknown("type"):
        given.assume("type", "winding: all of the library of this voltage; the rest not judged")
    contacts = _contacts(given, row, kind)
    body_frame, body_ohm = coil_body(given)
    rated_v = _rated(given, row, context)
    suppression, plus = _suppression(given, row, ends)
    return Relay(
        name=given.subject,
        zone=context.zone,
        kind=kind,
        rated_v=rated_v,
        resistance_20c_ohm=_resistance(given, row, context, kind, rated_v),
        pull_in_v=else_type(given, "pull_in", float, row.pull_in_v if row else None),
        drop_out_v=else_type(given, "drop_out", float, row.drop_out_v if row else None),
        highest_v=else_type(given, "highest", float, row.highest_v if row else None),
        coil_at_c=_coil_at(given, row),
        temperature_limit_c=_temperature_limit(given),
        thermal_resistance_k_per_w=_thermal(given, row),
        contacts=contacts,
        make_ohm=_side_ohm(given, "make", row) if contacts != "break" else None,
        break_ohm=_side_ohm(given, "break", row) if contacts != "make" else None,
        ratings=_side_ratings(given, "make", row) if contacts != "break" else (),
        break_ratings=_side_ratings(given, "break", row) if contacts != "make" else (),
        making_limit_a=_making_limit(given, "make", row) if contacts != "break" else None,
        break_making_limit_a=_making_limit(given, "break", row) if contacts != "make" else None,
        least_current_a=least_current(given, row.least_current_a if row else None, row is not None),
        suppression=suppression,
        plus=plus,
        body_frame=body_frame,
        body_ohm=body_ohm,
        operate_s=where_given(given, "operate_time", Band, "usual for its kind"),
        release_s=where_given(given, "release_time", Band, "usual for its kind"),
    )


def _missing(given: Given, row: RelayRow | None, kind: str) -> Iterator[tuple[str, str]]:
    if row is None and not {"resistance", "type"} & set(given.values):
        yield (
            "resistance",
            'Give the type of a library row, or resistance = "85 ohm", or "unknown".',
        )
    if kind == "relay" and not {"contacts", "type"} & set(given.values):
        yield (
            "contacts",
            'Give contacts = "make", "break" or "changeover", or "unknown".',
        )
    if row is not None and row.body_is_return and "body" not in given.values:
        yield (
            "body",
            'The coil of this type returns through its body: body = { frame = "CHASSIS" }.',
        )


def _rated(given: Given, row: RelayRow | None, context: PartContext) -> float:
    if row is not None and not given.is_unknown("rated"):
        return given.value("rated", float, row.rated_v)
    return given.settled("rated", float, context.system_v, text(context.system_v, "V"))


def _resistance(
    given: Given, row: RelayRow | None, context: PartContext, kind: str, rated_v: float
) -> Band:
    if row is not None and not given.is_unknown("resistance"):
        return given.value("resistance", Band, row.resistance_20c_ohm)
    of_library = context.library.relays.values()
    like = [r for r in of_library if r.kind == kind and r.rated_v == rated_v]
    if not like:
        like = [r for r in of_library if r.kind == kind]
    widest = union([r.resistance_20c_ohm for r in like])
    said = f"{range_text(widest, 'ohm')}, extremes of the library"
    return given.settled("resistance", Band, widest, said)


def _coil_at(given: Given, row: RelayRow | None) -> float:
    usual = row.coil_at_c if row else COIL_AT_C
    return given.usual("coil_at", float, usual, text(usual, "degC"))


def _temperature_limit(given: Given) -> float | None:
    thermal = given.optional("thermal", Given)
    if thermal is None:
        return None
    letter = thermal.optional("class", str)
    return thermal.optional("limit", float) or (CLASSES[letter] if letter else None)


def _thermal(given: Given, row: RelayRow | None) -> Band | None:
    thermal = given.optional("thermal", Given) or THERMAL.empty(given, "thermal")
    return else_type(thermal, "resistance", Band, row.thermal_resistance_k_per_w if row else None)


def _contacts(given: Given, row: RelayRow | None, kind: str) -> str:
    if kind == "contactor":
        return "make"
    if row is not None and not given.is_unknown("contacts"):
        return given.value("contacts", str, row.contacts)
    return given.settled("contacts", str, "changeover", "changeover: a make and a break contact")


def _side_ohm(given: Given, side: str, row: RelayRow | None) -> Band:
    key = f"{side}_resistance"
    of_type = (row.make_ohm if side == "make" else row.break_ohm) if row else None
    if of_type is not None and not given.is_unknown(key):
        return given.value(key, Band, of_type)
    return contact_band(given, key, f"relay {side} contact")


def _side_ratings(given: Given, side: str, row: RelayRow | None) -> tuple[SwitchRating, ...]:
    key = "rating" if side == "make" else "break_rating"
    return contact_ratings(given, key, row.ratings_of(side) if row else None)


def _making_limit(given: Given, side: str, row: RelayRow | None) -> float | None:
    if side == "make":
        return else_type(given, "making_limit", float, row.making_limit_a if row else None)
    return else_type(given, "break_making_limit", float, row.break_making_limit_a if row else None)


def _suppression(
    given: Given, row: RelayRow | None, ends: tuple[str, str]
) -> tuple[Suppression, str | None]:
    """Return what is inside, and the coil terminal that must be positive for it."""
    if row is None or "suppression" in given.values:
        return read_suppression(given, ends), plus_terminal(given)
    if row.suppression == "diode":
        # A diode inside has its ring on the terminal marked positive: 86, as the trade has it.
        return Suppression("diode", cathode=ends[0]), plus_terminal(given) or ends[0]
    found = Suppression(row.suppression, resistance_ohm=row.suppression_ohm)
    return found, plus_terminal(given)
