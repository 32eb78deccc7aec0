"""Coils that come back by themselves once the engine has started.

Finds       a coil that a maintained switch has left on: it lets go while the engine is cranked and
            works again with nobody's hand on a button
Formula     none: lost while cranking (see coil lost while cranking), asked for again after it
Source      iso-12100, 6.2.11.4 and ISO 14118: no spontaneous restart after the power was
            interrupted where that can hurt; iso-16750-2 for the dip
Worst case  every combination of maintained switches; a coil that may let go counts as lost
Not covered the key itself: a switch left on works the coil as soon as the key is turned on; what a
            hand holds, which is asked for; hydraulics that need the engine to turn
Result      one finding per coil that maintained switches alone can hold on
"""

from __future__ import annotations

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS, Finding
from circuitcheck.checks.supply.cranked_coil import NO_HOLD, CrankedCoil, cranked_coils

NAME = "coil returns after cranking"
QUANTITY = "movement by itself when the engine has started"
MOVING = ("machine part moves", "load can fall")
STAYS = "It holds on while the engine is cranked: nothing starts anew."
RETURNS = (
    "Nobody presses anything, and it works again as soon as the engine has started; so it does "
    "when the key is turned with the switch left on. Let a button be held for it, or a "
    "self-holding relay that has to be pressed anew."
)
TOLD = "It works again by itself when the engine has started: turn its switch off before a start."
ASK = "it works again by itself after a start: say in moves.hazard what a movement can do"
SOURCES = ("iso-12100", "iso-16750-2")


def judge(case: Case) -> list[Finding]:
    """Return one finding per coil that maintained switches hold on."""
    return [_finding(one) for one in cranked_coils(case) if one.by_itself]


def _finding(one: CrankedCoil) -> Finding:
    hazard = one.part.moves.hazard
    result, reason = PASS, TOLD
    if one.is_sure:
        reason = STAYS
    elif hazard in MOVING and not one.is_lost:
        result, reason = NOT_JUDGED, NO_HOLD
    elif hazard in MOVING:
        result, reason = FAIL, f"{hazard.capitalize()}. {RETURNS}"
    elif hazard == "unknown":
        result, reason = NOT_JUDGED, ASK
    volts = one.left.result.value
    return Finding(
        NAME, one.part.name, result, QUANTITY, reason, one.before.position.name,
        one.before.coil_state,
        conditions=(
            f"hazard: {hazard}",
            one.why or f"{volts:.1f} V left at the coil in the first dip",
        ),
        sources=SOURCES,
    )  # fmt: skip


CHECK = Check(
    name=NAME,
    judges="coils that a maintained switch brings back by itself when the engine has started",
    why="ISO 12100: a machine must not start by itself when its power comes back.",
    does_not_cover="a switch left on when the key is turned; hydraulics that need the engine",
    sources=SOURCES,
    judge=judge,
)
