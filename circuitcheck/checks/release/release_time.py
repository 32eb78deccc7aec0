"""Release time of each coil against the longest that the file allows.

Finds       a coil whose suppressor lets its current linger: the valve shuts, or the latch falls,
            later than it must
Formula     t = L / (R + r) ln((I_0 (R + r) + E) / (I_d (R + r) + E)) <= longest release
            E and r of the suppressor; I_d is the current at which the plunger lets go. A relay
            that feeds the coil opens first: its own release time comes on top
Source      openstax-university-physics (decay in an RL loop); suppression-measured (a diode makes a
            relay about three times slower than a resistor)
Worst case  inductance at its upper end, winding at its coldest and lowest, highest supply, drop-out
            at its lower end, suppressor at its lowest voltage; of all releases by a button, with
            the coils on the same contact that it lets go (see slowest_release), the slowest
Not covered travel of plunger and spool, oil, dirt, residual magnetism; eddy currents. A slower
            release by the key is told beside a pass. No open data on valve coils validates it.
Result      one finding per coil, only where [use] gives longest_release
"""

from __future__ import annotations

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.finding import NOT_JUDGED, PASS, Finding, judged
from circuitcheck.checks.release.after_relays import after_relays
from circuitcheck.checks.release.relay_lag import relay_lag
from circuitcheck.checks.release.released_coil import (
    ReleasedCoil,
    inductance_words,
    not_on_a_guess,
    released_coils,
)
from circuitcheck.checks.release.shared_suppressor import usual_choices
from circuitcheck.checks.release.slowest_release import QUANTITY, SlowestRelease, slowest_releases
from circuitcheck.checks.stand_ins import assumed
from circuitcheck.units import text

NAME = "release time"
WHY = "The coil holds on for as long as its current lasts: the machine stops later than it must."
BY_KEY = "Turned off by the key with {}, up to {}."
SOURCES = ("openstax-university-physics", "suppression-measured", "relay-figures")


def judge(case: Case) -> list[Finding]:
    """Return one finding per coil where the file says how long it may take."""
    longest_s = case.harness.use.longest_release_s
    if longest_s is None:
        return []
    every = released_coils(case)
    return [
        after_relays(
            _finding(case, coil, longest_s), relay_lag(case, coil.winding.branch, every), WHY
        )
        for coil in every
    ]


def _finding(case: Case, coil: ReleasedCoil, longest_s: float) -> Finding:
    winding = coil.winding
    found = _judged(coil, longest_s)
    value, reason = found.time_s, found.reason or WHY
    result = NOT_JUDGED if value is None else judged(value, longest_s)
    if value is not None and value > longest_s:
        reason = f"{WHY} {_quicker(case, coil, longest_s)}"
    finding = Finding(
        NAME, winding.owner, result, QUANTITY, reason, winding.position.position.name,
        winding.position.coil_state, value, longest_s, "s",
        conditions=(
            f"suppression: {coil.suppressed.words}",
            *found.words,
            *winding.position.conditions(winding.branch, "upper"),
            *inductance_words(winding),
            *assumed(case, winding.owner, "inductance", "drop_out"),
        ),
        sources=SOURCES, working=found.working,
        caution=_by_key(coil, longest_s) if result == PASS else "",
    )  # fmt: skip
    return not_on_a_guess(coil, finding)


def _judged(coil: ReleasedCoil, longest_s: float) -> SlowestRelease:
    """Return the slowest release by a button, else by the key; one that is not known before that.

    One that is too slow leads even where another is not known.
    """
    found = slowest_releases(coil, coil.lowest, by_key=False) or slowest_releases(coil, coil.lowest)
    known = [one for one in found if one.time_s is not None]
    unknown = [one for one in found if one.time_s is None]
    slowest = max(known, key=lambda one: one.time_s or 0.0, default=None)
    if slowest is not None and (not unknown or (slowest.time_s or 0.0) > longest_s):
        return slowest
    return unknown[0]


def _by_key(coil: ReleasedCoil, longest_s: float) -> str:
    """Return in words how slow the key makes it, empty where that is quick enough."""
    found = slowest_releases(coil, coil.lowest, by_key=True)
    times = [(one.time_s, one.beside) for one in found if one.time_s is not None and one.beside]
    if not times or max(times)[0] <= longest_s:
        return ""
    slowest_s, beside = max(times)
    return BY_KEY.format(", ".join(beside), text(slowest_s, "s"))


def _quicker(case: Case, coil: ReleasedCoil, longest_s: float) -> str:
    """Return in words which usual suppressors would be quick enough."""
    fits = []
    for one in usual_choices(coil, case.library):
        found = slowest_releases(coil, one, by_key=False) or slowest_releases(coil, one)
        times = [each.time_s for each in found]
        if all(time_s is not None and time_s <= longest_s for time_s in times):
            fits.append(f"{one.name} ({text(max(time_s or 0.0 for time_s in times), 's')})")
    if not fits and any(one.beside for one in slowest_releases(coil, coil.lowest)):
        return "No suppressor across it alone is quick enough: other coils hang on its contact."
    if not fits:
        return "No usual suppressor is quick enough: a coil that stores less is needed."
    return f"Quick enough: {', '.join(fits)}."


CHECK = Check(
    name=NAME,
    judges="how long relays and each coil's current last after switch-off, against [use]",
    why=WHY,
    does_not_cover="travel of plunger and spool; oil; residual magnetism",
    sources=SOURCES,
    judge=judge,
)
