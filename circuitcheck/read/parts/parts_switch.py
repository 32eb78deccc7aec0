"""Switch handle, plain switch and isolator from their fields."""

from __future__ import annotations

import math

from circuitcheck.model.library_part_rows import ContactRatingRow, SwitchRow
from circuitcheck.model.switch import Interlock, SwitchContact, SwitchHandle, SwitchRating
from circuitcheck.model.tolerance_band import Band
from circuitcheck.read.forms.fields import Given
from circuitcheck.read.parts.part_context import PartContext, contact_band


def build_switch_handle(given: Given, context: PartContext) -> SwitchHandle | None:
    """Return the handle; None after reporting a contact or interlock that cannot be."""
    tables = _tables(given, "contacts")
    contacts = [_contact(table) for table in tables]
    found = [contact for contact in contacts if contact is not None]
    interlocks = _interlocks(given, {contact.button for contact in found})
    if len(found) < len(contacts) or interlocks is None:
        return None
    ratings, least_a, band = _of_type(given)
    return SwitchHandle(
        given.subject,
        context.zone,
        tuple(found),
        interlocks,
        ratings,
        band,
        least_current_a=least_a,
    )


def build_switch(given: Given, context: PartContext) -> SwitchHandle:
    """Return a plain switch: one contact between `line` and `load`; its button is its name."""
    closed = given.value("rest", str, "open") == "closed"
    contact = SwitchContact(given.subject, _action(given), ("line", "load"), closed)
    ratings, least_a, band = _of_type(given)
    return SwitchHandle(
        given.subject, context.zone, (contact,), (), ratings, band, "switch", least_a
    )


def build_isolator(given: Given, context: PartContext) -> SwitchHandle:
    """Return an isolator: one contact between `1` and `2`, closed until it is turned off."""
    contact = SwitchContact(f"{given.subject} off", "maintained", ("1", "2"), normally_closed=True)
    ratings, least_a, band = _of_type(given)
    return SwitchHandle(
        given.subject, context.zone, (contact,), (), ratings, band, "isolator", least_a
    )


def _tables(given: Given, key: str) -> list[Given]:
    return [item for item in given.value(key, tuple, ()) if isinstance(item, Given)]


def _action(given: Given) -> str:
    return given.settled("action", str, "maintained", "maintained: stays on")


def _contact(given: Given) -> SwitchContact | None:
    closes, opens = given.has("closes"), given.has("opens")
    if closes == opens:
        wrong = "both closes and opens are given" if closes else "neither closes nor opens is given"
        given.place.problem(wrong, 'Give one of them, for example closes = ["feed", "out_left"].')
        return None
    pair = given.value("closes" if closes else "opens", tuple, ())
    if pair[0] == pair[1]:
        given.place.problem(f'the contact joins "{pair[0]}" to itself', "Give two terminals.")
        return None
    button = given.value("button", str, "")
    return SwitchContact(button, _action(given), (str(pair[0]), str(pair[1])), opens)


def _interlocks(given: Given, buttons: set[str]) -> tuple[Interlock, ...] | None:
    interlocks = []
    good = True
    for table in _tables(given, "interlock"):
        between = table.value("between", tuple, ())
        for strange in [button for button in between if button not in buttons]:
            table.at("between").problem(
                f'no contact has the button "{strange}"',
                table.place.hint(strange, buttons) or f"Buttons: {', '.join(sorted(buttons))}.",
            )
            good = False
        kind = table.settled("kind", str, "none", "none: the buttons can be on together")
        interlocks.append(Interlock(kind, between))
    if len(buttons) > 1 and not given.has("interlock"):
        given.assume("interlock", "none: all buttons can be on together")
    return tuple(interlocks) if good else None


def contact_ratings(
    given: Given, key: str, rows: tuple[ContactRatingRow, ...] | None
) -> tuple[SwitchRating, ...]:
    """Return the ratings of the file, else those of the trade type; None says there is no type."""
    ratings = tuple(
        SwitchRating(
            table.value("current", float, 0.0),
            table.value("voltage", float, 0.0),
            table.value("load", str, ""),
            table.optional("ambient", float),
        )
        for table in _tables(given, key)
    )
    if not ratings and rows and not given.is_unknown(key):
        return tuple(
            SwitchRating(row.current_a, _voltage(row), row.load, row.ambient_c) for row in rows
        )
    if not ratings:
        given.assume(key, "not known: not judged")
    return ratings


def _voltage(row: ContactRatingRow) -> float:
    return math.inf if row.voltage_v is None else row.voltage_v


def least_current(given: Given, row_a: float | None, has_row: bool) -> float | None:
    """Return what a contact needs to stay clean; None, recorded, where nothing says."""
    stated = given.optional("least_current", float)
    if stated is not None:
        return stated
    if row_a is not None and not given.is_unknown("least_current"):
        return row_a
    if not has_row or given.is_unknown("least_current"):
        given.assume("least_current", "not known: not judged")
    return None


def _of_type(given: Given) -> tuple[tuple[SwitchRating, ...], float | None, Band]:
    """Return ratings, least current and contact resistance from the file, else from the type."""
    row = given.optional("type", SwitchRow)
    ratings = contact_ratings(given, "rating", row.ratings if row else None)
    least_a = least_current(given, row.least_current_a if row else None, row is not None)
    if row is not None and not given.is_unknown("contact_resistance"):
        return ratings, least_a, given.value("contact_resistance", Band, row.contact_ohm)
    return ratings, least_a, contact_band(given, "contact_resistance", "switch contact")
