"""Every single fault of a harness: what can go wrong with each part, each wire, and pairs of them.

A splice has none of its own: its joints are the ends of the wires that meet there.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any

from circuitcheck.faults.fault import Fault
from circuitcheck.faults.modes import (
    battery,
    connector,
    fuse,
    ground,
    loads,
    pull_hold_coil,
    relay,
    solenoid_coil,
    supply_tap,
    switch,
    wire,
)
from circuitcheck.faults.modes.context import FaultContext
from circuitcheck.model.battery import Battery
from circuitcheck.model.connector import Connector
from circuitcheck.model.converter import Converter
from circuitcheck.model.diode import Diode
from circuitcheck.model.fuse import Fuse
from circuitcheck.model.ground import Frame, GroundStud
from circuitcheck.model.harness import Harness, Part
from circuitcheck.model.indicator import IndicatorLamp, LedIndicator
from circuitcheck.model.library import Library
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.relay import Relay
from circuitcheck.model.resistor import Resistor
from circuitcheck.model.solenoid_coil import SolenoidCoil
from circuitcheck.model.splice import Splice
from circuitcheck.model.supply_tap import SupplyTap
from circuitcheck.model.switch import SwitchHandle


def _none(part: Splice, context: FaultContext) -> Iterator[Fault]:
    yield from ()


PART_FAULTS: Mapping[type[Part], Callable[[Any, FaultContext], Iterator[Fault]]] = {
    Battery: battery.faults,
    SupplyTap: supply_tap.faults,
    Fuse: fuse.faults,
    SwitchHandle: switch.faults,
    Connector: connector.faults,
    Splice: _none,
    GroundStud: ground.faults,
    Frame: ground.faults,
    SolenoidCoil: solenoid_coil.faults,
    PullHoldCoil: pull_hold_coil.faults,
    Relay: relay.faults,
    IndicatorLamp: loads.lamp_faults,
    LedIndicator: loads.led_faults,
    Diode: loads.diode_faults,
    Resistor: loads.resistor_faults,
    Converter: loads.converter_faults,
}
"""Every record class of a part; a class that is missing raises KeyError, it is never skipped."""


def single_faults(harness: Harness, library: Library) -> tuple[Fault, ...]:
    """Return every single fault of a harness: parts in file order, then wires, then pairs.

    Names are unique. A cause that comes in severities is one fault for each.
    """
    if harness.user_rows is not None:
        library = library.with_rows(harness.user_rows)
    context = FaultContext(harness, library)
    return tuple(_all(context))


def _all(context: FaultContext) -> Iterator[Fault]:
    for part in context.harness.parts.values():
        yield from PART_FAULTS[type(part)](part, context)
    for one in context.harness.wires.values():
        yield from wire.faults(one, context)
    yield from wire.pairs(context)
    yield from connector.interchanged(context)
    yield from solenoid_coil.interchanged(context)
