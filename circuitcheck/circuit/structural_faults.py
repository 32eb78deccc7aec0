"""Faults that need no numbers: open ends, no return, a coil fed at both ends, too many wires."""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.circuit.topology import Topology, load_ends, read_topology, wires_at
from circuitcheck.model.battery import Battery
from circuitcheck.model.connector import HALVES, Connector
from circuitcheck.model.ground import Frame, GroundStud
from circuitcheck.model.harness import Harness
from circuitcheck.model.relay import Relay
from circuitcheck.model.splice import Splice
from circuitcheck.model.supply_tap import SupplyTap
from circuitcheck.record import record

FEWEST_AT_SPLICE = 2


@record
class StructuralFault:
    """One fault of the wiring as described.

    `kind` is `open end`, `no return`, `no feed`, `too many wires`, `fed at both ends`,
    `idle contact`, `short circuit` or `unprotected feed`; `subject` the part or wire; `place` a key
    of `Harness.line_of`.
    """

    kind: str
    subject: str
    place: str
    wrong: str
    right: str


def structural_faults(harness: Harness) -> tuple[StructuralFault, ...]:
    """Return every structural fault, in the order of the file's parts, then wires."""
    topology = read_topology(harness)
    return (
        *_ends(harness),
        *_loads(harness, topology),
        *_relay_contacts(harness, topology),
        *_shorts(harness, topology),
        *_unprotected(harness, topology),
    )


def _ends(harness: Harness) -> Iterator[StructuralFault]:
    landed = wires_at(harness)
    for part in harness.parts.values():
        for terminal in part.terminals:
            text = f"{part.name}.{terminal}" if terminal else part.name
            wires = landed.get(text, [])
            allowed = part.wires_allowed(terminal)
            if allowed is not None and len(wires) > allowed:
                yield StructuralFault(
                    "too many wires",
                    part.name,
                    f"part {part.name}",
                    f"{len(wires)} wires ({', '.join(wires)}) land on {text}; it takes {allowed}",
                    _room(part),
                )
            elif not wires and _must_be_wired(harness, part, terminal, landed):
                yield StructuralFault(
                    "open end",
                    part.name,
                    f"part {part.name}",
                    f"no wire lands on {text}",
                    f"Add the wire that ends at {text}, or take the part out.",
                )
        if isinstance(part, Splice) and 0 < len(landed.get(part.name, [])) < FEWEST_AT_SPLICE:
            yield StructuralFault(
                "open end",
                part.name,
                f"part {part.name}",
                f"only one wire ({landed[part.name][0]}) lands on splice {part.name}",
                "A splice joins two wires or more.",
            )


def _room(part: object) -> str:
    if isinstance(part, Connector):
        return 'Use a splice, or declare the cavity in double_crimps, e.g. ["plug.1"].'
    if isinstance(part, GroundStud):
        return "Use a second stud, or state how many rings this one takes with rings."
    return "Join the wires in a splice and run one wire to this terminal."


def _must_be_wired(
    harness: Harness, part: object, terminal: str, landed: dict[str, list[str]]
) -> bool:
    if isinstance(part, Connector):
        half, cavity = terminal.split(".")
        other = HALVES[1 - HALVES.index(half)]
        return bool(landed.get(f"{part.name}.{other}.{cavity}"))
    if isinstance(part, Battery):
        return terminal == "-" and not _battery_minus_bonded(harness, part)
    if isinstance(part, Relay) and len(part.contact_sides) > 1:
        # A changeover relay may use one side alone; _relay_contacts looks for at least one.
        return terminal not in {side.terminals[1] for side in part.contact_sides}
    return not isinstance(part, (Frame, GroundStud))


def _battery_minus_bonded(harness: Harness, battery: Battery) -> bool:
    return any(
        bond.to == f"{battery.name}.-" for frame in harness.of_kind(Frame) for bond in frame.bonds
    )


def _loads(harness: Harness, topology: Topology) -> Iterator[StructuralFault]:
    landed = wires_at(harness)
    for load in load_ends(harness):
        if not all(landed.get(terminal) for terminal in load.wired):
            continue  # already reported as an open end
        place = f"part {load.part}"
        sides = [topology.side_of(end) for end in load.ends]
        if sides[0] == sides[1] == "feed":
            # An indicator across a contact is fed at both ends and returns through the load.
            if not load.indicator:
                yield StructuralFault(
                    "fed at both ends",
                    load.part,
                    place,
                    f"both terminals of {load.words} lead to battery plus and none to "
                    "battery minus",
                    "One terminal of a coil goes to its switch, the other to a return.",
                )
            continue
        if not any(side in ("return", "both") for side in sides):
            yield StructuralFault(
                "no return",
                load.part,
                place,
                f"no path leads from {load.words} back to battery minus",
                "Wire its other terminal to a ground stud or to battery minus.",
            )
        if not any(side in ("feed", "both") for side in sides):
            yield StructuralFault(
                "no feed",
                load.part,
                place,
                f"no path leads from battery plus to {load.words}, whatever is pressed",
                "Wire one terminal to its switch contact.",
            )


def _relay_contacts(harness: Harness, topology: Topology) -> Iterator[StructuralFault]:
    landed = wires_at(harness)
    for relay in harness.of_kind(Relay):
        wired = [
            side
            for side in relay.contact_sides
            if all(landed.get(f"{relay.name}.{terminal}") for terminal in side.terminals)
        ]
        if not wired:
            shown = " or ".join("-".join(side.terminals) for side in relay.contact_sides)
            yield _idle(
                relay,
                f"no contact of {relay.kind} {relay.name} has a wire on both sides ({shown})",
            )
        for side in wired:
            ends = [f"{relay.name}.{terminal}" for terminal in side.terminals]
            if all(topology.side_of(end) == "neither" for end in ends):
                yield _idle(
                    relay,
                    f"contact {'-'.join(side.terminals)} of {relay.kind} {relay.name} leads "
                    "neither to battery plus nor to battery minus",
                )


def _idle(relay: Relay, wrong: str) -> StructuralFault:
    right = "Wire a feed or a return to one side of the contact and the load to the other."
    return StructuralFault("idle contact", relay.name, f"part {relay.name}", wrong, right)


def _shorts(harness: Harness, topology: Topology) -> Iterator[StructuralFault]:
    minus = f"{harness.battery.name}.-"
    if minus in topology.feed:
        yield StructuralFault(
            "short circuit",
            harness.battery.name,
            f"part {harness.battery.name}",
            "battery plus reaches battery minus without passing a coil",
            "Find the wire or contact that joins feed and return and take it out.",
        )


def _unprotected(harness: Harness, topology: Topology) -> Iterator[StructuralFault]:
    for load in load_ends(harness):
        if any(end in topology.unfused for end in load.ends):
            yield StructuralFault(
                "unprotected feed",
                load.part,
                f"part {load.part}",
                f"{load.words} is fed from battery plus through no fuse",
                "Put a fuse into the feed, next to the tap.",
            )
    for tap in harness.of_kind(SupplyTap):
        if "electronic fuse" in (tap.also_feeds or ()):
            continue  # refused by a check of its own
        if tap.upstream.fuse is None and tap.upstream.fuse_known:
            yield StructuralFault(
                "unprotected feed",
                tap.name,
                f"part {tap.name}",
                f"tap {tap.name} hangs on battery plus through no fuse",
                "Tap behind a fuse of the machine, or put the add-on's fuse next to the battery.",
            )
