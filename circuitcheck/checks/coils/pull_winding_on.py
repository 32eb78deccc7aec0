"""Pull winding left on: what takes it off, and whether that is soon enough.

Finds       a pull winding that nothing takes off within the time that it stands, or whose timer is
            set longer
Formula     t_on <= t_pull       t_on the longest press where nothing takes it off, the timer's
                                 longest time where one does; t_pull what the winding stands
Source      stop-solenoid-manuals (timers of 0.5 s to 1.2 s); that a pull winding burns within
            seconds is common practice, no source
Worst case  the longest press; the upper end of the timer's time; a cut-out that is not known
            counts as none
Not covered a switch inside that sticks, or does not open because the plunger does not come in (see
            pull and hold voltage); heat of press after press
Result      one finding per pull and hold coil
"""

from __future__ import annotations

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS, Finding, Term, Working, judged
from circuitcheck.checks.stand_ins import assumed
from circuitcheck.model.pull_hold_coil import PullHoldCoil

NAME = "pull winding left on"
WHY = "A pull winding takes many times the power that it can get rid of: it burns in seconds."
QUANTITY = "longest time that the pull winding is on"
ASK_CUT_OUT = (
    "it is not known what takes the pull winding off: measure the current with the plunger in, "
    "it must have fallen to that of the hold winding"
)
ASK_STANDS = "how long the pull winding stands is not given: read it in the coil's data sheet"
ASK_USE = "[use] does not say how long a button is held: give longest_press"
ASK_TIMER = (
    "how long the timer leaves the pull winding on is not given: see how long the strong current "
    "flows, with a clamp ammeter, and give it as timer"
)
SOURCES = ("stop-solenoid-manuals",)


def judge(case: Case) -> list[Finding]:
    """Return one finding per pull and hold coil."""
    return [_finding(case, coil) for coil in case.harness.of_kind(PullHoldCoil)]


def _finding(case: Case, coil: PullHoldCoil) -> Finding:
    if coil.cut_out == "internal switch":
        reason = f"{WHY} A switch inside takes it off once the plunger is in."
        return _of(case, coil, PASS, reason)
    on = _timer(coil) if coil.cut_out == "outside timer" else _press(case)
    if on is None:
        is_timer = coil.cut_out == "outside timer"
        reason = ASK_TIMER if is_timer else f"{WHY} {ASK_USE}"
        held_for_good = coil.cut_out == "none" and coil.longest_pull_s is not None
        return _of(case, coil, FAIL if held_for_good else NOT_JUDGED, reason)
    if coil.longest_pull_s is None:
        return _of(case, coil, NOT_JUDGED, ASK_STANDS)
    result, reason = judged(on.value, coil.longest_pull_s), WHY
    if result == FAIL and coil.cut_out == "unknown":
        result, reason = NOT_JUDGED, ASK_CUT_OUT
    return _of(case, coil, result, reason, on)


def _timer(coil: PullHoldCoil) -> Term | None:
    given = coil.pull_time_s
    return None if given is None else Term("t_t", given.upper, "s", "longest time of the timer")


def _press(case: Case) -> Term | None:
    press_s = case.harness.use.longest_press_s
    return None if press_s is None else Term("t_p", press_s, "s", "longest press")


def _of(
    case: Case, coil: PullHoldCoil, result: str, reason: str, on: Term | None = None
) -> Finding:
    working = None
    if on is not None:
        on_s = Term("t_on", on.value, "s", "time that the pull winding is on")
        working = Working(on.symbol, (on,), on_s)
    return Finding(
        NAME, coil.name, result, QUANTITY, reason,
        value=None if on is None else on.value,
        limit=None if on is None else coil.longest_pull_s,
        unit="s" if on is not None else "",
        conditions=(
            f"taken off by: {coil.cut_out}",
            *assumed(case, coil.name, "cut_out", "timer", "longest_pull"),
        ),
        sources=SOURCES, working=working,
    )  # fmt: skip


CHECK = Check(
    name=NAME,
    judges="how long each pull winding is on, against how long it stands",
    why=WHY,
    does_not_cover="a switch inside that sticks; heat of press after press",
    sources=SOURCES,
    judge=judge,
)
