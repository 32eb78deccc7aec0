"""Coils while the engine is cranked: does one that is on let go, and does that hurt.

Finds       a clutch, latch or valve that is held on and lets go when somebody starts the engine
Formula     V_crank >= V_hold;  V_crank = V_lowest V_dip / V_s, V_hold by ampere-turns when hot
Source      iso-16750-2 (first dip 4.5 V and 8 V, level II, less 0.2 V), iso-15003 (the same for
            farm machines), valve-coil-ranges (between 10 % and 50 % of rated voltage it lets go)
Worst case  wiring, contacts and windings at their hottest and most aged, battery posts in the first
            dip; the upper end of what the type lets go at
Not covered an engine that is started from outside; a dip that is over before the coil's current
            has fallen, which counts as lost all the same; a dip deeper than level II (a cold, weak
            battery); a spool that stays where it is without its coil
Result      one finding per coil that some combination of buttons holds on
"""

from __future__ import annotations

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS, Finding, Working, worst
from circuitcheck.checks.supply.cranked_coil import NO_HOLD, TAP_DEAD, CrankedCoil, cranked_coils

NAME = "coil lost while cranking"
QUANTITY = "lowest voltage at the coil in the first dip of cranking"
LOSS = "what it does when it lets go while cranking"
MOVING = ("machine part moves", "load can fall")
HARMLESS = "It may let go while the engine is cranked; by the file nothing moves then."
TAKEN = (
    "It may let go while the engine is cranked; that is taken as harmless, because the file gives "
    "no moves.hazard_if_lost."
)
ASK = (
    "it may let go while the engine is cranked: say in moves.hazard_if_lost what happens then, "
    '"none" where nothing does'
)
SOURCES = ("iso-16750-2", "iso-15003", "valve-coil-ranges")


def judge(case: Case) -> list[Finding]:
    """Return one finding per coil that moves something."""
    found: dict[str, list[Finding]] = {}
    for one in cranked_coils(case):
        found.setdefault(one.part.name, []).append(_finding(one))
    return [worst(findings) for findings in found.values()]


def _finding(one: CrankedCoil) -> Finding:
    moves, hold = one.part.moves, one.hold
    result, reason, is_shown = PASS, "It holds on in the first dip.", True
    if one.is_sure:
        pass
    elif moves.loss in MOVING:
        result = FAIL if one.is_lost else NOT_JUDGED
        reason = f"It lets go when the engine is started: {moves.loss}. {_way_out(one)}"
        reason = reason if one.is_lost else NO_HOLD
    elif moves.loss == "unknown":
        result, reason = NOT_JUDGED, ASK
    else:
        reason, is_shown = TAKEN if moves.hazard_if_lost is None else HARMLESS, False
    working = None
    if is_shown and hold is not None:
        steps = (*one.left.steps, one.left)
        working = Working(hold.formula, hold.terms, hold.result, steps=(*steps, *hold.steps))
    held = "maintained switch" if one.by_itself else "held button or relay"
    return Finding(
        NAME, one.part.name, result, QUANTITY if is_shown else LOSS, reason,
        one.before.position.name, one.before.coil_state,
        one.left.result.value if working else None, hold.result.value if working and hold else None,
        "V" if working else "", at_most=False,
        conditions=(
            *((one.why,) if one.why else ()),
            f"{held}; when it lets go: {moves.loss}",
            *one.words,
        ),
        sources=SOURCES, working=working,
    )  # fmt: skip


def _way_out(one: CrankedCoil) -> str:
    if one.why == TAP_DEAD:
        return "Take a tap that stays live while cranking, or a latch that stays without current."
    dip_v = next((t.value for t in one.left.terms if t.symbol == "V_dip"), None)
    if dip_v is not None and one.hold is not None and dip_v < one.hold.result.value:
        return (
            "No wire helps, the dip at the battery posts is as low: take a coil that holds on "
            "less, or a latch that stays where it is without current."
        )
    return "Take a coil that holds on less, a larger wire, or a latch that stays without current."


CHECK = Check(
    name=NAME,
    judges="voltage at each coil in the first dip of cranking, against what it holds on with",
    why="A part that lets go when somebody turns the key catches whoever stands beside it.",
    does_not_cover="dips deeper than level II of ISO 16750-2; spools that stay where they are",
    sources=SOURCES,
    judge=judge,
)
