"""Isolators: which line each cuts, and whether what hangs behind it is really cut.

Finds       an isolator that a second way leads past: with it off the add-on stays alive
Formula     none: whether closed contacts and wires join its two terminals while it is off
Source      common practice, no source
Worst case  every position with the isolator off
Not covered the machine's other loads: they hang on the battery's own posts in this circuit and no
            isolator of the file is on their way; memories and alternators behind it
Result      one finding per isolator: where it sits, and in the minus line what stays live
"""

from __future__ import annotations

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.coils.energised_winding import joined_nodes
from circuitcheck.checks.contacts.contact_loads import contacts_in_use
from circuitcheck.checks.finding import FAIL, PASS, Finding
from circuitcheck.circuit.topology import read_topology
from circuitcheck.model.switch import SwitchHandle
from circuitcheck.solve.solution import COLD_START
from circuitcheck.solve.worst_case import PositionSolution

NAME = "isolator"
WHY = "An isolator that something leads past cuts nothing: whoever works on the machine trusts it."
IN_PLUS = "It sits in the feed: with it off everything behind it is dead."
IN_MINUS = (
    "It sits in the return: with it off every wire of the feed stays live, and a frame that finds "
    "another way back to battery minus closes the circuit again"
)
IDLE = "Nothing of the add-on hangs behind it."
SOURCES = ("common-practice",)


def judge(case: Case) -> list[Finding]:
    """Return one finding per isolator."""
    isolators = [part for part in case.harness.of_kind(SwitchHandle) if part.kind == "isolator"]
    return [_finding(case, part) for part in isolators]


def _finding(case: Case, part: SwitchHandle) -> Finding:
    behind = {
        load
        for contact in contacts_in_use(case)
        if contact.part is part
        for _, loads in contact.uses
        for load in loads
    }
    off = {(part.name, contact.button) for contact in part.contacts}
    past = next(
        (
            solved
            for solved in case.solution.live(COLD_START)
            if off <= solved.position.pressed and _is_bridged(solved, part)
        ),
        None,
    )
    topology = read_topology(case.harness)
    sides = [topology.side_of(f"{part.name}.{end}") for end in part.terminals]
    in_minus = sides == ["return", "return"]
    reason = IDLE if not behind else f"{IN_MINUS}." if in_minus else IN_PLUS
    if past is not None:
        loads = ", ".join(sorted(past.asked_for))
        reason = f"{WHY} With it off its two terminals are still joined; still on: {loads}."
    return Finding(
        check=NAME,
        subject=part.name,
        result=PASS if past is None else FAIL,
        quantity=f"cuts the {'return' if in_minus else 'feed'} of what hangs behind it",
        reason=reason,
        position="" if past is None else past.position.name,
        conditions=(f"behind it: {', '.join(sorted(behind)) or 'nothing'}",),
        sources=SOURCES,
    )


def _is_bridged(solved: PositionSolution, part: SwitchHandle) -> bool:
    node = solved.network.node_of
    first, last = (node.get(f"{part.name}.{end}") for end in part.terminals)
    return first is not None and last is not None and last in joined_nodes(solved.network, first)


CHECK = Check(
    name=NAME,
    judges="which line each isolator cuts, and whether something leads past it",
    why=WHY,
    does_not_cover="the machine's other loads; memories and alternators behind it",
    sources=SOURCES,
    judge=judge,
)
