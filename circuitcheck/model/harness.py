"""The whole of one harness file: parts, wires, zones, use, conditions."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from typing import TypeVar

from circuitcheck.model.assumption import Assumption
from circuitcheck.model.battery import Battery
from circuitcheck.model.branch import USUAL_SLACK, Branch, Slack
from circuitcheck.model.conditions import Conditions, Use, Zone
from circuitcheck.model.connector import Connector
from circuitcheck.model.converter import Converter
from circuitcheck.model.diode import Diode
from circuitcheck.model.fuse import Fuse
from circuitcheck.model.ground import Frame, GroundStud
from circuitcheck.model.indicator import IndicatorLamp, LedIndicator
from circuitcheck.model.library import UserRows
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.relay import Relay
from circuitcheck.model.resistor import Resistor
from circuitcheck.model.solenoid_coil import SolenoidCoil
from circuitcheck.model.splice import Splice
from circuitcheck.model.supply_tap import SupplyTap
from circuitcheck.model.switch import SwitchHandle
from circuitcheck.model.wire import Wire
from circuitcheck.record import record

T = TypeVar("T")

Part = (
    Battery
    | SupplyTap
    | Fuse
    | SwitchHandle
    | Connector
    | Splice
    | GroundStud
    | Frame
    | SolenoidCoil
    | PullHoldCoil
    | Relay
    | IndicatorLamp
    | LedIndicator
    | Diode
    | Resistor
    | Converter
)


@record
class Harness:
    """One add-on circuit as its owner describes it.

    `system_v` is 12 or 24. `line_of` gives the line in the file of `part NAME`, `wire NAME`,
    `part NAME, key` and the like. Parts and wires keep the order of the file. `user_rows` are the
    library rows of the file that it names. `branches` are the runs of wires that lie together,
    empty where the file gives none; `slack` is what a wire is cut longer than it lies.
    """

    file: str
    circuit: str
    system_v: float
    conditions: Conditions
    zones: Mapping[str, Zone]
    use: Use
    parts: Mapping[str, Part]
    wires: Mapping[str, Wire]
    assumptions: tuple[Assumption, ...] = ()
    line_of: Mapping[str, int] = field(default_factory=dict)
    revision: str = ""
    date: str = ""
    author: str = ""
    story: str = ""
    user_rows: UserRows | None = None
    branches: Mapping[str, Branch] = field(default_factory=dict)
    slack: Slack = USUAL_SLACK

    def of_kind(self, kind: type[T]) -> tuple[T, ...]:
        """Return the parts that are records of one class, in file order."""
        return tuple(part for part in self.parts.values() if isinstance(part, kind))

    @property
    def momentary(self) -> frozenset[tuple[str, str]]:
        """Buttons that spring back, by handle and button: only a hand keeps them worked."""
        return frozenset(
            (handle.name, contact.button)
            for handle in self.of_kind(SwitchHandle)
            for contact in handle.contacts
            if contact.action == "momentary"
        )

    @property
    def battery(self) -> Battery:
        """The battery; reading makes sure that there is exactly one."""
        return self.of_kind(Battery)[0]

    @property
    def coils(self) -> tuple[SolenoidCoil, ...]:
        """All solenoid coils."""
        return self.of_kind(SolenoidCoil)

    def zone_of(self, name: str) -> Zone:
        """Return the zone called `name`."""
        return self.zones[name]
