"""A single short to the frame that works a coil: low-side switching.

Finds       a coil or relay whose feed stays live while its switch sits in the return: a chafed wire
            between them that touches metal works it, and no fuse opens
Formula     none: a short is put at each end of the winding in the solved circuit, and it is looked
            whether closed contacts and wires then lead to it and back
Source      common practice, no source: what can hurt is switched in the feed. Where a wrong
            movement does no harm (no hazard, noise, spray) it is told and passes.
Worst case  every live position with the isolators on in which nobody asks for the winding; the
            frame counts as bonded to battery minus, named or not
Not covered two faults at once; a short from one feed to another; what a relay's load does when its
            contact welds
Result      one finding per winding that a short works; a relay has the hazard of the worst coil
            that it feeds
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.coils.energised_winding import joined_nodes
from circuitcheck.checks.contacts.contact_loads import contacts_in_use
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS, Finding
from circuitcheck.circuit.asked_for import asked_loads
from circuitcheck.circuit.netlist import WINDINGS, Branch, Network
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.relay import Relay
from circuitcheck.model.solenoid_coil import SolenoidCoil
from circuitcheck.model.switch import SwitchHandle
from circuitcheck.model.tolerance_band import Band
from circuitcheck.solve.solution import COLD_START

NAME = "single short works a coil"
WHY = "Its feed is live while its switch sits in the return: one chafed wire works it."
HARM = "Put the switch into the feed, so that a short blows the fuse instead."
HARMLESS = ("none", "noise", "spray")
ASK = "the hazard of its movement is not known: say in moves.hazard what it could do"
ORDER = ("none", "noise", "spray", "unknown")
"""Hazards by how little they ask for; any other is worse."""
SOURCES = ("common-practice",)
NONE = Band.exact(0.0)


def judge(case: Case) -> list[Finding]:
    """Return one finding per winding that a single short to the frame works."""
    findings: dict[str, Finding] = {}
    isolators = {p.name for p in case.harness.of_kind(SwitchHandle) if p.kind == "isolator"}
    for solved in case.solution.live(COLD_START):
        if any(part in isolators for part, _ in solved.position.pressed):
            continue  # whoever turned it off is at work there
        for branch in solved.network.branches:
            if branch.role in WINDINGS and branch.owner not in findings:
                if branch.name in solved.asked_for:
                    continue
                wires = _shorted(case, solved.network, branch)
                if wires:
                    position = solved.position.name
                    findings[branch.owner] = _finding(case, branch.owner, wires, position)
    return list(findings.values())


def _shorted(case: Case, network: Network, winding: Branch) -> tuple[str, ...]:
    """Return the wires of which a short to the frame works a winding in this position."""
    for end in (winding.start, winding.end):
        pair = (end, network.reference)
        air = (winding.ambient_c, winding.zones)
        fault = Branch("short", winding.owner, "bond", *pair, NONE, NONE, *air)
        if winding.name in asked_loads(replace(network, branches=(*network.branches, fault))):
            joined = joined_nodes(network, end)
            return tuple(b.name for b in network.branches if b.role == "wire" and b.start in joined)
    return ()


def _hazards(case: Case, name: str) -> Iterator[tuple[str, str]]:
    """Yield the hazards of a coil; of a relay those of the coils behind its make contact."""
    part = case.harness.parts[name]
    if isinstance(part, SolenoidCoil | PullHoldCoil):
        yield name, part.moves.hazard
    elif isinstance(part, Relay):
        for contact in contacts_in_use(case):
            if contact.name == f"{name}/make":
                behind = {load.partition("/")[0] for _, loads in contact.uses for load in loads}
                for owner in sorted(behind - {name}):
                    yield from _hazards(case, owner)


def _finding(case: Case, name: str, wires: tuple[str, ...], position: str) -> Finding:
    hazards = list(_hazards(case, name))
    worst = max((hazard for _, hazard in hazards), key=_badness, default="none")
    result, reason = PASS, f"{WHY} No harm is expected from that."
    if worst == "unknown":
        result, reason = NOT_JUDGED, f"{WHY} {ASK}"
    elif worst not in HARMLESS:
        result, reason = FAIL, f"{WHY} {HARM}"
    moved = [f"{owner}: {hazard}" for owner, hazard in hazards]
    return Finding(
        check=NAME,
        subject=name,
        result=result,
        quantity=f"a short of {', '.join(wires)} to the frame works it",
        reason=reason,
        position=position,
        conditions=(f"hazard: {', '.join(moved) or 'nothing moves'}",),
        sources=SOURCES,
    )


def _badness(hazard: str) -> int:
    return ORDER.index(hazard) if hazard in ORDER else len(ORDER)


CHECK = Check(
    name=NAME,
    judges="coils that one short to the frame works, against the hazard of their movement",
    why=WHY,
    does_not_cover="two faults at once; a short from one feed to another",
    sources=SOURCES,
    judge=judge,
)
