"""Supply tap: dead, weak, or live when the key is off."""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.faults.fault import (
    ALWAYS_ON,
    DEAD,
    HIGH_RESISTANCE,
    AddedOhm,
    AlwaysClosed,
    Fault,
)
from circuitcheck.faults.modes.context import SEVERITIES_OHM, FaultContext, Words
from circuitcheck.model.supply_tap import SupplyTap


def faults(part: SupplyTap, context: FaultContext) -> Iterator[Fault]:
    """Yield the faults of all that lies upstream of the tap."""
    name, wire = part.name, f"{part.name}/wire"
    dead = Words(
        f"upstream of {name}: the machine's fuse, its key contact, the wire between them",
        f"find what has cut {name} off: fuse first; what it blew for before a new one goes in",
        f"full voltage at {name} with a load on it, key on",
    )
    yield dead.fault(f"{name} dead", name, DEAD, AddedOhm(wire))
    weak = Words(
        f"upstream of {name}: fuse clips, key contact, crimps, or a circuit never meant for it",
        f"mend the poor joint upstream of {name}, or take the supply elsewhere",
        f"the same voltage at {name} with the load on as without, within half a volt",
    )
    for ohm in SEVERITIES_OHM:
        severity = f"{ohm:g} ohm"
        yield weak.fault(f"{name} weak, {severity}", name, HIGH_RESISTANCE, AddedOhm(wire, ohm),
                         severity=severity)  # fmt: skip
    if part.upstream.key != "always":
        always = Words(
            f"{name}: on a circuit that the key does not switch, or the key contact sticks",
            f"take the supply for {name} from a circuit that the key switches",
            f"nothing at {name} with the key off",
        )
        contact = f"{name}/key contact"
        changed = AlwaysClosed(contact)
        yield always.fault(f"{name} not key-switched", name, ALWAYS_ON, changed)
