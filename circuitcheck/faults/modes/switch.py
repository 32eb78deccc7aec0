"""Switches: a contact that does not close, is burnt, or welded; two wires swapped on them."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

from circuitcheck.faults.fault import (
    FAILS_TO_CLOSE,
    FAILS_TO_OPEN,
    SWAPPED,
    AddedOhm,
    AlwaysClosed,
    Fault,
)
from circuitcheck.faults.modes.context import FaultContext, Words, high_resistance
from circuitcheck.model.switch import SwitchHandle


def faults(part: SwitchHandle, context: FaultContext) -> Iterator[Fault]:
    """Yield the faults of each contact, then of wires swapped between two terminals."""
    drop_v, name = context.limit("switch_drop_v"), part.name
    seen: dict[str, int] = {}
    for contact in part.contacts:
        seen[contact.button] = seen.get(contact.button, 0) + 1
        suffix = f" {seen[contact.button]}" if seen[contact.button] > 1 else ""
        which = f"{contact.button}{suffix}"
        is_only = len(part.contacts) == 1
        branch, what = f"{name}/{which}", "contact" if is_only else f"contact {which}"
        first, second = (f"{name}.{terminal}" for terminal in contact.terminals)
        words = Words(
            f"contact of {name} from {first} to {second}",
            f"replace {part.kind} {name}",
            f"with {contact.button} on, less than {drop_v:g} V from {first} to {second}; with it "
            "off, nothing behind it is live",
        )
        yield words.fault(
            f"{name} {what} does not close", name, FAILS_TO_CLOSE, AddedOhm(branch), other=which
        )
        yield from high_resistance(name, branch, words, what=what, other=which)
        yield words.fault(
            f"{name} {what} welded", name, FAILS_TO_OPEN, AlwaysClosed(branch), other=which
        )
    yield from _swapped(part, context)


def _swapped(part: SwitchHandle, context: FaultContext) -> Iterator[Fault]:
    counts: dict[str, int] = {}
    for contact in part.contacts:
        for terminal in contact.terminals:
            counts[terminal] = counts.get(terminal, 0) + 1
    single = [t for t in part.terminals if counts[t] == 1 and f"{part.name}.{t}" in context.landed]
    if len(part.contacts) < 2:
        return
    for first, second in itertools.combinations(single, 2):
        one, other = f"{part.name}.{first}", f"{part.name}.{second}"
        words = Words(
            f"the wires on {part.name}",
            f"put the wires on {one} and {other} where they belong",
            "each button works its own coil, and no other",
        )
        changes = (*context.moved(one, other), *context.moved(other, one))
        yield words.fault(f"{part.name} wires on {first} and {second} swapped", part.name, SWAPPED,
                          *changes, other=f"{first} and {second}")  # fmt: skip
