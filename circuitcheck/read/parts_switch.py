"""Switch handle and plain switch from their fields."""

from __future__ import annotations

from circuitcheck.model.switch import Interlock, SwitchContact, SwitchHandle, SwitchRating
from circuitcheck.read.fields import Given
from circuitcheck.read.part_context import PartContext, contact_band


def build_switch_handle(given: Given, context: PartContext) -> SwitchHandle | None:
    """Return the handle; None after reporting a contact or interlock that cannot be."""
    tables = _tables(given, "contacts")
    contacts = [_contact(table) for table in tables]
    found = [contact for contact in contacts if contact is not None]
    interlocks = _interlocks(given, {contact.button for contact in found})
    if len(found) < len(contacts) or interlocks is None:
        return None
    return SwitchHandle(
        given.subject,
        context.zone,
        tuple(found),
        interlocks,
        _ratings(given),
        contact_band(given, "contact_resistance", "switch contact"),
    )


def build_switch(given: Given, context: PartContext) -> SwitchHandle:
    """Return a plain switch: one contact between `line` and `load`; its button is its name."""
    closed = given.value("rest", str, "open") == "closed"
    contact = SwitchContact(given.subject, _action(given), ("line", "load"), closed)
    band = contact_band(given, "contact_resistance", "switch contact")
    return SwitchHandle(
        given.subject, context.zone, (contact,), (), _ratings(given), band, kind="switch"
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


def _ratings(given: Given) -> tuple[SwitchRating, ...]:
    ratings = tuple(
        SwitchRating(
            table.value("current", float, 0.0),
            table.value("voltage", float, 0.0),
            table.value("load", str, ""),
        )
        for table in _tables(given, "rating")
    )
    if not ratings:
        given.assume("rating", "not known: not judged")
    return ratings
