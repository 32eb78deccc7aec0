"""Parts of the add-on that are bought whole: fuses, switches, relays, coils, lamps, suppressors."""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.model.battery import Battery
from circuitcheck.model.connector import Connector
from circuitcheck.model.fuse import Fuse
from circuitcheck.model.ground import Frame, GroundStud
from circuitcheck.model.harness import Harness, Part
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.relay import Relay
from circuitcheck.model.solenoid_coil import SolenoidCoil, Suppression
from circuitcheck.model.splice import Splice
from circuitcheck.model.supply_tap import SupplyTap
from circuitcheck.model.switch import SwitchHandle
from circuitcheck.record import record

_ELSEWHERE = (Battery, SupplyTap, Frame, Connector, Splice)
"""The machine's own, and what the bill counts by its contacts."""


@record
class Item:
    """One line of the bill: pieces or a length, and the wires, parts or places it is for.

    `length_m` is 0 for a length of which nothing is known.
    """

    group: str
    what: str
    where: tuple[str, ...]
    pieces: int | None = None
    length_m: float | None = None


def parts_bought(harness: Harness) -> Iterator[Item]:
    """Yield parts alike on one line, in the order of the file."""
    where: dict[tuple[str, str], list[str]] = {}
    for part in harness.parts.values():
        if isinstance(part, _ELSEWHERE):
            continue
        for key in _keys(part):
            where.setdefault(key, []).append(part.name)
    for (group, what), names in where.items():
        yield Item(group, what, tuple(names), pieces=len(names))


def _keys(part: Part) -> Iterator[tuple[str, str]]:
    """Yield group and words of a part and of what has to be bought with it."""
    if isinstance(part, Fuse):
        row = part.row
        colour = f", {row.colour}" if row.colour else ""
        yield "fuses", f"{row.rating_a:g} A {row.style} fuse{colour}"
        yield "fuses", f"holder for a {row.style} fuse, with cover"
    elif isinstance(part, GroundStud):
        yield "studs", "ground stud with nut and toothed washer"
    elif isinstance(part, SolenoidCoil | PullHoldCoil):
        yield "coils", f"{part.kind} {part.rated_v:g} V for {part.moves.valve}"
        yield from _suppressors(part.suppression)
    elif isinstance(part, Relay):
        inside = (
            "" if part.suppression.kind in ("none", "unknown") else f", {part.suppression.kind}"
        )
        yield "relays", f"{part.kind} {part.rated_v:g} V, {part.contacts} contact{inside}"
        if part.kind == "relay":
            yield "relays", "socket for a relay"
    elif isinstance(part, SwitchHandle):
        buttons = len({contact.button for contact in part.contacts})
        extra = f", {buttons} buttons" if buttons > 1 else ""
        yield "switches", f"{part.kind}{extra}"
    else:
        yield "others", part.kind


def _suppressors(suppression: Suppression) -> Iterator[tuple[str, str]]:
    if suppression.kind in ("none", "unknown"):
        return
    words = [suppression.kind]
    if suppression.reverse_v is not None:
        words.append(f"{suppression.reverse_v:g} V")
    if suppression.forward_a is not None:
        words.append(f"{suppression.forward_a:g} A")
    if suppression.resistance_ohm is not None:
        words.append(f"{suppression.resistance_ohm.nominal:g} ohm")
    if suppression.standoff_v is not None:
        words.append(f"stand-off {suppression.standoff_v:g} V")
    yield "suppressors", " ".join(words)
