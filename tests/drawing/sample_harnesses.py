"""Harnesses for the drawing tests, built from the model's records: rows of the library, the rest
invented for the picture's sake."""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence

from circuitcheck.model.battery import Battery
from circuitcheck.model.conditions import Conditions, Use, Zone
from circuitcheck.model.connector import Connector
from circuitcheck.model.fuse import Fuse
from circuitcheck.model.ground import Frame, FrameBond, GroundStud
from circuitcheck.model.harness import Harness, Part
from circuitcheck.model.library import FuseRow
from circuitcheck.model.solenoid_coil import Moves, SolenoidCoil, Suppression
from circuitcheck.model.splice import Splice
from circuitcheck.model.supply_tap import SupplyTap, Upstream
from circuitcheck.model.switch import Interlock, SwitchContact, SwitchHandle
from circuitcheck.model.terminal import Terminal
from circuitcheck.model.tolerance_band import Band
from circuitcheck.model.wire import Wire
from circuitcheck.read.library.library_tables import read_library

ONE = Band.exact(1.0)
PRESENT_LOAD = Band(0.0, 2.0, 4.0)
LIBRARY = read_library()
CONDUCTOR = LIBRARY.conductor("16 AWG")
INSULATION = LIBRARY.insulation("PVC 105")
CONTACT = LIBRARY.contact("2.8 mm sealed")


def terminal(text: str) -> Terminal:
    part, _, name = text.partition(".")
    return Terminal(part, name)


def wire(
    name: str,
    start: str,
    end: str,
    *,
    gauge: str = "16 AWG",
    colour: tuple[str, ...] = ("RD",),
    length_m: float = 1.5,
    cable: str | None = None,
) -> Wire:
    return Wire(
        name=name,
        start=terminal(start),
        end=terminal(end),
        gauge=gauge,
        conductor=CONDUCTOR,
        length_m=Band.exact(length_m),
        insulation=INSULATION,
        colour=colour,
        route=("cab",),
        crimp_ohm=ONE,
        cable=cable,
    )


def battery(name: str = "BAT") -> Battery:
    return Battery(name, "12 V flooded, 60 Ah", "engine", 12.0, ONE, ONE, 90.0, ONE)


def fuse_row(rating_a: float = 5.0) -> FuseRow:
    return LIBRARY.fuse("blade", rating_a)


def tap(
    name: str = "TAP",
    *,
    key: str = "on",
    cranking: str = "off",
    fuse: FuseRow | None = None,
    fuse_known: bool = True,
    also_feeds: tuple[str, ...] | None = ("wiper",),
    present_load_a: Band | None = PRESENT_LOAD,
    source: str = "BAT.+",
) -> SupplyTap:
    upstream = Upstream(
        source=terminal(source),
        fuse=fuse,
        fuse_known=fuse_known,
        conductor=CONDUCTOR,
        insulation=INSULATION,
        length_m=Band.exact(1.8),
        key=key,
        cranking=cranking,
        present_load_a=present_load_a,
        key_contact_ohm=ONE,
        key_contact_rated_a=None,
        clip_ohm=ONE,
        zone="engine",
    )
    return SupplyTap(name, "cab", upstream, ONE, also_feeds)


def fuse(name: str = "F1", rating_a: float = 5.0) -> Fuse:
    return Fuse(name, "cab", fuse_row(rating_a), ONE, ONE)


def handle(
    name: str,
    contacts: Sequence[SwitchContact],
    interlocks: Sequence[Interlock] = (),
    kind: str = "switch handle",
) -> SwitchHandle:
    return SwitchHandle(name, "cab", tuple(contacts), tuple(interlocks), (), ONE, kind)


def connector(name: str, cavities: int) -> Connector:
    return Connector(name, "boom", cavities, CONTACT, ONE)


def coil(
    name: str,
    *,
    movement: str = "opens the left boom",
    suppression: Suppression | None = None,
    plus: str | None = None,
) -> SolenoidCoil:
    return SolenoidCoil(
        name=name,
        zone="boom",
        rated_v=12.0,
        resistance_20c_ohm=Band(6.5, 7.2, 7.9),
        pull_in_fraction=0.75,
        highest_fraction=1.1,
        rated_ambient_c=20.0,
        duty=1.0,
        thermal_resistance_k_per_w=None,
        thermal_time_constant_s=None,
        temperature_limit_c=None,
        inductance_h=None,
        plus=plus,
        suppression=suppression or Suppression("none"),
        moves=Moves("section valve", "left boom", movement, "spray"),
    )


def harness(parts: Sequence[Part], wires: Sequence[Wire], circuit: str = "Sample") -> Harness:
    zone = Zone("cab", Band(-10.0, 20.0, 45.0))
    named: Mapping[str, Part] = {part.name: part for part in parts}
    return Harness(
        file="sample.toml",
        circuit=circuit,
        system_v=12.0,
        conditions=Conditions((11.9, 12.8), (13.2, 14.9)),
        zones={"cab": zone, "boom": zone, "engine": zone},
        use=Use(),
        parts=named,
        wires={w.name: w for w in wires},
    )


def two_coils() -> Harness:
    """Two switches, two coils, each returned to the frame by its own wire."""
    parts = [
        battery(),
        tap(fuse=fuse_row(15.0)),
        fuse(),
        Splice("SP1", "cab", ONE),
        handle("S1", [SwitchContact("S1", "maintained", ("line", "load"))], kind="switch"),
        handle("S2", [SwitchContact("S2", "momentary", ("line", "load"), True)], kind="switch"),
        coil("Y1", suppression=Suppression("diode", "1"), plus="1"),
        coil("Y2", suppression=Suppression("diode + Zener", "1")),
        Frame("CHASSIS", "engine", (), ONE),
    ]
    wires = [
        wire("W1", "TAP", "F1.line"),
        wire("W2", "F1.load", "SP1"),
        wire("W3", "SP1", "S1.line"),
        wire("W4", "SP1", "S2.line"),
        wire("W5", "S1.load", "Y1.1", colour=("YE",)),
        wire("W6", "S2.load", "Y2.1", colour=("GN", "WH")),
        wire("W7", "Y1.2", "CHASSIS", colour=("BK",)),
        wire("W8", "Y2.2", "CHASSIS", colour=("BK",)),
        wire("W9", "CHASSIS", "BAT.-", colour=("BK",), gauge="8 AWG", length_m=0.4),
    ]
    return harness(parts, wires, "Two coils to the frame")


def handle_and_cable() -> Harness:
    """A handle with two buttons, interlocked, a jacketed cable, a connector and a stud."""
    parts = [
        battery(),
        tap(key="always", cranking="on", fuse=fuse_row(20.0), also_feeds=None),
        fuse(),
        handle(
            "GRIP",
            [
                SwitchContact("left", "momentary", ("feed", "out_left")),
                SwitchContact("right", "momentary", ("feed", "out_right")),
            ],
            [Interlock("mechanical", ("left", "right"))],
        ),
        connector("X1", 3),
        Splice("SP1", "boom", ONE),
        GroundStud("GS1", "engine", "CHASSIS", ONE, 4),
        Frame("CHASSIS", "engine", (), ONE),
        coil("VL", suppression=Suppression("resistor", None, ONE)),
        coil("VR", movement="opens the right boom", suppression=Suppression("unknown")),
    ]
    cable = {"cable": "C1", "length_m": 7.5}
    wires = [
        wire("W1", "TAP", "F1.line"),
        wire("W2", "F1.load", "GRIP.feed"),
        wire("W3", "GRIP.out_left", "X1.plug.1", colour=("BN",), cable="C1", length_m=7.5),
        wire("W4", "GRIP.out_right", "X1.plug.2", colour=("WH",), **cable),
        wire("W5", "X1.receptacle.1", "VL.1", colour=("BN",)),
        wire("W6", "X1.receptacle.2", "VR.1", colour=("WH",)),
        wire("W7", "VL.2", "SP1", colour=("BU",)),
        wire("W8", "VR.2", "SP1", colour=("BU",)),
        wire("W9", "SP1", "X1.receptacle.3", colour=("BU",)),
        wire("W10", "X1.plug.3", "GS1", colour=("BU",), **cable),
        wire("W11", "CHASSIS", "BAT.-", colour=("BK",), gauge="25 mm2", length_m=0.4),
    ]
    return harness(parts, wires, "Handle, cable and stud")


def splice_to_four() -> Harness:
    """One switch, one splice, four coils with a connector each, returned to one splice."""
    parts: list[Part] = [
        battery(),
        tap(fuse=None, fuse_known=False, key="unknown", cranking="unknown", present_load_a=None),
        fuse(),
        handle("S1", [SwitchContact("S1", "maintained", ("line", "load"))], kind="switch"),
        Splice("SP1", "boom", ONE),
        Splice("SP2", "boom", ONE),
    ]
    wires = [
        wire("W1", "TAP", "F1.line"),
        wire("W2", "F1.load", "S1.line"),
        wire("W3", "S1.load", "SP1", colour=("OG",)),
        wire("W4", "SP2", "BAT.-", colour=("BK",), length_m=6.0),
    ]
    for n in range(1, 5):
        parts += [connector(f"X{n}", 2), coil(f"Y{n}", movement=f"shuts section {n}")]
        wires += [
            wire(f"W1{n}", "SP1", f"X{n}.plug.1", colour=("OG", "BK"), cable=f"C{n}"),
            wire(f"W2{n}", f"X{n}.receptacle.1", f"Y{n}.1", colour=("RD",), length_m=0.2),
            wire(f"W3{n}", f"X{n}.receptacle.2", f"Y{n}.2", colour=("BK",), length_m=0.2),
            wire(f"W4{n}", "SP2", f"X{n}.plug.2", colour=("BK",), cable=f"C{n}"),
        ]
    return harness(parts, wires, "One switch, four sections")


def six_coils() -> Harness:
    """24 V, a handle with six buttons, two connectors, returns to two bonded frames."""
    contacts = [SwitchContact(f"b{n}", "momentary", ("feed", f"out{n}")) for n in range(1, 7)]
    parts: list[Part] = [
        battery(),
        tap(fuse=fuse_row(25.0)),
        fuse("F1", 10.0),
        handle(
            "GRIP",
            contacts,
            [Interlock("mechanical", ("b1", "b2")), Interlock("electrical", ("b3", "b4"))],
        ),
        connector("X1", 4),
        connector("X2", 4),
        Frame("CHASSIS", "engine", (), ONE),
        Frame("BOOM", "boom", (FrameBond("CHASSIS", Band(0.0005, 0.002, 0.005)),), ONE),
        GroundStud("GS1", "engine", "CHASSIS", ONE, 4),
        GroundStud("GS2", "boom", "BOOM", ONE, 4),
    ]
    wires = [
        wire("W1", "TAP", "F1.line", gauge="2.5 mm2"),
        wire("W2", "F1.load", "GRIP.feed", gauge="2.5 mm2"),
        wire("W3", "BAT.-", "CHASSIS", colour=("BK",), gauge="16 mm2"),
        wire("W4", "X1.plug.4", "GS1", colour=("BK",), gauge="2.5 mm2"),
    ]
    for n in range(1, 7):
        plug = "X1" if n <= 3 else "X2"
        cavity = n if n <= 3 else n - 3
        parts.append(
            coil(f"Y{n}", movement=f"moves flap {n}", suppression=Suppression("diode", "1"))
        )
        wires += [
            wire(f"W1{n}", f"GRIP.out{n}", f"{plug}.plug.{cavity}", colour=("YE",)),
            wire(f"W2{n}", f"{plug}.receptacle.{cavity}", f"Y{n}.1", colour=("YE",)),
        ]
    parts.append(Splice("SP1", "boom", ONE))
    wires += [wire(f"W3{n}", f"Y{n}.2", "SP1", colour=("BK",)) for n in (1, 2, 3)]
    wires += [wire("W37", "SP1", "X1.receptacle.4", colour=("BK",))]
    wires += [wire(f"W4{n}", f"Y{n}.2", "GS2", colour=("BK",)) for n in (4, 5, 6)]
    return harness(parts, wires, "Six flaps")


def odd_ends() -> Harness:
    """Awkward things: two taps, a low-side switch, coils in series, open ends, a ring of wires."""
    parts: list[Part] = [
        battery(),
        tap("TAP1", fuse=fuse_row()),
        tap("TAP2", key="always", fuse=None, also_feeds=(), present_load_a=Band.exact(0.0)),
        tap("TAP3", source="ALT.B"),
        fuse("F1"),
        fuse("F2"),
        fuse("F3"),
        handle(
            "GRIP",
            [
                SwitchContact("up", "momentary", ("plus", "a")),
                SwitchContact("up", "momentary", ("minus", "b")),
                SwitchContact("down", "momentary", ("plus", "b")),
                SwitchContact("down", "momentary", ("minus", "a")),
            ],
        ),
        handle("S2", [SwitchContact("S2", "maintained", ("1", "2"))], kind="switch"),
        connector("X1", 4),
        coil("Y1"),
        coil("Y2"),
        coil("Y3", suppression=Suppression("diode", "2")),
        coil("Y4"),
        Splice("SP1", "cab", ONE),
        Splice("SP2", "cab", ONE),
    ]
    wires = [
        wire("W1", "TAP1", "F1.line"),
        wire("W2", "TAP2", "F2.line"),
        wire("W3", "F1.load", "GRIP.plus"),
        wire("W4", "GRIP.minus", "BAT.-"),
        wire("W5", "GRIP.a", "X1.plug.1"),
        wire("W6", "GRIP.b", "X1.plug.2"),
        wire("W7", "X1.receptacle.1", "Y1.1"),
        wire("W8", "X1.receptacle.2", "Y2.2"),
        wire("W9", "Y1.2", "Y2.1"),
        wire("W10", "F2.load", "SP1"),
        wire("W11", "SP1", "Y3.1"),
        wire("W12", "Y3.2", "S2.1"),
        wire("W13", "S2.2", "BAT.-"),
        wire("W14", "SP1", "SP2"),
        wire("W15", "SP2", "F1.load"),
        wire("W16", "X1.plug.4", "Y4.1"),
        wire("W17", "BAT.+", "SP2"),
        wire("W18", "TAP3", "F3.line"),
    ]
    return harness(parts, wires, "Odd ends")


HOSTILE = (
    "<script>alert('x')</script> $x^2$ & \"q\" \n\t\x00\x1b[31m \N{RIGHT-TO-LEFT OVERRIDE} "
    "\u6f22\u5b57 \\frac{1}{2}"
)


def hostile() -> Harness:
    """Names meant to break a picture: markup, formulas, control signs, great length."""
    long_name = "N" * 300
    parts: list[Part] = [
        battery(HOSTILE),
        tap(long_name, source=f"{HOSTILE}.+", also_feeds=(HOSTILE, long_name)),
        fuse("$x^2$"),
        handle(
            "<b>",
            [SwitchContact(HOSTILE, "momentary", (HOSTILE, long_name))],
        ),
        coil("]]>", movement=HOSTILE * 4),
    ]
    wires = [
        wire("<!--", "TAP", "F"),
        wire("$\\alpha$", "TAP", "F", colour=("<svg/>", "&amp;"), gauge="</text>"),
        wire(long_name, "TAP", "F"),
        wire("W4", "TAP", "F", colour=()),
    ]
    ends = [
        (Terminal(long_name), Terminal("$x^2$", "line")),
        (Terminal("$x^2$", "load"), Terminal("<b>", HOSTILE)),
        (Terminal("<b>", long_name), Terminal("]]>", "1")),
        (Terminal("]]>", "2"), Terminal(HOSTILE, "-")),
    ]
    wired = [
        wire_between(given, start, end) for given, (start, end) in zip(wires, ends, strict=True)
    ]
    return harness(parts, wired, HOSTILE)


def wire_between(given: Wire, start: Terminal, end: Terminal) -> Wire:
    from dataclasses import replace

    return replace(given, start=start, end=end)


SAMPLES = {
    "two coils": two_coils,
    "handle and cable": handle_and_cable,
    "splice to four": splice_to_four,
    "six coils": six_coils,
    "odd ends": odd_ends,
    "hostile": hostile,
}


def generated(seed: int, wires_wanted: int) -> Harness:
    """A random harness with about so many wires: feeds over handles, connectors and splices."""
    draw = random.Random(seed)
    parts: list[Part] = [battery(), Frame("CHASSIS", "engine", (), ONE)]
    wires: list[Wire] = [wire("W1", "CHASSIS", "BAT.-", colour=("BK",), gauge="8 AWG")]
    codes = ("RD", "YE", "GN", "BU", "WH", "BN", "OG", "VT")

    def add(start: str, end: str, cable: str | None = None) -> None:
        colour = tuple(draw.sample(codes, draw.choice((1, 1, 2))))
        wires.append(
            wire(
                f"W{len(wires) + 1}",
                start,
                end,
                colour=colour,
                gauge=draw.choice(("16 AWG", "1.5 mm2", "0.75 mm2")),
                length_m=draw.choice((0.15, 2.5, 12.0)),
                cable=cable,
            )
        )

    block = 0
    while len(wires) < wires_wanted:
        block += 1
        coils = draw.randint(1, 4)
        parts.append(
            tap(f"TAP{block}", key=draw.choice(("on", "always", "unknown")), fuse=fuse_row())
        )
        parts.append(fuse(f"F{block}", draw.choice((3.0, 7.5, 15.0))))
        contacts = [
            SwitchContact(f"b{n}", draw.choice(("momentary", "maintained")), ("feed", f"out{n}"))
            for n in range(coils)
        ]
        locks = [Interlock("mechanical", ("b0", "b1"))] if coils > 1 and draw.random() < 0.4 else []
        parts.append(handle(f"GRIP{block}", contacts, locks))
        add(f"TAP{block}", f"F{block}.line")
        if draw.random() < 0.3:
            parts.append(connector(f"XF{block}", 1))
            add(f"F{block}.load", f"XF{block}.plug.1")
            add(f"XF{block}.receptacle.1", f"GRIP{block}.feed")
        else:
            add(f"F{block}.load", f"GRIP{block}.feed")
        back = _return_place(draw, parts, add, block, coils)
        plugged = draw.random() < 0.7
        cavity = list(range(1, coils + 1))
        draw.shuffle(cavity)
        cable = f"C{block}" if draw.random() < 0.5 else None
        if plugged:
            parts.append(connector(f"X{block}", 2 * coils + 1))
        for n in range(coils):
            name = f"Y{block}{n}"
            kind = draw.choice(("none", "diode", "unknown"))
            parts.append(coil(name, suppression=Suppression(kind, draw.choice(("1", "2", None)))))
            feed, far = draw.choice((("1", "2"), ("2", "1")))
            if plugged:
                add(f"GRIP{block}.out{n}", f"X{block}.plug.{cavity[n]}", cable)
                add(f"X{block}.receptacle.{cavity[n]}", f"{name}.{feed}")
                if draw.random() < 0.5:
                    add(f"{name}.{far}", f"X{block}.receptacle.{coils + 1 + n}")
                    add(f"X{block}.plug.{coils + 1 + n}", back, cable)
                else:
                    add(f"{name}.{far}", back)
            else:
                add(f"GRIP{block}.out{n}", f"{name}.{feed}", cable)
                add(f"{name}.{far}", back)
    return harness(parts, wires, f"Generated {seed}")


def _return_place(draw, parts, add, block, coils):
    place = draw.choice(("frame", "stud", "splice", "splice to stud"))
    if place == "frame":
        return "CHASSIS"
    if "stud" in place:
        parts.append(GroundStud(f"GS{block}", "engine", "CHASSIS", ONE, 8))
    if place == "stud":
        return f"GS{block}"
    parts.append(Splice(f"SP{block}", "boom", ONE))
    add(f"SP{block}", f"GS{block}" if "stud" in place else "BAT.-")
    return f"SP{block}"
