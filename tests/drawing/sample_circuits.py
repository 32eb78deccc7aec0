"""Harnesses with parts of every kind, in every place where they are wired."""

from __future__ import annotations

from dataclasses import replace

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
from sample_parts import (
    converter,
    diode,
    isolator,
    lamp,
    led,
    pull_hold,
    relay,
    resistor,
)

from circuitcheck.model.ground import BOND_KINDS, Frame, FrameBond, GroundStud
from circuitcheck.model.harness import Harness, Part
from circuitcheck.model.solenoid_coil import Suppression
from circuitcheck.model.splice import Splice
from circuitcheck.model.switch import SwitchContact
from circuitcheck.model.tolerance_band import Band
from circuitcheck.model.wire import Wire


def splice(name: str) -> Splice:
    return Splice(name, "cab", ONE)


def switch(name: str, *, closed: bool = False) -> Part:
    contact = SwitchContact(name, "momentary", ("line", "load"), closed)
    return handle(name, [contact], kind="switch")


def joined(*pairs: str) -> list[Wire]:
    """Wires W1, W2, ... from pairs written `FROM > TO`."""
    ends = [pair.split(" > ") for pair in pairs]
    return [
        wire(f"W{n}", start, end, colour=("RD",) if n % 3 else ("BK", "WH"))
        for n, (start, end) in enumerate(ends, start=1)
    ]


CHASSIS = Frame("CHASSIS", "engine", (), ONE)


def feed() -> list[Part]:
    return [battery(), tap(fuse=fuse_row(20.0)), fuse("F1"), splice("SP1"), CHASSIS]


def indicators_everywhere() -> Harness:
    """A relay with a lamp before its contact, one after it, and an LED across it."""
    parts = [
        *feed(),
        *(splice(name) for name in ("SP2", "SP3")),
        switch("S1"),
        relay("K1", "changeover", suppression=Suppression("diode", "86"), plus="86"),
        lamp("H1"),
        lamp("H2"),
        led("H3"),
        resistor("R1"),
        coil("Y1", suppression=Suppression("bidirectional TVS")),
    ]
    return harness(
        parts,
        joined(
            "TAP > F1.line",
            "F1.load > SP1",
            "SP1 > S1.line",
            "S1.load > K1.86",
            "K1.85 > CHASSIS",
            "SP1 > SP2",
            "SP2 > K1.30",
            "SP2 > H1.1",
            "H1.2 > CHASSIS",
            "K1.87 > SP3",
            "SP3 > Y1.1",
            "Y1.2 > CHASSIS",
            "SP3 > H2.2",
            "H2.1 > CHASSIS",
            "SP2 > R1.1",
            "R1.2 > H3.1",
            "H3.2 > SP3",
            "CHASSIS > BAT.-",
        ),
        "Indicators before, after and across the contact",
    )


def reversing_relays() -> Harness:
    """Two changeover relays turn a load round; a third holds itself; one switches low."""
    parts = [
        *feed(),
        *(splice(name) for name in ("SP2", "SP3", "SP4", "SP5")),
        switch("S1"),
        switch("S2"),
        switch("S3"),
        switch("S4", closed=True),
        relay("K1", "changeover", suppression=Suppression("resistor")),
        relay("K2", "changeover", suppression=Suppression("diode + Zener", "85")),
        relay("K3", "make", suppression=Suppression("bidirectional TVS")),
        relay("K4", "break", suppression=Suppression("unknown")),
        coil("Y1"),
        coil("Y2"),
        coil("Y3"),
    ]
    return harness(
        parts,
        joined(
            "TAP > F1.line",
            "F1.load > SP1",
            "SP1 > K1.87",
            "SP1 > K2.87",
            "K1.87a > SP2",
            "K2.87a > SP2",
            "SP2 > CHASSIS",
            "K1.30 > Y1.1",
            "Y1.2 > K2.30",
            "SP1 > S1.line",
            "S1.load > K1.86",
            "K1.85 > SP2",
            "SP1 > S2.line",
            "S2.load > K2.85",
            "K2.86 > SP2",
            "SP1 > K3.30",
            "K3.87 > SP3",
            "SP3 > Y2.1",
            "Y2.2 > CHASSIS",
            "SP1 > S3.line",
            "S3.load > SP4",
            "SP3 > S4.line",
            "S4.load > SP4",
            "SP4 > K3.86",
            "K3.85 > CHASSIS",
            "SP1 > Y3.1",
            "Y3.2 > K4.87a",
            "K4.30 > CHASSIS",
            "SP4 > K4.86",
            "K4.85 > CHASSIS",
            "CHASSIS > BAT.-",
        ),
        "Relays that reverse, hold and switch low",
    )


def every_pull_and_hold() -> Harness:
    """Pull and hold coils with every cut-out, fed at either side; a contactor on the frame."""
    diodes = Suppression("diode", "hold")
    parts = [
        *feed(),
        splice("SP2"),
        switch("S1"),
        switch("S2"),
        relay("K1", kind="contactor", body_frame="CHASSIS", suppression=Suppression("diode", "A1")),
        relay("K2", kind="contactor"),
        pull_hold("Y1", "internal switch", suppression=diodes, plus="pull and hold"),
        pull_hold("Y2", "outside timer", suppression=Suppression("bidirectional TVS")),
        pull_hold("Y3", "none", suppression=diodes, plus="common"),
        pull_hold("Y4", "unknown"),
        pull_hold("Y5", "internal switch", plus="common"),
        replace(coil("Y6", suppression=diodes), body_frame="CHASSIS", body_ohm=ONE),
    ]
    return harness(
        parts,
        joined(
            "TAP > F1.line",
            "F1.load > SP1",
            "SP1 > S1.line",
            "S1.load > K1.A1",
            "SP1 > K1.1",
            "K1.2 > SP2",
            "SP2 > Y1.hold",
            "Y1.common > CHASSIS",
            "SP2 > Y2.pull",
            "SP2 > Y2.hold",
            "Y2.common > CHASSIS",
            "SP1 > Y3.common",
            "Y3.pull > S2.line",
            "S2.load > CHASSIS",
            "Y3.hold > CHASSIS",
            "SP2 > Y4.hold",
            "SP1 > Y5.common",
            "Y5.hold > K2.1",
            "K2.2 > CHASSIS",
            "SP1 > K2.A2",
            "K2.A1 > CHASSIS",
            "SP2 > Y6.1",
            "CHASSIS > BAT.-",
        ),
        "Pull and hold",
    )


def trailer() -> Harness:
    """A converter, a trailer socket with its plan, and frames joined in every way."""
    ohms = Band(0.0005, 0.002, 5.0)
    frames = [Frame(f"T{n}", "boom", (), ONE) for n in range(len(BOND_KINDS))]
    frames = [
        replace(frame, bonds=(FrameBond(f"T{n - 1}" if n else "CHASSIS", ohms, by),))
        for n, (frame, by) in enumerate(zip(frames, BOND_KINDS, strict=True))
    ]
    plan = ("left turn", "rear fog lamp", "return", "right turn")
    parts = [
        *feed(),
        *frames,
        Frame("LINK", "boom", (FrameBond("BAT.-", ohms, "strap"),), ONE),
        GroundStud("GS1", "boom", "T4", ONE, 4),
        converter("U1"),
        switch("S1"),
        replace(connector("X1", 4), socket="ISO 1724", functions=plan),
        lamp("H1"),
        coil("Y1"),
    ]
    return harness(
        parts,
        joined(
            "TAP > F1.line",
            "F1.load > U1.in",
            "U1.minus > CHASSIS",
            "U1.out > SP1",
            "SP1 > S1.line",
            "S1.load > X1.plug.1",
            "SP1 > X1.plug.2",
            "X1.receptacle.1 > Y1.1",
            "Y1.2 > GS1",
            "X1.receptacle.2 > H1.1",
            "H1.2 > X1.receptacle.3",
            "X1.plug.3 > CHASSIS",
            "CHASSIS > BAT.-",
        ),
        "Trailer with a shared return",
    )


def isolators() -> Harness:
    """An isolator in either line of the battery, and steering, blocking and flyback diodes."""
    parts = [
        battery(),
        isolator("Q1"),
        isolator("Q2"),
        fuse("F1"),
        CHASSIS,
        *(splice(name) for name in ("SP1", "SP2", "SP3", "SP4", "SP5")),
        switch("S1"),
        switch("S2"),
        *(diode(f"D{n}") for n in range(1, 5)),
        led("H1", None, 0.0),
        led("H2", "2"),
        led("H3", "1", 0.0),
        resistor("R1"),
        resistor("R2"),
        coil("Y1"),
    ]
    return harness(
        parts,
        joined(
            "BAT.+ > Q1.1",
            "Q1.2 > F1.line",
            "F1.load > SP1",
            "SP1 > S1.line",
            "SP1 > S2.line",
            "S1.load > D1.anode",
            "S2.load > D2.anode",
            "D1.cathode > SP2",
            "D2.cathode > SP2",
            "SP2 > Y1.1",
            "Y1.2 > SP3",
            "SP2 > D3.cathode",
            "D3.anode > SP3",
            "SP3 > CHASSIS",
            "SP1 > H1.1",
            "H1.2 > CHASSIS",
            "SP1 > H2.2",
            "H2.1 > R1.1",
            "R1.2 > SP3",
            "SP2 > D4.cathode",
            "D4.anode > R2.2",
            "R2.1 > H3.2",
            "H3.1 > SP1",
            "SP4 > BAT.-",
            "SP4 > Q2.1",
            "Q2.2 > CHASSIS",
        ),
        "Isolators and diodes",
    )


def nothing_wired() -> Harness:
    """One part of every kind on which no wire lands: all of it is drawn all the same."""
    parts: list[Part] = [
        *feed(),
        GroundStud("GS1", "engine", "CHASSIS", ONE, 4),
        switch("S1"),
        isolator("Q1"),
        connector("X1", 3),
        coil("Y1", suppression=Suppression("diode + Zener", "2")),
        relay("K1", "changeover"),
        relay("K2", kind="contactor", body_frame="CHASSIS"),
        lamp("H1"),
        led("H2"),
        diode("D1"),
        resistor("R1"),
        converter("U1"),
        pull_hold("Y2"),
    ]
    return harness(parts, [], "No wire yet")


CIRCUITS = {
    "indicators": indicators_everywhere,
    "relays": reversing_relays,
    "pull and hold": every_pull_and_hold,
    "trailer": trailer,
    "isolators": isolators,
    "nothing wired": nothing_wired,
}
