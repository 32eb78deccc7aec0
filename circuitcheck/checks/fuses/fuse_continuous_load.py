"""Fuse continuous load.

Finds       a fuse of the add-on that carries more than its share in the long run
Why         a fuse loaded close to its rating ages and opens on a hot day with nothing wrong
Source      fuse-definitions: at most 75 % of the rated current; blade-fuse-data-sheet: re-rating
Formula     I <= 0.75 * I_rated * f(T_air)
Worst case  coils cold, at their lowest resistance, on the highest supply, in the position that
            draws most; fuse in the hottest air of its zone. A press of some seconds counts as
            continuous; a shorter one as the current that heats the fuse as much for good.
Not covered the machine's own fuse (see tap capacity); heating of a fuse by its neighbours
Result      one finding per inline fuse, in its worst position; a failure names the positions
            that would be in order
"""

from __future__ import annotations

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, Finding, Term, judged
from circuitcheck.checks.fuses.fuse_ahead import (
    FittedFuse,
    air_words,
    read_fuses_ahead,
    worth_working,
)
from circuitcheck.checks.fuses.lasting_current import LastingCurrent, lasting_currents
from circuitcheck.checks.worst_current import position_currents
from circuitcheck.errors import LibraryError
from circuitcheck.transient.heat.fuse_rating import rerated_a
from circuitcheck.units import text

NAME = "fuse continuous load"
WHY = "A fuse loaded close to its rating ages and opens on a hot day with nothing wrong."
QUANTITY = "largest steady current of the fuse"
LIVE_A = 0.01
"""Below this the add-on is at rest: such a position says nothing about the load."""


def judge(case: Case) -> list[Finding]:
    """Return one finding per inline fuse."""
    fuses = read_fuses_ahead(case.harness).fuses.values()
    return [_finding(case, fuse) for fuse in fuses if fuse.inline]


def _finding(case: Case, fuse: FittedFuse) -> Finding:
    share = case.library.limit("fuse_continuous_share")
    positions = position_currents(case, fuse.branch)
    sources = (share.source, "blade-fuse-data-sheet")
    assert fuse.row is not None
    try:
        worth_a = rerated_a(case.library, fuse.row, fuse.ambient_c.upper)
    except LibraryError as error:
        return Finding(NAME, fuse.owner, NOT_JUDGED, QUANTITY, str(error), sources=sources)
    if not positions:
        reason = "no switch position makes the circuit live: look at the tap's key and cranking"
        return Finding(NAME, fuse.owner, NOT_JUDGED, QUANTITY, reason, sources=sources)
    lasting, limit_a = lasting_currents(case, fuse, positions), share.value * worth_a
    most_lasting = lasting[0]
    worst, result = most_lasting.worst, judged(most_lasting.current_a, limit_a)
    most = Term("I_l", limit_a, "A", "highest continuous current of the fuse")
    step = worth_working(fuse.row, fuse.ambient_c.upper, worth_a, share.value, most)
    return Finding(
        check=NAME,
        subject=fuse.owner,
        result=result,
        quantity=QUANTITY,
        reason=f"{WHY}{_positions_in_order(lasting, limit_a) if result == FAIL else ''}",
        position=worst.position,
        coil_state=worst.coil_state,
        value=most_lasting.current_a,
        limit=limit_a,
        unit="A",
        conditions=(
            *worst.conditions,
            air_words(fuse, fuse.ambient_c.upper, worth_a),
            f"of that {100.0 * share.value:g} % for good",
            *_press(case, most_lasting),
        ),
        sources=sources,
        gap=worst.gap_a,
        working=most_lasting.working(step),
    )


def _positions_in_order(lasting: tuple[LastingCurrent, ...], limit_a: float) -> str:
    good = [one for one in lasting if LIVE_A < one.current_a <= limit_a]
    if not good:
        return ""
    most = good[0]
    return (
        f" In order: {', '.join(dict.fromkeys(one.worst.position for one in good))} "
        f"(up to {text(most.current_a, 'A')})."
    )


def _press(case: Case, lasting: LastingCurrent) -> tuple[str, ...]:
    press_s = case.harness.use.longest_press_s
    if press_s is None:
        return ("held without pause",)
    if lasting.share == 1.0:
        return (f"a press of {text(press_s, 's')} counts as continuous",)
    return (
        f"{text(lasting.worst.current_a, 'A')} in presses of {text(press_s, 's')}, heat of the "
        "fuse worked out from its listed times, not measured",
    )


CHECK = Check(
    name=NAME,
    judges="largest steady current of each inline fuse, against 75 % of its re-rated current",
    why=WHY,
    does_not_cover="heating of a fuse by its neighbours in a fuse box",
    sources=("fuse-definitions", "blade-fuse-data-sheet"),
    judge=judge,
)
