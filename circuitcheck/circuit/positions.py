"""Switch positions: every combination of key, buttons and cranking that can happen."""

from __future__ import annotations

import itertools

from circuitcheck.errors import CircuitError
from circuitcheck.model.harness import Harness
from circuitcheck.model.switch import SwitchContact, SwitchHandle
from circuitcheck.record import record

KEY_STATES = ("key off", "key on", "cranking")
MOST_POSITIONS = 768
"""Eight free buttons in three key states; beyond that nobody reads the answer."""


@record
class Position:
    """One state of the key and the buttons that are worked in it, as (part, button).

    `energised_relays` are the relays whose contacts have moved, by name; none until settled.
    """

    name: str
    key: str
    pressed: frozenset[tuple[str, str]]
    energised_relays: frozenset[str] = frozenset()

    def closes(self, handle: SwitchHandle, contact: SwitchContact) -> bool:
        """Return whether a contact is closed in this position."""
        worked = (handle.name, contact.button) in self.pressed
        return worked != contact.normally_closed


def switch_positions(harness: Harness) -> tuple[Position, ...]:
    """Return every switch position, key off first, fewest buttons first.

    Only a mechanical or electrical interlock removes a combination; a habit does not.
    Raises CircuitError when the buttons multiply beyond MOST_POSITIONS.
    """
    handles = harness.of_kind(SwitchHandle)
    buttons = [(handle.name, button) for handle in handles for button in handle.buttons]
    if len(KEY_STATES) * 2 ** len(buttons) > 64 * MOST_POSITIONS:
        raise CircuitError(_too_many(len(buttons)))
    combinations = [
        frozenset(combination)
        for count in range(len(buttons) + 1)
        for combination in itertools.combinations(buttons, count)
        if not any(_barred(handle, frozenset(combination)) for handle in handles)
    ]
    if len(KEY_STATES) * len(combinations) > MOST_POSITIONS:
        raise CircuitError(_too_many(len(buttons)))
    return tuple(
        Position(_name(key, buttons, pressed), key, pressed)
        for key in KEY_STATES
        for pressed in combinations
    )


def _too_many(buttons: int) -> str:
    return (
        f"{buttons} free buttons make more than {MOST_POSITIONS} switch positions; "
        "describe the interlocks, or check the circuit in parts"
    )


def _barred(handle: SwitchHandle, pressed: frozenset[tuple[str, str]]) -> bool:
    return any(
        lock.kind in ("mechanical", "electrical")
        and sum((handle.name, button) in pressed for button in lock.between) > 1
        for lock in handle.interlocks
    )


def _name(key: str, buttons: list[tuple[str, str]], pressed: frozenset[tuple[str, str]]) -> str:
    counts = [button for _, button in buttons]
    # A button may itself be called what another one is called with its part before it.
    taken = {f"{part} {button}" for part, button in buttons}
    worked = [
        button if counts.count(button) == 1 and button not in taken else f"{part} {button}"
        for part, button in buttons
        if (part, button) in pressed
    ]
    return f"{key}, {' + '.join(worked)}" if worked else key
