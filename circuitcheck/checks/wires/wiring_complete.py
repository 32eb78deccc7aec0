"""Wiring complete and protected.

Finds       open ends, a coil without feed or return, a coil fed at both ends, too many wires on a
            terminal, a short without a coil in it, a feed without a fuse, a bridged fuse, a part
            that nothing is connected to, a wire shorter than its way through the branches
Source      common-practice; 33-cfr-183-455 for a fuse in every feed
Formula     none: terminals are joined through wires and closed contacts, and looked at
Worst case  every switch contact counts as closed
Not covered wires that are drawn right and fitted wrong; whether a terminal suits its wire
Result      one failure per fault, with the line of the file; one pass when there is none
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.finding import FAIL, PASS, Finding
from circuitcheck.circuit.structural_faults import structural_faults
from circuitcheck.circuit.topology import reach, read_topology, wires_at
from circuitcheck.circuit.way_faults import way_faults
from circuitcheck.model.connector import Connector
from circuitcheck.model.fuse import Fuse
from circuitcheck.model.ground import GroundStud
from circuitcheck.model.harness import Harness
from circuitcheck.model.terminal import Terminal

NAME = "wiring complete and protected"
WHY = "A wire that ends nowhere does nothing, and a feed without a fuse burns before it stops."
SOURCES = ("common-practice", "33-cfr-183-455")
WHY_OF = {
    "open end": "A wire or terminal that leads nowhere does nothing.",
    "no feed": "It stays dead, whatever is pressed.",
    "no return": "It stays dead: current needs a way back.",
    "fed at both ends": "It stays dead: no voltage stands across it.",
    "too many wires": "A contact made for fewer wires holds none of them well.",
    "idle contact": "The contact works nothing.",
    "not connected": "It does nothing.",
    "short circuit": "The fuse opens as soon as the contact closes, or the wire burns.",
    "unprotected feed": "A chafed feed without a fuse burns before it stops.",
    "bridged fuse": "A fuse that is led past protects nothing.",
    "too short": "A wire that does not reach is pulled tight, or is made longer and drops more.",
    "other zone": "It is judged in the air of the zones that its route names alone.",
}
"""Why each kind of fault matters."""


def judge(case: Case) -> list[Finding]:
    """Return one failure per structural fault, or one pass."""
    harness = case.harness
    faults = [
        *(
            (f.kind, f.subject, f.place, f.wrong, f.right)
            for f in (*structural_faults(harness), *way_faults(harness))
        ),
        *_unconnected(harness),
        *_bridged(harness),
    ]
    if not faults:
        return [
            Finding(
                check=NAME,
                subject="",
                result=PASS,
                quantity="every terminal wired, every coil between feed and return, every feed "
                "behind a fuse",
                reason=WHY,
                sources=SOURCES,
            )
        ]
    return [
        Finding(
            check=NAME,
            subject=subject,
            result=FAIL,
            quantity=f"{kind}: {wrong}",
            reason=f"{WHY_OF[kind]} {right}",
            conditions=("every switch contact taken as closed",),
            sources=SOURCES,
            place=place,
        )
        for kind, subject, place, wrong, right in faults
    ]


def _unconnected(harness: Harness) -> Iterator[tuple[str, str, str, str, str]]:
    """Yield connectors and studs that no wire lands on; other parts show as open ends."""
    landed = wires_at(harness)
    for part in harness.parts.values():
        names = [str(Terminal(part.name, terminal)) for terminal in part.terminals]
        if isinstance(part, Connector | GroundStud) and not any(landed.get(n) for n in names):
            yield (
                "not connected",
                part.name,
                f"part {part.name}",
                f"no wire lands on {part.kind} {part.name}",
                "Wire it, or take the part out.",
            )


def _bridged(harness: Harness) -> Iterator[tuple[str, str, str, str, str]]:
    """Yield fuses whose two terminals are joined without passing any fuse."""
    battery = harness.battery.name
    unfused = [link for link in read_topology(harness).links if not link.fuse]
    for fuse in harness.of_kind(Fuse):
        joined = reach(unfused, f"{fuse.name}.line", stop=f"{battery}.-")
        if f"{fuse.name}.load" in joined:
            yield (
                "bridged fuse",
                fuse.name,
                f"part {fuse.name}",
                f"a path without a fuse joins {fuse.name}.line and {fuse.name}.load",
                "Take out the wire or contact that leads past the fuse.",
            )


CHECK = Check(
    name=NAME,
    judges="every terminal wired, every coil between feed and return, every feed behind a fuse",
    why=WHY,
    does_not_cover="wires that are described right and fitted wrong",
    sources=SOURCES,
    judge=judge,
)
