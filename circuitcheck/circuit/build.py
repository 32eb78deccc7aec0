"""Build the network of one switch position from the model."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from circuitcheck.circuit.netlist import Branch, DiodeBranch, Network
from circuitcheck.circuit.positions import Position
from circuitcheck.circuit.wire_branch import conductor_branch, wire_branch
from circuitcheck.model.connector import HALVES, Connector
from circuitcheck.model.fuse import Fuse
from circuitcheck.model.ground import Frame, GroundStud
from circuitcheck.model.harness import Harness
from circuitcheck.model.library import Library
from circuitcheck.model.solenoid_coil import SolenoidCoil
from circuitcheck.model.supply_tap import SupplyTap
from circuitcheck.model.switch import SwitchHandle
from circuitcheck.model.tolerance_band import Band

NONE = Band.exact(0.0)
OPEN_LOAD_OHM = 1e6
"""The machine's other consumers, all switched off: as good as open beside milliohms."""


@dataclass
class _Nodes:
    """Numbers nodes in the order they are first met."""

    names: dict[str, int] = field(default_factory=dict)

    def __call__(self, name: object) -> int:
        return self.names.setdefault(str(name), len(self.names))


def tap_is_live(tap: SupplyTap, key: str) -> bool:
    """Return whether a tap carries voltage in a key state.

    `unknown` counts as live: the unknown tap is taken as the one that can do harm.
    """
    if key == "cranking":
        return tap.upstream.cranking != "off"
    if key == "key off":
        return tap.upstream.key != "on"
    return True


def build_network(harness: Harness, library: Library, position: Position) -> Network:
    """Return nodes and branches of the harness in one switch position.

    Every wire, contact, bond and coil becomes one branch; open contacts have none. A wire's
    branch includes its two crimps and what it lands on (battery post, splice, frame, tap).
    """
    node = _Nodes()
    source, reference = node(f"{harness.battery.name}.+"), node(f"{harness.battery.name}.-")
    branches: list[Branch] = []
    diodes: list[DiodeBranch] = []
    # A wire on the battery post itself is live whatever the key does.
    live = any(
        str(end) == f"{harness.battery.name}.+"
        for wire in harness.wires.values()
        for end in (wire.start, wire.end)
    )
    for part in harness.parts.values():
        if isinstance(part, SupplyTap):
            tap_live = tap_is_live(part, position.key)
            live = live or tap_live
            branches += _tap(harness, library, part, node, tap_live, reference)
        elif isinstance(part, SwitchHandle):
            branches += _switch(harness, part, position, node)
        elif isinstance(part, Connector):
            branches += _connector(harness, part, node)
        elif isinstance(part, SolenoidCoil):
            branches += _coil(harness, part, node)
            diodes += _suppressor_diode(part, node)
        elif isinstance(part, Fuse):
            ends = (node(f"{part.name}.line"), node(f"{part.name}.load"))
            contact = part.element_ohm.plus(part.clip_ohm).plus(part.clip_ohm)
            branches.append(_contact(harness, part.name, "fuse", part.name, ends, contact))
        elif isinstance(part, GroundStud):
            ends = (node(part.name), node(part.frame))
            branches.append(_contact(harness, part.name, "bond", part.name, ends, part.bond_ohm))
        elif isinstance(part, Frame):
            branches += _frame(harness, part, node)
    branches += (wire_branch(harness, library, wire, node) for wire in harness.wires.values())
    return Network(
        position, tuple(node.names), tuple(branches), tuple(diodes), source, reference, live
    )


def _contact(
    harness: Harness, name: str, role: str, owner: str, ends: tuple[int, int], contact: Band
) -> Branch:
    part = harness.parts[owner]
    zone = harness.zone_of(part.zone)
    return Branch(name, owner, role, *ends, NONE, contact, zone.ambient_c, (zone.name,))


def _tap(
    harness: Harness, library: Library, tap: SupplyTap, node: _Nodes, live: bool, reference: int
) -> Iterator[Branch]:
    up = tap.upstream
    ends = [node(up.source), node(f"{tap.name}/fuse load"), node(f"{tap.name}/key"), node(tap.name)]
    if up.fuse is not None:
        element = up.fuse.resistance_ohm.plus(up.clip_ohm).plus(up.clip_ohm)
    else:
        element = up.clip_ohm
    yield _contact(
        harness, f"{tap.name}/fuse", "upstream fuse", tap.name, (ends[0], ends[1]), element
    )
    yield conductor_branch(
        harness,
        library,
        name=f"{tap.name}/wire",
        owner=tap.name,
        role="upstream wire",
        ends=(ends[1], ends[2]),
        conductor=up.conductor,
        insulation=up.insulation,
        length_m=up.length_m,
        route=(up.zone,),
        bundled=1,
        contact_ohm=harness.battery.post_contact_ohm,
    )
    if live:
        yield _contact(
            harness,
            f"{tap.name}/key contact",
            "key contact",
            tap.name,
            (ends[2], ends[3]),
            up.key_contact_ohm,
        )
    load_a = up.present_load_a
    if load_a is not None and load_a.upper > 0:
        ohm = harness.system_v / load_a.upper
        # The lower end is the load at its statement, the upper all its consumers switched off.
        band = Band(ohm, ohm, OPEN_LOAD_OHM)
        yield _contact(
            harness,
            f"{tap.name}/present load",
            "present load",
            tap.name,
            (ends[3], reference),
            band,
        )


def _switch(
    harness: Harness, handle: SwitchHandle, position: Position, node: _Nodes
) -> Iterator[Branch]:
    seen: dict[str, int] = {}
    for contact in handle.contacts:
        seen[contact.button] = seen.get(contact.button, 0) + 1
        suffix = f" {seen[contact.button]}" if seen[contact.button] > 1 else ""
        ends = (
            node(f"{handle.name}.{contact.terminals[0]}"),
            node(f"{handle.name}.{contact.terminals[1]}"),
        )
        if position.closes(handle, contact):
            name = f"{handle.name}/{contact.button}{suffix}"
            yield _contact(harness, name, "switch contact", handle.name, ends, handle.contact_ohm)


def _connector(harness: Harness, part: Connector, node: _Nodes) -> Iterator[Branch]:
    landed = {str(end) for wire in harness.wires.values() for end in (wire.start, wire.end)}
    for cavity in range(1, part.cavities + 1):
        names = [f"{part.name}.{half}.{cavity}" for half in HALVES]
        if any(name in landed for name in names):
            ends = (node(names[0]), node(names[1]))
            yield _contact(
                harness, f"{part.name}/{cavity}", "contact", part.name, ends, part.contact_ohm
            )


def _frame(harness: Harness, frame: Frame, node: _Nodes) -> Iterator[Branch]:
    node(frame.name)
    for bond in frame.bonds:
        ends = (node(frame.name), node(bond.to))
        name = f"{frame.name}/bond to {bond.to}"
        yield _contact(harness, name, "bond", frame.name, ends, bond.resistance_ohm)


def _coil(harness: Harness, coil: SolenoidCoil, node: _Nodes) -> Iterator[Branch]:
    ends = (node(f"{coil.name}.1"), node(f"{coil.name}.2"))
    zone = harness.zone_of(coil.zone)
    yield Branch(
        coil.name,
        coil.name,
        "coil",
        *ends,
        coil.resistance_20c_ohm,
        NONE,
        zone.ambient_c,
        (zone.name,),
        heating_k_per_a2=None,
        hottest_c=coil.temperature_limit_c,
    )
    if coil.suppression.kind == "resistor" and coil.suppression.resistance_ohm is not None:
        yield _contact(
            harness,
            f"{coil.name}/suppressor",
            "suppressor",
            coil.name,
            ends,
            coil.suppression.resistance_ohm,
        )


def _suppressor_diode(coil: SolenoidCoil, node: _Nodes) -> Iterator[DiodeBranch]:
    # A diode + Zener pair blocks in both directions at working voltage; only a bare one conducts.
    if coil.suppression.kind == "diode" and coil.suppression.cathode in coil.terminals:
        cathode = node(f"{coil.name}.{coil.suppression.cathode}")
        other = "2" if coil.suppression.cathode == "1" else "1"
        yield DiodeBranch(
            f"{coil.name}/suppressor", coil.name, node(f"{coil.name}.{other}"), cathode
        )
