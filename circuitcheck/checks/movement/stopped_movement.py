"""Whether key or isolator stops a coil that a fault works, and which buttons should work it.

Shared ground of the check on single faults; it judges nothing itself.
"""

from __future__ import annotations

from circuitcheck.checks.check import Case
from circuitcheck.model.switch import SwitchHandle
from circuitcheck.solve.solution import COIL_STATES

Button = tuple[str, str]


def goes_on(case: Case, works: frozenset[str]) -> bool:
    """Whether a coil works with the key off and nothing pressed, and no isolator stops it.

    `works` names the switch positions in which it works.
    """
    isolators = {p.name for p in case.harness.of_kind(SwitchHandle) if p.kind == "isolator"}
    off = {
        solved.position.name
        for solved in case.solution.positions
        if solved.position.key == "key off"
        and len(solved.position.pressed) == 1
        and any(part in isolators for part, _ in solved.position.pressed)
    }
    return "key off" in works and off <= works


def own_buttons(case: Case, coil: str) -> frozenset[Button]:
    """Return the buttons without which some position would not ask for a coil."""
    asked = {
        solved.position.pressed
        for solved in case.solution.live(COIL_STATES[0])
        if coil in {name.partition("/")[0] for name in solved.asked_for}
    }
    return frozenset(b for pressed in asked for b in pressed if pressed - {b} not in asked)
