"""A single fault that works a coil unasked, and that nobody could stop or see coming.

Finds       a coil with a harmful movement that one fault keeps on with the key off, or that one
            faulty part works when quite another button is pressed, with nothing to see before
Formula     none: each fault is put into the solved circuit and it is looked which coils then carry
            what moves the easiest of their type
Source      common practice, no source. Any contact can weld, so one fault that works a coil is
            no failure by itself: the operator sees it move and turns the key. It fails where that
            does not help (the feed is live with the key off and no isolator cuts it), or where the
            movement answers another button and nothing gave warning. iso-13849 asks more of a
            machine than this does.
Worst case  nominal values, engine off; the easiest coil of its type: it moves on LEAST_SHARE of its
            pull-in current. Key on and off, at rest and with one button at a time.
Not covered two faults at once; wires in the wrong cavity (try every button after building). Wires
            chafed into each other are told and pass: against them there are sleeves and clips. A
            coil that one fault lets go: any wire can break; what may fall needs a valve that holds.
Result      one finding per coil; a hazard that is not known is not judged
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS, Finding
from circuitcheck.checks.movement.movers import movers
from circuitcheck.checks.movement.stopped_movement import goes_on, own_buttons
from circuitcheck.faults import fault as f
from circuitcheck.faults.unasked_movement import UnaskedMovements
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.solenoid_coil import SolenoidCoil

NAME = "single fault works a coil"
QUANTITY = "single faults that work it unasked"
WHY = "One welded contact or one lost return must not move a part that nobody can stop."
HARMLESS = ("none", "noise", "spray")
NO_HARM = "No harm is expected from its movement, whatever works it."
NO_HARM_CAUTION = "No harm is expected from it; look for the fault before the next use."
ASK = "the hazard of its movement is not known: say in moves.hazard what it could do"
ON_WITH_KEY_OFF = (
    "It then works with the key off, and no isolator stops it: take the feed from a tap that the "
    "key switches, or put an isolator before it."
)
BY_ANOTHER = (
    "It then answers another button, and nothing shows before: give it a return and a feed of its "
    "own, or a diode that keeps the other circuit out."
)
ONE_FAULT = "It can work unasked by one fault: "
CAUTION = (
    "The key stops it: keep clear until it is off, and look for the fault before the next use."
)
CHAFED = "Two wires chafed into each other work it even with the key off: keep them apart, sleeved."
NO_OTHERS = "No other single fault looked at works it."
OTHERS = "What else works it the key stops: keep clear until it is off, and look for the fault."
NONE_DOES = "No single fault looked at works it unasked."
MODES = (
    f.FAILS_TO_OPEN, f.SHORT_TO_FRAME, f.SHORT_TO_WIRE, f.SHORTED, f.REVERSED, f.OPEN, f.BLOWN,
    f.HALF_MATED,
)  # fmt: skip
SOURCES = ("common-practice", "iso-13849")
TOLD = 4
"""So many faults are named; the rest is counted."""


def judge(case: Case) -> list[Finding]:
    """Return one finding per coil that moves something."""
    coils = [coil for coil in movers(case.harness) if coil.moves.stops_on is None]
    names = [coil.name for coil in coils]
    found = UnaskedMovements(case.harness, case.library, MODES, names)
    return [_finding(case, coil, found) for coil in coils]


def _finding(case: Case, coil: SolenoidCoil | PullHoldCoil, found: UnaskedMovements) -> Finding:
    hazard, caution = coil.moves.hazard, ""
    result, reason, faults, position = _judged(case, coil.name, hazard, found)
    named = ", ".join(faults[:TOLD])
    if faults[TOLD:]:
        named += f" and {len(faults) - TOLD} more"
    if faults and result == PASS:
        what = NO_HARM_CAUTION if hazard in HARMLESS else reason
        caution = f"{ONE_FAULT}{named}. {what}"
    said = (f"hazard: {hazard}", *([named] if faults else []))
    return Finding(
        NAME, coil.name, result, QUANTITY, reason, position,
        conditions=said, sources=SOURCES, caution=caution,
    )  # fmt: skip


def _judged(
    case: Case, name: str, hazard: str, found: UnaskedMovements
) -> tuple[str, str, tuple[str, ...], str]:
    """Return result, reason, the faults it rests on and the position they show in."""
    moving: dict[str, list[str]] = {}
    for fault, effect in found.found:
        if effect.subject == name:
            moving.setdefault(fault.name, []).append(effect.position)
    position = next(iter(moving.values()))[0] if moving else ""
    if hazard == "unknown":
        return NOT_JUDGED, ASK, tuple(moving), position
    if not moving:
        return PASS, NONE_DOES, (), ""
    if hazard in HARMLESS:
        return PASS, NO_HARM, tuple(moving), position
    return _not_stopped(case, name, moving, found) or (PASS, CAUTION, tuple(moving), position)


def _not_stopped(
    case: Case, name: str, moving: Mapping[str, Sequence[str]], found: UnaskedMovements
) -> tuple[str, str, tuple[str, ...], str] | None:
    """Return the same where the key does not stop a movement, or nobody would see it coming."""
    works = {fault: frozenset(positions) for fault, positions in moving.items()}
    chafed = {fault.name for fault, _ in found.found if fault.mode == f.SHORT_TO_WIRE}
    stays = tuple(one for one in works if goes_on(case, works[one]))
    if set(stays) - chafed:
        return FAIL, ON_WITH_KEY_OFF, stays, "key off"
    lone = [one for one in works if one not in chafed]
    sly = tuple(one for one in lone if _is_sly(case, name, one, works[one], found))
    if sly:
        return FAIL, BY_ANOTHER, sly, moving[sly[0]][0]
    if stays:
        others = tuple(one for one in works if one not in stays)
        return PASS, f"{CHAFED} {OTHERS if others else NO_OTHERS}", (*stays, *others), "key off"
    return None


def _is_sly(
    case: Case, coil: str, fault: str, works: frozenset[str], found: UnaskedMovements
) -> bool:
    """Whether a faulty part shows nothing until a coil answers a button that is none of its own."""
    own = own_buttons(case, coil)
    pressed = [s.position.pressed for s in case.solution.positions if s.position.name in works]
    if not all(some and not some & own for some in pressed):
        return False
    return found.shows_in(fault) <= works


CHECK = Check(
    name=NAME,
    judges="coils that one fault works unasked, against the hazard of their movement",
    why=WHY,
    does_not_cover="two faults at once; wires in the wrong cavity; a coil that one fault lets go; "
    "wires chafed into each other are told, not failed (`circuitcheck fault-effects` lists all)",
    sources=SOURCES,
    judge=judge,
)
