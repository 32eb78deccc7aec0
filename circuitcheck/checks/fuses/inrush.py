"""Inrush against fuse.

Finds       a fuse that cold coils can open, all of them on together that the switches permit
Source      iso-8820-3: a fuse carries 110 % for 100 h, and its fast edge above that
Formula     I_cold <= 1.10 * I_rated * f(T_air); above it, longest press <= fast edge of the fuse
Worst case  coils at the lowest air, their lowest resistance, the highest supply; fuse in the
            hottest air. The current of a direct-current coil rises to this value and falls as the
            winding warms; it never goes above it. The suppressors of this version (diode, Zener,
            resistor) hold no charge and add no peak.
Not covered how fast the winding warms: the cold current is taken to last as long as the press;
            presses that add up and filaments that start cold (see nuisance opening, fuse ageing);
            the machine's own fuse (see tap capacity)
Result      one finding per inline fuse, in its worst position
"""

from __future__ import annotations

from dataclasses import replace

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.finding import NOT_JUDGED, PASS, Finding, Term, Working, judged
from circuitcheck.checks.fuses.fuse_ahead import (
    FittedFuse,
    air_words,
    read_fuses_ahead,
    worth_working,
)
from circuitcheck.checks.worst_current import WorstCurrent, worst_current
from circuitcheck.errors import LibraryError
from circuitcheck.formulas.fuse_clearing import shortest_opening_s
from circuitcheck.model.library import FuseRow
from circuitcheck.transient.heat.fuse_rating import rerated_a
from circuitcheck.units import text

NAME = "inrush against fuse"
WHY = "A fuse that opens on a cold morning with nothing wrong leaves the machine standing."
QUANTITY = "current of the cold coils"
SOURCES = ("iso-8820-3", "blade-fuse-data-sheet")


def judge(case: Case) -> list[Finding]:
    """Return one finding per inline fuse."""
    fuses = read_fuses_ahead(case.harness).fuses.values()
    return [_finding(case, fuse) for fuse in fuses if fuse.inline]


def _finding(case: Case, fuse: FittedFuse) -> Finding:
    worst = worst_current(case, fuse.branch)
    if worst is None:
        reason = "no switch position makes the circuit live: look at the tap's key and cranking"
        return Finding(NAME, fuse.owner, NOT_JUDGED, QUANTITY, reason, sources=SOURCES)
    try:
        return _judged(case, fuse, worst)
    except LibraryError as error:
        return Finding(NAME, fuse.owner, NOT_JUDGED, QUANTITY, str(error), sources=SOURCES)


def _judged(case: Case, fuse: FittedFuse, worst: WorstCurrent) -> Finding:
    assert fuse.row is not None
    worth_a = rerated_a(case.library, fuse.row, fuse.ambient_c.upper)
    band = case.library.fuse_opening_band(fuse.row.style)
    holds, held_s = band.holds_percent / 100.0, band.min_s[band.percents.index(band.holds_percent)]
    most = Term("I_l", holds * worth_a, "A", "current that the fuse is sure to hold")
    step = worth_working(fuse.row, fuse.ambient_c.upper, worth_a, holds, most)
    by_current = Finding(
        check=NAME,
        subject=fuse.owner,
        result=judged(worst.current_a, holds * worth_a),
        quantity=QUANTITY,
        reason=(
            f"{WHY} Up to {100.0 * holds:.0f} % of what it is worth it holds for "
            f"{text(held_s, 's')}."
        ),
        position=worst.position,
        coil_state=worst.coil_state,
        value=worst.current_a,
        limit=holds * worth_a,
        unit="A",
        conditions=(*worst.conditions, air_words(fuse, fuse.ambient_c.upper, worth_a)),
        sources=SOURCES,
        gap=worst.gap_a,
        working=worst.working(step),
    )
    if by_current.result == PASS:
        return by_current
    return _by_time(case, fuse.row, by_current, worth_a)


def _by_time(case: Case, row: FuseRow, over: Finding, worth_a: float) -> Finding:
    """Return the finding above the holding current: a press may be over before the fuse opens."""
    band, press_s = case.library.fuse_opening_band(row.style), case.harness.use.longest_press_s
    assert over.value is not None
    held_s = shortest_opening_s(over.value, worth_a, band.percents, band.min_s)
    reason = f"{WHY} It is sure to hold this current for {text(held_s, 's')}, no longer"
    if press_s is None or press_s > held_s:
        pressed = f"for {text(press_s, 's')}" if press_s else "without pause"
        return replace(over, reason=f"{reason}; a button may be held {pressed}.")
    return replace(
        over,
        result=PASS,
        quantity=f"longest press at {text(over.value, 'A')} of the cold coils",
        reason=f"{reason}; by then the longest press is over.",
        value=press_s,
        limit=held_s,
        unit="s",
        gap=0.0,
        working=Working(
            "t_p",
            (Term("t_p", press_s, "s", "longest press"),),
            Term("t", press_s, "s", "time that the current flows"),
        ),
    )


CHECK = Check(
    name=NAME,
    judges="current of all cold coils that can be on together, against the fast edge of each fuse",
    why=WHY,
    does_not_cover="how fast a winding warms up while it is held",
    sources=SOURCES,
    judge=judge,
)
