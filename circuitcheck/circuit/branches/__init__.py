"""Branches and links of every kind of part, one file per kind; the table finds them by record."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any

from circuitcheck.circuit.branches import (
    connector,
    converter,
    diode,
    fuse,
    ground,
    indicator,
    joint,
    pull_hold_coil,
    relay,
    resistor,
    solenoid_coil,
    supply_tap,
    switch,
)
from circuitcheck.circuit.branches.context import BranchContext
from circuitcheck.circuit.link import Link
from circuitcheck.circuit.netlist import Element
from circuitcheck.model.battery import Battery
from circuitcheck.model.connector import Connector
from circuitcheck.model.converter import Converter
from circuitcheck.model.diode import Diode
from circuitcheck.model.fuse import Fuse
from circuitcheck.model.ground import Frame, GroundStud
from circuitcheck.model.harness import Harness, Part
from circuitcheck.model.indicator import IndicatorLamp, LedIndicator
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.relay import Relay
from circuitcheck.model.resistor import Resistor
from circuitcheck.model.solenoid_coil import SolenoidCoil
from circuitcheck.model.splice import Splice
from circuitcheck.model.supply_tap import SupplyTap
from circuitcheck.model.switch import SwitchHandle
from circuitcheck.record import record


@record
class PartCircuit:
    """How one record class becomes branches of a network and links of the topology."""

    branches: Callable[[Any, BranchContext], Iterator[Element]]
    links: Callable[[Any, Harness], Iterator[Link]]


PART_CIRCUITS: Mapping[type[Part], PartCircuit] = {
    Battery: PartCircuit(joint.branches, joint.links),
    Splice: PartCircuit(joint.branches, joint.links),
    SupplyTap: PartCircuit(supply_tap.branches, supply_tap.links),
    Fuse: PartCircuit(fuse.branches, fuse.links),
    SwitchHandle: PartCircuit(switch.branches, switch.links),
    Connector: PartCircuit(connector.branches, connector.links),
    GroundStud: PartCircuit(ground.branches, ground.links),
    Frame: PartCircuit(ground.branches, ground.links),
    SolenoidCoil: PartCircuit(solenoid_coil.branches, solenoid_coil.links),
    PullHoldCoil: PartCircuit(pull_hold_coil.branches, pull_hold_coil.links),
    Relay: PartCircuit(relay.branches, relay.links),
    IndicatorLamp: PartCircuit(indicator.branches, indicator.links),
    LedIndicator: PartCircuit(indicator.branches, indicator.links),
    Diode: PartCircuit(diode.branches, diode.links),
    Resistor: PartCircuit(resistor.branches, resistor.links),
    Converter: PartCircuit(converter.branches, converter.links),
}
"""Every record class of a part; a class that is missing raises KeyError, it is never skipped."""


def part_branches(part: Part, context: BranchContext) -> Iterator[Element]:
    """Return the elements of one part in the switch position of the context."""
    return PART_CIRCUITS[type(part)].branches(part, context)


def part_links(part: Part, harness: Harness) -> Iterator[Link]:
    """Return the metallic paths through one part."""
    return PART_CIRCUITS[type(part)].links(part, harness)
