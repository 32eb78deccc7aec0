"""Duty of each coil: share of time and longest press.

Finds       a coil used more of the time, or longer at a stretch, than it is made for
Formula     share  t_p n / 3600 s <= d
            press  t_p <= d 300 s        for a coil made for less than continuous duty
            t_p longest press, n presses an hour, d duty of the coil (ED over a cycle of 300 s)
Source      vde-0580: ED is on-time over cycle, the cycle at most 300 s, beyond that it counts as
            continuous
Worst case  the longest press, again and again; without [use] a button counts as held on
Not covered presses that come in bursts; heat (see coil temperature); the pull winding of a pull and
            hold coil (see pull winding left on)
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.finding import NOT_JUDGED, Finding, Term, Working, judged
from circuitcheck.checks.stand_ins import assumed
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.solenoid_coil import SolenoidCoil

NAME = "duty"
WHY = "A coil made for short use burns when it is held."
SHARE, PRESS = "share of time on", "longest press"
ASK_DUTY = (
    "the coil's duty is not known: read it on the coil or in its data sheet (100 % ED: held on)"
)
SOURCES = ("vde-0580",)


def judge(case: Case) -> list[Finding]:
    """Return, per coil, its share of time and its longest press."""
    findings: list[Finding] = []
    for part in case.harness.parts.values():
        if isinstance(part, SolenoidCoil | PullHoldCoil):
            findings += _share(case, part)
            findings += _press(case, part)
    return findings


def _share(case: Case, part: SolenoidCoil | PullHoldCoil) -> Iterator[Finding]:
    use, words = case.harness.use, assumed(case, part.name, "duty")
    value = use.duty()
    result = Term("d_use", value, "1", SHARE)
    if use.longest_press_s is None or use.presses_per_hour is None:
        basis = "held on: [use] does not say how long and how often"
    elif value >= 1.0:
        basis = "held on: a press of over 300 s, or press after press, counts as continuous"
    else:
        basis = f"on {value:.0%} of the time"
    working = Working("d", (Term("d", value, "1", basis),), result)
    if value < 1.0:
        rate = Term("n", use.presses_per_hour or 0.0, "1", "presses in an hour")
        hour = Term("t_h", 3600.0, "s", "an hour")
        terms = (_press_term(use.longest_press_s or 0.0), rate, hour)
        working = Working("t_p * n / t_h", terms, result)
    reason = ASK_DUTY if part.duty is None else WHY
    result_word = NOT_JUDGED if part.duty is None else judged(value, part.duty)
    yield _finding(
        part.name, result_word, SHARE, reason, value, part.duty, "1", (basis, *words), working
    )


def _press(case: Case, part: SolenoidCoil | PullHoldCoil) -> Iterator[Finding]:
    """Yield the finding on the longest press of a coil that is not made to be held on."""
    press_s = case.harness.use.longest_press_s
    if part.duty is None or part.duty >= 1.0 or press_s is None:
        return
    cycle = case.library.limit("duty_cycle_s")
    duty = Term("d", part.duty, "1", "duty of the coil")
    length = Term("t_c", cycle.value, "s", "longest cycle that a duty holds for")
    limit = Term("t_max", part.duty * cycle.value, "s", "longest time on at a stretch")
    words = (f"duty {part.duty:.0%} of a cycle of at most {cycle.value:g} s",)
    yield _finding(
        part.name,
        judged(press_s, limit.value),
        PRESS,
        WHY,
        press_s,
        limit.value,
        "s",
        words,
        Working("d * t_c", (duty, length), limit),
    )


def _press_term(press_s: float) -> Term:
    return Term("t_p", press_s, "s", "longest press")


def _finding(
    subject: str,
    result: str,
    quantity: str,
    reason: str,
    value: float | None = None,
    limit: float | None = None,
    unit: str = "",
    words: tuple[str, ...] = (),
    working: Working | None = None,
) -> Finding:
    return Finding(
        NAME, subject, result, quantity, reason, value=value, limit=limit, unit=unit,
        conditions=words, sources=SOURCES, working=working,
    )  # fmt: skip


CHECK = Check(
    name=NAME,
    judges="share of time on and longest press, against the coil's duty",
    why=WHY,
    does_not_cover="presses that come in bursts",
    sources=SOURCES,
    judge=judge,
)
