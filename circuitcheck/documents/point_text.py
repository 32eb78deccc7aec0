"""A point of a circuit as a person finds it: part, half and cavity, wire name and colour."""

from __future__ import annotations

from circuitcheck.circuit.topology import wires_at
from circuitcheck.model.battery import Battery
from circuitcheck.model.connector import Connector
from circuitcheck.model.fuse import Fuse
from circuitcheck.model.ground import Frame, GroundStud
from circuitcheck.model.harness import Harness
from circuitcheck.model.splice import Splice
from circuitcheck.model.supply_tap import SupplyTap

CALLED = {GroundStud: "ground stud", SupplyTap: "tap", Splice: "splice"}
POSTS = {"+": "plus post", "-": "minus post", "mid": "mid post"}


def point_text(harness: Harness, terminal: str) -> str:
    """Return a terminal in plain words: `X1 plug, cavity 2 (GN wire W4)`."""
    name, _, end = terminal.partition(".")
    part = harness.parts[name]
    wires = _wires(harness, terminal)
    if isinstance(part, Battery):
        return f"battery {POSTS.get(end, end)}"
    if isinstance(part, Connector):
        half, _, cavity = end.partition(".")
        return f"{name} {half}, cavity {cavity}{wires}"
    if isinstance(part, Fuse):
        return f"fuse {name}, {end} side{wires}"
    if isinstance(part, Frame):
        return f"frame {name}, bare metal"
    called = next((word for kind, word in CALLED.items() if isinstance(part, kind)), "")
    if called:
        return f"{called} {name}{wires}"
    return f"{name} terminal {end}{wires}" if end else f"{name}{wires}"


def _wires(harness: Harness, terminal: str) -> str:
    names = wires_at(harness).get(terminal, [])
    said = [wire_text(harness, name) for name in names]
    return f" ({', '.join(said)})" if said else ""


def wire_text(harness: Harness, name: str) -> str:
    """Return a wire with its colour: `GN wire W4`."""
    colour = "/".join(harness.wires[name].colour)
    return f"{colour} wire {name}".strip()


def subject_text(harness: Harness, name: str) -> str:
    """Return what an observation or a clamp is taken at: a wire with its colour, a part's name."""
    if name in harness.wires:
        return wire_text(harness, name)
    return point_text(harness, name) if "." in name else name
