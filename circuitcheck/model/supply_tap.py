"""Supply tap: where the add-on takes its power, and all that lies upstream of it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar

from circuitcheck.model.library import ConductorRow, FuseRow, InsulationRow
from circuitcheck.model.terminal import Terminal
from circuitcheck.model.tolerance_band import Band
from circuitcheck.record import record

ELECTRONIC_FUSE = "electronic fuse"
NEVER_TAP: Mapping[str, str] = {
    "seat switch": "a fault of the add-on would defeat or trip the operator's seat switch",
    "brake": "a fault of the add-on would take the brake circuit with it",
    "engine stop": "a fault of the add-on would stop the engine, or keep it from stopping",
    "airbag": "an airbag circuit may fire, or not fire, when anything is added to it",
    "steering": "a fault of the add-on would take the steering circuit with it",
    "electronic module": "refused: an electronic module watches its supply and its outputs, and "
    "what it does with an added load is not covered",
    ELECTRONIC_FUSE: "refused: an electronic fuse opens by its own rules, which are not covered",
}
"""Circuits that must never be tapped, each with the reason."""


@record
class Upstream:
    """What feeds the tap: the machine's own fuse, wire and key contact.

    `key` is when the tap is live: `on` (key-switched), `always`, or `unknown`. `cranking` is
    whether it stays live while cranking: `on`, `off` or `unknown`. `present_load_a` is what the
    tap already carries, from nothing (lower) to all its consumers on (upper); None if unknown.
    `fuse` is None where the file says that no fuse is known upstream; `fuse_known` tells whether
    that is a statement (`"none"`) or a gap (`"unknown"`).
    """

    source: Terminal
    fuse: FuseRow | None
    fuse_known: bool
    conductor: ConductorRow | None
    insulation: InsulationRow
    length_m: Band
    key: str
    cranking: str
    present_load_a: Band | None
    key_contact_ohm: Band
    key_contact_rated_a: float | None
    clip_ohm: Band
    zone: str


@record
class SupplyTap:
    """The point at which the add-on's first wire lands.

    `also_feeds` names the machine circuits that share the tap; None where the file does not say.
    """

    kind: ClassVar[str] = "supply tap"
    name: str
    zone: str
    upstream: Upstream
    contact_ohm: Band
    also_feeds: tuple[str, ...] | None

    @property
    def terminals(self) -> tuple[str, ...]:
        """Terminal names of the part."""
        return ("",)

    def wires_allowed(self, terminal: str) -> int | None:
        """Return how many wires a terminal takes; None where there is no fixed number."""
        return 1
