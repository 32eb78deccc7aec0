"""Tap may be used.

Finds       a tap on a circuit that must not be tapped, and an always-live tap that can be left on
Source      common-practice
Formula     none for the kind; for an always-live tap the coils that are on in a key-off position
            that nobody holds
Worst case  every position with the key off; a tap of unknown switching is not judged
Rule        A key-switched tap is what the job wants. A tap that is always live is let through only
            where nothing stays on by itself (buttons that spring back) and no coil moves a machine
            part: otherwise the battery drains, or the machine moves with the key out.
Not covered whether the machine's maker allows the tap at all
Result      one finding for what the tap feeds, one for how it is switched
"""

from __future__ import annotations

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.coils.energised_winding import windings_on
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS, Finding
from circuitcheck.checks.movement.movers import movers
from circuitcheck.circuit.positions import Position
from circuitcheck.model.harness import Harness
from circuitcheck.model.solenoid_coil import STOP_HAZARDS
from circuitcheck.model.supply_tap import NEVER_TAP, SupplyTap
from circuitcheck.solve.solution import COLD_START

NAME = "tap may be used"
WHY = "A tap in the wrong circuit can stop the engine, blind a safety switch or drain the battery."
FEEDS = "what else hangs on the tapped circuit"
SWITCHING = "when the tap is live"
SOURCES = ("common-practice",)
MOVING = ("machine part moves", "load can fall", *STOP_HAZARDS)


def judge(case: Case) -> list[Finding]:
    """Return two findings per tap."""
    return [
        finding
        for tap in case.harness.of_kind(SupplyTap)
        for finding in (_feeds(tap), _switching(case, tap))
    ]


def _feeds(tap: SupplyTap) -> Finding:
    forbidden = [NEVER_TAP[feed] for feed in tap.also_feeds or () if feed in NEVER_TAP]
    if forbidden:
        return _finding(tap, FAIL, FEEDS, f"Tap another circuit: {'; '.join(forbidden)}.")
    if tap.also_feeds is None:
        reason = "not known what else it feeds: pull the machine's fuse and see what stops working"
        return _finding(tap, NOT_JUDGED, FEEDS, reason)
    named = ", ".join(tap.also_feeds) or "nothing else"
    return _finding(tap, PASS, FEEDS, WHY, f"it feeds {named}")


def _switching(case: Case, tap: SupplyTap) -> Finding:
    up, unknown = tap.upstream, []
    if up.key == "unknown":
        unknown.append("with the key off, then on")
    if up.cranking == "unknown":
        unknown.append("while an assistant cranks")
    if unknown:
        reason = f"measure the voltage from the tap to battery minus {' and '.join(unknown)}"
        return _finding(tap, NOT_JUDGED, SWITCHING, reason)
    if up.key == "on":
        return _finding(tap, PASS, SWITCHING, WHY, f"with the key on; cranking: {up.cranking}")
    left_on = _left_on(case)
    if left_on:
        reason = (
            f"Always live: {', '.join(left_on)} can be left on with the key off and drain the "
            "battery. Use a tap that the key switches, or buttons that spring back."
        )
        return _finding(tap, FAIL, SWITCHING, reason, *left_on.values())
    moving = [coil for coil in movers(case.harness) if coil.moves.hazard in MOVING]
    if moving:
        named = ", ".join(f"{coil.name} ({coil.moves.hazard})" for coil in moving)
        reason = f"Always live: {named} can be worked with the key out. Use a key-switched tap."
        return _finding(tap, FAIL, SWITCHING, reason)
    guessed = [coil.name for coil in movers(case.harness) if coil.moves.hazard == "unknown"]
    if guessed:
        reason = f"always live, and not said what {', '.join(guessed)} moves: see what it moves"
        return _finding(tap, NOT_JUDGED, SWITCHING, reason)
    return _finding(
        tap, PASS, SWITCHING, f"{WHY} Live with the key off, but nothing stays on by itself."
    )


def _left_on(case: Case) -> dict[str, str]:
    """Return the coils that are on with the key off and nobody's hand on a button, and where."""
    found: dict[str, str] = {}
    for solved in case.solution.live(COLD_START):
        if solved.position.key == "key off" and not _held(case.harness, solved.position):
            for coil in (at.owner for at in windings_on(case, solved)):
                found.setdefault(coil, f"{coil} is on in position {solved.position.name}")
    return found


def _held(harness: Harness, position: Position) -> bool:
    return bool(harness.momentary & position.pressed)


def _finding(tap: SupplyTap, result: str, quantity: str, reason: str, *words: str) -> Finding:
    return Finding(NAME, tap.name, result, quantity, reason, conditions=words, sources=SOURCES)


CHECK = Check(
    name=NAME,
    judges="what the tapped circuit feeds and when it is live, against what may be tapped",
    why=WHY,
    does_not_cover="whether the machine's maker allows the tap",
    sources=SOURCES,
    judge=judge,
)
