"""What each kind of part joins inside: terminals it passes current between, and its loads."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any

from circuitcheck.model.battery import Battery
from circuitcheck.model.connector import Connector
from circuitcheck.model.converter import Converter
from circuitcheck.model.diode import Diode
from circuitcheck.model.fuse import Fuse
from circuitcheck.model.ground import Frame, FrameBond, GroundStud
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
from circuitcheck.record import record

PASSES, IN_SERIES, LOADS = "passes", "in series", "loads"


@record
class Inner:
    """One path inside a part.

    `how` is PASSES (a contact, a fuse, metal), IN_SERIES (a resistor or diode, which may as well
    be a load) or LOADS.
    """

    first: Terminal
    second: Terminal
    how: str = PASSES


def inner_paths(part: Part) -> Iterator[Inner]:
    """Yield every path inside a part, with all contacts taken as closed.

    Raises TypeError for a record class that no drawing is made for.
    """
    if type(part) not in _INNER:
        raise TypeError(f"{part.name}: no drawing is made for {type(part).__name__}")
    return _INNER[type(part)](part)


def pair(part: Part, first: str, second: str) -> tuple[Terminal, Terminal]:
    """Return two terminals of one part."""
    return Terminal(part.name, first), Terminal(part.name, second)


def bonded_to(bond: FrameBond) -> Terminal:
    """Return the terminal at the other side of a bond."""
    name, _, terminal = bond.to.partition(".")
    return Terminal(name, terminal)


def _nothing(part: Battery | Splice) -> Iterator[Inner]:
    return iter(())


def _fuse(part: Fuse) -> Iterator[Inner]:
    yield Inner(*pair(part, "line", "load"))


def _handle(part: SwitchHandle) -> Iterator[Inner]:
    for contact in part.contacts:
        yield Inner(*pair(part, *contact.terminals))


def _connector(part: Connector) -> Iterator[Inner]:
    for n in range(1, part.cavities + 1):
        yield Inner(*pair(part, f"plug.{n}", f"receptacle.{n}"))


def _tap(part: SupplyTap) -> Iterator[Inner]:
    yield Inner(part.upstream.source, Terminal(part.name))


def _stud(part: GroundStud) -> Iterator[Inner]:
    yield Inner(Terminal(part.frame), Terminal(part.name))


def _frame(part: Frame) -> Iterator[Inner]:
    for bond in part.bonds:
        yield Inner(Terminal(part.name), bonded_to(bond))


def _ends(part: SolenoidCoil | IndicatorLamp | LedIndicator) -> Iterator[Inner]:
    yield _load(part, ("1", "2"), getattr(part, "body_frame", None))


def _load(part: Part, names: tuple[str, str], body_frame: str | None = None) -> Inner:
    first, second = pair(part, *names)
    return Inner(first, Terminal(body_frame) if body_frame else second, LOADS)


def _pull_hold(part: PullHoldCoil) -> Iterator[Inner]:
    for start in dict.fromkeys((part.pull_terminal, "hold")):
        yield _load(part, (start, "common"))


def _relay(part: Relay) -> Iterator[Inner]:
    for side in part.contact_sides:
        yield Inner(*pair(part, *side.terminals))
    yield _load(part, part.coil_terminals, part.body_frame)


def _diode(part: Diode) -> Iterator[Inner]:
    yield Inner(*pair(part, "anode", "cathode"), IN_SERIES)


def _resistor(part: Resistor) -> Iterator[Inner]:
    yield Inner(*pair(part, "1", "2"), IN_SERIES)


def _converter(part: Converter) -> Iterator[Inner]:
    yield Inner(*pair(part, "in", "out"))
    yield _load(part, ("out", "minus"))


_INNER: Mapping[type, Callable[[Any], Iterator[Inner]]] = {
    Battery: _nothing,
    Splice: _nothing,
    SupplyTap: _tap,
    Fuse: _fuse,
    SwitchHandle: _handle,
    Connector: _connector,
    GroundStud: _stud,
    Frame: _frame,
    SolenoidCoil: _ends,
    PullHoldCoil: _pull_hold,
    Relay: _relay,
    IndicatorLamp: _ends,
    LedIndicator: _ends,
    Diode: _diode,
    Resistor: _resistor,
    Converter: _converter,
}
