"""What one suppressor makes of a coil with all that hangs on the same contact.

The longest time is that of the check on release time; the usual and the shortest are worked out
with usual and quickest coils. Shared ground of the command that compares suppressors; it judges
nothing.
"""

from __future__ import annotations

from dataclasses import replace

from circuitcheck.checks.release.neighbours_suppressor import suppressing
from circuitcheck.checks.release.released_coil import ReleasedCoil
from circuitcheck.checks.release.shared_suppressor import shared_release
from circuitcheck.checks.release.slowest_release import (
    SlowestRelease,
    joined_ways,
    slowest_releases,
)
from circuitcheck.errors import SolveError
from circuitcheck.model.tolerance_band import Band
from circuitcheck.transient.switching_off.joined_decay import joined_decay_s
from circuitcheck.transient.switching_off.suppressor import Law, Suppressor
from circuitcheck.transient.switching_off.switching_off import Release, WindingState
from circuitcheck.units import text


def joined_release(coil: ReleasedCoil, one: Suppressor) -> Release:
    """Return what `one` makes of a coil where a button, else the key, lets it go.

    Its time is None where that of the coils together is not known.
    """
    found = shared_release(coil, one)
    slowest = _judged(coil, one)
    if not any(each.beside for each in slowest):
        return found
    times = [each.time_s for each in slowest if each.time_s is not None]
    if len(times) < len(slowest) or found.release_s is None:
        return replace(found, release_s=None)
    try:
        return replace(found, release_s=_band(coil, one, max(times)))
    except SolveError:
        return replace(found, release_s=None)


def not_known(coil: ReleasedCoil) -> str:
    """Return in words why no choice has a release time, empty where they have."""
    one = coil.lowest
    reasons = [each.reason for each in _judged(coil, one) if each.beside and each.time_s is None]
    return reasons[0] if reasons else ""


def bare_j(coil: ReleasedCoil) -> float:
    """Return what burns in the contact of a coil without suppressor, its pull winding's too [J]."""
    pulls = (w for w in joined_ways(coil) if w.suppressed.part is coil.suppressed.part)
    return coil.winding.energy_j + sum(one.winding.energy_j for one in pulls)


def together_words(coil: ReleasedCoil) -> tuple[str, ...]:
    """Return in words what other windings make of a coil's switch-off."""
    beside = suppressing(coil)
    pulls = [w for w in joined_ways(coil) if w.suppressed.part is coil.suppressed.part]
    words = [
        f"{one.winding.branch} is switched off with it: {text(one.winding.slowest.current_a, 'A')} "
        f"and up to {text(one.winding.energy_j, 'J')} more"
        for one in pulls
    ]
    if beside and not coil.suppressed.every:
        words.append(f"its current goes on through the suppressor of {', '.join(beside)}")
    reason = not_known(coil)
    return (*words, f"no time: {reason}") if reason else tuple(words)


def _judged(coil: ReleasedCoil, one: Suppressor | None) -> tuple[SlowestRelease, ...]:
    return slowest_releases(coil, one, by_key=False) or slowest_releases(coil, one)


def _band(coil: ReleasedCoil, one: Suppressor, longest_s: float) -> Band:
    """Return shortest, usual and longest; the first two of the most crowded release."""
    winding, ways = coil.winding, joined_ways(coil)
    every = [one, *(beside.lowest for beside in ways if beside.lowest is not None)]
    usual = _time_s(winding.usual, [w.winding.usual for w in ways], [law.usual for law in every])
    shortest = _time_s(
        winding.quickest,
        [w.winding.quickest for w in ways],
        [law.most or law.usual for law in every],
    )
    usual = min(usual, longest_s)
    return Band(min(shortest, usual), usual, longest_s)


def _time_s(state: WindingState, others: list[WindingState], laws: list[Law]) -> float:
    lowest = min(laws, key=lambda law: law.volts(state.current_a))
    if lowest.series_ohm == 0.0 and state.drop_out_a is not None:
        return state.decay_s(lowest, state.drop_out_a)
    return joined_decay_s(state, others, laws)
