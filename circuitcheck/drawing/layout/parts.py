"""Which nodes stand for each kind of part, one function per record class."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any

from circuitcheck.drawing.layout.links import pair
from circuitcheck.model.battery import Battery
from circuitcheck.model.connector import Connector
from circuitcheck.model.converter import Converter
from circuitcheck.model.diode import Diode
from circuitcheck.model.fuse import Fuse
from circuitcheck.model.ground import Frame, GroundStud
from circuitcheck.model.harness import Part
from circuitcheck.model.indicator import IndicatorLamp, LedIndicator
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.relay import Relay
from circuitcheck.model.resistor import Resistor
from circuitcheck.model.solenoid_coil import SolenoidCoil
from circuitcheck.model.splice import Splice
from circuitcheck.model.supply_tap import SupplyTap
from circuitcheck.model.switch import SwitchHandle
from circuitcheck.model.terminal import Terminal

if TYPE_CHECKING:
    from circuitcheck.drawing.layout.drafting import Drafting
    from circuitcheck.drawing.layout.graph import Node

WINDINGS = "windings"


def place(draft: Drafting, part: Part) -> None:
    """Add the nodes of one part; raises TypeError for a record class without a symbol."""
    if type(part) not in _PLACED:
        raise TypeError(f"{part.name}: no drawing is made for {type(part).__name__}")
    _PLACED[type(part)](draft, part)


def _battery(draft: Drafting, part: Battery) -> None:
    plus, minus = pair(part, "+", "-")
    draft.node("battery plus", part, None, plus)
    draft.node("battery minus", part, None, minus)


def _tap(draft: Drafting, part: SupplyTap) -> None:
    draft.node(part.kind, part, None, Terminal(part.name))


def _joined(draft: Drafting, part: Splice | GroundStud | Frame) -> None:
    draft.node(part.kind, part, Terminal(part.name), Terminal(part.name))


def _fuse(draft: Drafting, part: Fuse) -> None:
    draft.node(part.kind, part, *draft.in_order(*pair(part, "line", "load")))


def _cavities(draft: Drafting, part: Connector) -> None:
    """Cavities in which a wire ends in one half at least; all of them if there is no wire."""
    every = {n: pair(part, f"plug.{n}", f"receptacle.{n}") for n in range(1, part.cavities + 1)}
    wired = {n: ends for n, ends in every.items() if not draft.order.wired.isdisjoint(ends)}
    for n, halves in (wired or every).items():
        draft.node("cavity", part, *draft.in_order(*halves)).cavity = n


def _contacts(draft: Drafting, part: SwitchHandle) -> None:
    """One node per contact; terminals fall on two sides so that each contact joins both."""
    on_left = draft.sides(part, [contact.terminals for contact in part.contacts])
    for contact in part.contacts:
        first, second = contact.terminals
        if not on_left[first]:
            first, second = second, first
        draft.node("contact", part, *pair(part, first, second)).contact = contact


def _two_ended(names: tuple[str, str]) -> Callable[[Drafting, Any], None]:
    """A part between two terminals: in the path if that goes on behind it, else a load."""

    def placed(draft: Drafting, part: Part) -> None:
        feed, back = draft.in_order(*pair(part, *names))
        sides = draft.on_return(feed), draft.on_return(back)
        frame = getattr(part, "body_frame", None)
        if frame is not None:
            _grounded(draft.node(part.kind, part, Terminal(part.name, names[0])), frame)
        elif {feed, back} <= draft.order.wired and sides[0] == sides[1]:
            draft.node(part.kind, part, feed, back)
        else:
            if sides == (True, False):
                feed, back = back, feed
            draft.load(part.kind, part, feed, back)

    return placed


def _grounded(node: Node, frame: str) -> None:
    node.at_load, node.body = True, frame


def _pull_hold(draft: Drafting, part: PullHoldCoil) -> None:
    """One node per winding; `common` is shared at their right, or at their left if it is fed."""
    hold, common = pair(part, "hold", "common")
    pull = Terminal(part.name, part.pull_terminal)
    fed_at_common = draft.on_return(common) is False and draft.on_return(hold) is not False
    for kind, start in (("pull winding", pull), ("hold winding", hold)):
        if kind == "pull winding" and pull == hold:
            continue
        if fed_at_common:
            node = draft.load(kind, part, common if start == hold else None, start)
        elif start == hold:
            node = draft.load(kind, part, hold, common)
        else:
            node = draft.node(kind, part, start)
            node.at_load = True
        node.bundle = WINDINGS


def _relay(draft: Drafting, part: Relay) -> None:
    """Contacts over or under the coil; a changeover contact has its common terminal between."""
    on_left = draft.sides(part, [side.terminals for side in part.contact_sides])
    names = list(on_left)
    kind = "relay contact"
    if len(part.contact_sides) == 2:
        make, rest = (side.terminals for side in part.contact_sides)
        names, kind = [rest[1], rest[0], make[1]], "relay throw"
        for name in names:
            terminal = Terminal(part.name, name)
            ends = (terminal, None) if on_left[name] else (None, terminal)
            draft.node(kind, part, *ends).bundle = "contacts"
    elif names:
        ordered = sorted(names, key=lambda name: not on_left[name])
        draft.node(kind, part, *pair(part, ordered[0], ordered[1])).bundle = "contacts"
    coil = part.coil_terminals if part.body_frame is None else part.coil_terminals[:1]
    for name in coil:
        node = draft.node("relay coil", part, Terminal(part.name, name))
        node.bundle = "coil"
        node.body = part.body_frame or ""


def _converter(draft: Drafting, part: Converter) -> None:
    draft.node(part.kind, part, *pair(part, "in", "out")).bundle = "path"
    draft.node("converter minus", part, Terminal(part.name, "minus")).bundle = "minus"


_PLACED: Mapping[type, Callable[[Drafting, Any], None]] = {
    Battery: _battery,
    SupplyTap: _tap,
    Splice: _joined,
    GroundStud: _joined,
    Frame: _joined,
    Fuse: _fuse,
    Connector: _cavities,
    SwitchHandle: _contacts,
    SolenoidCoil: _two_ended(("1", "2")),
    IndicatorLamp: _two_ended(("1", "2")),
    LedIndicator: _two_ended(("1", "2")),
    Diode: _two_ended(("anode", "cathode")),
    Resistor: _two_ended(("1", "2")),
    PullHoldCoil: _pull_hold,
    Relay: _relay,
    Converter: _converter,
}
