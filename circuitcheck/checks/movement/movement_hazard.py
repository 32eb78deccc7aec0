"""What each coil moves, and whether that can hurt.

Finds       a coil whose movement can hurt people: steering, brakes, lifting people, driven shafts
Formula     none: a limit of this program, not of the circuit
Source      iso-25119, iso-13849: control systems whose failure can hurt need an assessment of the
            risk and a performance level. No check of wires and fuses replaces it.
Worst case  a hazard that is not known is not taken as harmless
Not covered the machine, its hydraulics and the people around it
"""

from __future__ import annotations

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS, Finding
from circuitcheck.checks.movement.movers import movers
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.solenoid_coil import SolenoidCoil

NAME = "movement hazard"
STOP = "needs a functional-safety assessment (ISO 25119, ISO 13849)"
WHY = "A wrong movement of this coil can hurt people, whatever the wiring is worth."
ASK = "say in moves.hazard what a wrong movement could do; until then it counts as possibly harmful"
FALLING = "A load can fall: block or lower it before any test, pressure released, nobody below."
MOVING = "A machine part moves: nobody in its path during any test."
FINE = "No harm to people is expected from a wrong movement."
SOURCES = ("iso-25119", "iso-13849")


def judge(case: Case) -> list[Finding]:
    """Return one finding per coil."""
    return [_finding(coil) for coil in movers(case.harness)]


def _finding(coil: SolenoidCoil | PullHoldCoil) -> Finding:
    moves = coil.moves
    if moves.stops_on is not None:
        result, reason = FAIL, f"{WHY} It {STOP}."
    elif moves.hazard == "unknown":
        result, reason = NOT_JUDGED, f"the hazard is not known: {ASK}"
    else:
        result = PASS
        reason = {"load can fall": FALLING, "machine part moves": MOVING}.get(moves.hazard, FINE)
    said = [f"hazard: {moves.hazard}"]
    if moves.hazard_if_lost is not None:
        said.append(f"hazard if it lets go unasked: {moves.hazard_if_lost}")
    if moves.movement:
        said.append(f"movement: {moves.movement}")
    return Finding(
        check=NAME,
        subject=coil.name,
        result=result,
        quantity="what a wrong movement can do",
        reason=reason,
        conditions=tuple(said),
        sources=SOURCES,
    )


CHECK = Check(
    name=NAME,
    judges="what each coil moves, against the movements that need an assessment of their own",
    why=WHY,
    does_not_cover="the risk of the machine as a whole",
    sources=SOURCES,
    judge=judge,
)
