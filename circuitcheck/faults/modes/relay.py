"""Relays and contactors: coil open or shorted, armature stuck, contacts burnt or welded."""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.faults.fault import (
    FAILS_TO_CLOSE,
    FAILS_TO_OPEN,
    OPEN,
    AddedOhm,
    Fault,
    RelayStuck,
)
from circuitcheck.faults.modes.context import (
    FaultContext,
    Words,
    high_resistance,
    suppressor_faults,
)
from circuitcheck.faults.modes.solenoid_coil import shorted_turns, winding_words
from circuitcheck.model.relay import Relay


def faults(part: Relay, context: FaultContext) -> Iterator[Fault]:
    """Yield the faults of coil, armature and each contact in use."""
    name, band = part.name, part.resistance_20c_ohm
    reads = f"{name} taken out and cold reads {band.lower:.3g} to {band.upper:.3g} ohm"
    words = winding_words(name, reads, part.kind)
    yield words.fault(f"{name} coil open", name, OPEN, AddedOhm(name), other="coil")
    yield from shorted_turns(name, name, words, what="coil")
    stays = Words(f"the armature of {name}", f"replace {part.kind} {name}", f"{name} clicks")
    at_rest = RelayStuck(name, operated=False)
    yield stays.fault(f"{name} stuck at rest", name, FAILS_TO_CLOSE, at_rest, other="armature")
    operated = RelayStuck(name, operated=True)
    yield stays.fault(f"{name} stuck operated", name, FAILS_TO_OPEN, operated, other="armature")
    drop_v = context.limit("switch_drop_v")
    for side in part.contact_sides:
        first, second = (f"{name}.{terminal}" for terminal in side.terminals)
        if first not in context.landed or second not in context.landed:
            continue
        what = f"{side.side} contact"
        words = Words(
            f"contact of {name} from {first} to {second}",
            f"replace {part.kind} {name}; look for what burnt it: an unsuppressed coil, a short",
            f"with its load on, less than {drop_v:g} V from {first} to {second}",
        )
        branch = f"{name}/{side.side}"
        lost = AddedOhm(branch)
        yield words.fault(f"{name} {what} does not close", name, FAILS_TO_CLOSE, lost, other=what)
        yield from high_resistance(name, branch, words, what=what, other=what)
    yield from suppressor_faults(name, part.suppression, part.coil_terminals)
