"""Random harnesses with parts of every kind: branches off one feed, each with its own load."""

from __future__ import annotations

import random
from dataclasses import dataclass, field, replace

from sample_circuits import splice, switch
from sample_harnesses import (
    ONE,
    battery,
    coil,
    connector,
    fuse,
    fuse_row,
    handle,
    harness,
    tap,
    wire,
)
from sample_parts import converter, diode, isolator, lamp, led, pull_hold, relay, resistor

from circuitcheck.model.ground import BOND_KINDS, Frame, FrameBond, GroundStud
from circuitcheck.model.harness import Harness, Part
from circuitcheck.model.pull_hold_coil import CUT_OUTS
from circuitcheck.model.relay import CONTACT_SETS, Relay
from circuitcheck.model.solenoid_coil import SUPPRESSION_KINDS, SolenoidCoil, Suppression
from circuitcheck.model.splice import Splice
from circuitcheck.model.supply_tap import SupplyTap
from circuitcheck.model.switch import Interlock, SwitchContact
from circuitcheck.model.terminal import Terminal
from circuitcheck.model.tolerance_band import Band
from circuitcheck.model.wire import Wire

COLOURS = ("RD", "YE", "GN", "BU", "WH", "BN", "OG", "VT")


@dataclass
class Growing:
    """The parts and wires so far."""

    draw: random.Random
    parts: list[Part] = field(default_factory=list)
    wires: list[Wire] = field(default_factory=list)

    def part(self, made: Part) -> str:
        self.parts.append(made)
        return made.name

    def name(self, letter: str) -> str:
        return f"{letter}{len(self.parts)}"

    def wire(self, start: str, end: str) -> None:
        colour = tuple(self.draw.sample(COLOURS, self.draw.choice((0, 1, 1, 2))))
        length_m = self.draw.choice((0.2, 2.5, 12.0))
        self.wires.append(
            wire(f"W{len(self.wires) + 1}", start, end, colour=colour, length_m=length_m)
        )

    def suppression(self, *ends: str) -> Suppression:
        cathode = self.draw.choice((*ends, "unknown"))
        return Suppression(self.draw.choice(SUPPRESSION_KINDS), cathode)


def mixed(seed: int, wires_wanted: int) -> Harness:
    """A random harness with about so many wires."""
    made = Growing(random.Random(seed))
    draw = made.draw
    made.parts += [battery(), Frame("CHASSIS", "engine", (), ONE)]
    if draw.random() < 0.5:
        made.part(isolator("Q1"))
        made.wire("CHASSIS", "Q1.1")
        made.wire("Q1.2", "BAT.-")
    else:
        made.wire("CHASSIS", "BAT.-")
    feeds: list[str] = []
    while len(made.wires) < wires_wanted:
        if not feeds or draw.random() < 0.15:
            feeds.append(_feed(made))
        _branch(made, draw.choice(feeds), _return_place(made))
    return harness(made.parts, made.wires, f"Mixed {seed}")


def _feed(made: Growing) -> str:
    """A fuse behind a tap, an isolator or a converter; returns a splice that may take any wire."""
    fused = made.part(fuse(made.name("F")))
    common = made.part(splice(made.name("SP")))
    how = made.draw.choice(("tap", "tap", "isolator", "converter"))
    if how == "isolator":
        source = made.part(isolator(made.name("Q")))
        made.wire("BAT.+", f"{source}.1")
        made.wire(f"{source}.2", f"{fused}.line")
    else:
        source = made.part(tap(made.name("TAP"), fuse=fuse_row(20.0)))
        made.wire(source, f"{fused}.line")
    if how == "converter":
        unit = made.part(converter(made.name("U")))
        made.wire(f"{fused}.load", f"{unit}.in")
        made.wire(f"{unit}.out", common)
        made.wire(f"{unit}.minus", "CHASSIS")
    else:
        made.wire(f"{fused}.load", common)
    return common


def _return_place(made: Growing) -> str:
    """Where a return may end: the frame, a stud, a frame joined to it, a splice."""
    how = made.draw.choice(("frame", "frame", "stud", "other frame", "splice"))
    if how == "stud":
        return made.part(GroundStud(made.name("GS"), "engine", "CHASSIS", ONE, 8))
    if how == "other frame":
        bond = FrameBond("CHASSIS", Band(0.0, 0.01, 0.1), made.draw.choice(BOND_KINDS))
        return made.part(Frame(made.name("FR"), "boom", (bond,), ONE))
    if how == "splice":
        common = made.part(Splice(made.name("SP"), "boom", ONE))
        made.wire(common, "CHASSIS")
        return common
    return "CHASSIS"


def _branch(made: Growing, feed: str, back: str) -> None:
    """A contact in the feed or in the return, and one or more loads behind it."""
    draw = made.draw
    behind = made.part(splice(made.name("SP")))
    how = draw.choice(("switch", "relay", "relay", "handle", "contactor", "none"))
    if how == "none":
        made.wire(feed, behind)
    elif how == "switch":
        button = made.part(switch(made.name("S"), closed=draw.random() < 0.3))
        made.wire(feed, f"{button}.line")
        made.wire(f"{button}.load", behind)
    elif how == "handle":
        _handle(made, feed, behind)
    else:
        _relay(made, feed, behind, back, is_contactor=how == "contactor")
    for _ in range(draw.randint(1, 3)):
        _load(made, feed, behind, back)


def _handle(made: Growing, feed: str, behind: str) -> None:
    contacts = [SwitchContact(f"b{n}", "momentary", ("feed", f"out{n}")) for n in range(2)]
    locks = [Interlock(made.draw.choice(("mechanical", "electrical")), ("b0", "b1"))]
    grip = made.part(handle(made.name("GRIP"), contacts, locks))
    made.wire(feed, f"{grip}.feed")
    made.wire(f"{grip}.out0", behind)


def _relay(made: Growing, feed: str, behind: str, back: str, *, is_contactor: bool) -> None:
    draw = made.draw
    button = made.part(switch(made.name("S")))
    coil_ends = ["A1", "A2"] if is_contactor else ["86", "85"]
    common, closed = ("1", "2") if is_contactor else ("30", "87")
    name = made.name("K")
    made_relay = relay(
        name,
        "make" if is_contactor else draw.choice(CONTACT_SETS),
        kind="contactor" if is_contactor else "relay",
        suppression=made.suppression(*coil_ends),
        plus=draw.choice((None, coil_ends[0])),
    )
    if is_contactor and draw.random() < 0.5:
        made_relay = replace(made_relay, body_frame="CHASSIS", body_ohm=ONE)
    made.part(made_relay)
    if made_relay.contacts == "break":
        closed = "87a"
    made.wire(feed, f"{button}.line")
    low_side = draw.random() < 0.3 and made_relay.body_frame is None
    fed, other = draw.sample(coil_ends, 2) if made_relay.body_frame is None else coil_ends
    made.wire(f"{button}.load", f"{name}.{fed}")
    if made_relay.body_frame is None:
        made.wire(f"{name}.{other}", back)
    if low_side:
        made.wire(f"{name}.{common}", back)
        load = made.part(coil(made.name("Y"), suppression=made.suppression("1", "2")))
        made.wire(behind, f"{load}.1")
        made.wire(f"{load}.2", f"{name}.{closed}")
        made.wire(feed, behind)
    else:
        made.wire(feed, f"{name}.{common}")
        made.wire(f"{name}.{closed}", behind)


def _load(made: Growing, feed: str, behind: str, back: str) -> None:
    draw = made.draw
    how = draw.choice(("coil", "coil", "lamp", "LED", "across", "pull and hold", "diode", "plug"))
    if how == "pull and hold":
        return _pull_hold(made, behind, back)
    if how == "across":
        light = made.part(led(made.name("H"), draw.choice(("1", "2", None))))
        ohms = made.part(resistor(made.name("R")))
        made.wire(feed, f"{ohms}.1")
        made.wire(f"{ohms}.2", f"{light}.1")
        made.wire(f"{light}.2", behind)
        return None
    if how == "diode":
        steering = made.part(diode(made.name("D")))
        made.wire(behind, f"{steering}.anode")
        load = made.part(lamp(made.name("H")))
        made.wire(f"{steering}.cathode", f"{load}.1")
        made.wire(f"{load}.2", back)
        return None
    makes = {"lamp": lamp, "LED": led}
    load = made.part(makes.get(how, coil)(made.name("Y")))
    if how == "coil" and draw.random() < 0.2:
        made.parts[-1] = replace(coil(load), body_frame="CHASSIS", body_ohm=ONE)
        made.wire(behind, f"{load}.1")
        return None
    first, second = draw.sample(("1", "2"), 2)
    if how == "plug":
        plan = ("left turn", "return") if draw.random() < 0.5 else ()
        plug = made.part(replace(connector(made.name("X"), 2), functions=plan))
        made.wire(behind, f"{plug}.plug.1")
        made.wire(f"{plug}.receptacle.1", f"{load}.{first}")
        made.wire(f"{load}.{second}", f"{plug}.receptacle.2")
        made.wire(f"{plug}.plug.2", back)
        return None
    made.wire(behind, f"{load}.{first}")
    made.wire(f"{load}.{second}", back)
    return None


def _pull_hold(made: Growing, behind: str, back: str) -> None:
    cut_out = made.draw.choice(CUT_OUTS)
    plus = made.draw.choice((None, "common", "pull and hold"))
    suppression = made.suppression("hold", "common")
    load = made.part(pull_hold(made.name("Y"), cut_out, suppression=suppression, plus=plus))
    start, end = (back, behind) if plus == "common" else (behind, back)
    made.wire(start, f"{load}.hold")
    if cut_out != "internal switch":
        made.wire(start, f"{load}.pull")
    made.wire(end, f"{load}.common")


def renamed(given: Harness, names: dict[str, str]) -> Harness:
    """The same harness with other names of parts; wires and bonds follow."""

    def terminal(old: Terminal) -> Terminal:
        return Terminal(names[old.part], old.name)

    def part(old: Part) -> Part:
        new = replace(old, name=names[old.name])
        if isinstance(new, Frame):
            bonds = tuple(replace(bond, to=names[bond.to]) for bond in new.bonds)
            return replace(new, bonds=bonds)
        if isinstance(new, GroundStud):
            return replace(new, frame=names[new.frame])
        if isinstance(new, SupplyTap):
            source = terminal(new.upstream.source)
            return replace(new, upstream=replace(new.upstream, source=source))
        if isinstance(new, (SolenoidCoil, Relay)) and new.body_frame is not None:
            return replace(new, body_frame=names[new.body_frame])
        return new

    wires = [replace(w, start=terminal(w.start), end=terminal(w.end)) for w in given.wires.values()]
    return harness([part(old) for old in given.parts.values()], wires, given.circuit)
