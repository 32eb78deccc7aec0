"""Every usual way to suppress a coil side by side: peaks, release time, energy, rating, price.

The price of a low peak is a slow release, and the other way round: the release time is told as a
multiple of a bare diode's. Shared ground of the command that compares them; it judges nothing.
"""

from __future__ import annotations

from dataclasses import replace

from circuitcheck.checks.check import Case
from circuitcheck.checks.release.joined_release import joined_release
from circuitcheck.checks.release.relay_lag import NO_LAG, RelayLag, relay_lag
from circuitcheck.checks.release.released_coil import ReleasedCoil, released_coils
from circuitcheck.checks.release.shared_suppressor import (
    neighbours_j,
    shared_current,
    shared_release,
    usual_choices,
)
from circuitcheck.checks.release.suppressor_fit import (
    Fitting,
    against,
    drawn_on_from_a,
    drawn_on_words,
    needs,
    not_given,
    pulse_a,
    under_rated,
)
from circuitcheck.checks.release.suppressor_working import Burnt, burnt
from circuitcheck.checks.release.way_round import ways_round
from circuitcheck.record import record
from circuitcheck.transient.switching_off.suppressor import PAIR, Suppressor
from circuitcheck.transient.switching_off.switching_off import Release
from circuitcheck.units import text

TURN = "turn the {} first; nothing is compared until then."


@record
class Choice:
    """One way to suppress one coil.

    `times_diode` is its longest release over that of a bare diode, None where no time is known.
    `burnt` is the power it turns to heat at the rate of use.
    `needs` says what rating the part wants, `against` why it does not suit; empty where it does.
    `under_rated` tells whether its diode or stand-off is too small, `not_given` which ratings of a
    fitted one the file leaves out. `drawn_on_from_a` is the current its clamping voltage is printed
    at, where its peak is an estimate beyond that; `notes` say so.
    """

    release: Release
    is_fitted: bool
    burnt: Burnt
    times_diode: float | None
    needs: str
    against: tuple[str, ...]
    under_rated: bool = False
    not_given: tuple[str, ...] = ()
    drawn_on_from_a: float | None = None
    notes: tuple[str, ...] = ()

    @property
    def name(self) -> str:
        """What the trade calls it."""
        return self.release.suppressor.name


@record
class CoilChoices:
    """All choices for one coil; `advice` picks one, with its reason.

    `lag` are the relays that open before its current can fall. A suppressor that is fitted the
    wrong way round is named in `wrong_way`: no figure holds until it is turned.
    """

    coil: ReleasedCoil
    choices: tuple[Choice, ...]
    advice: str
    lag: RelayLag = NO_LAG
    wrong_way: str = ""


def coil_choices(case: Case) -> tuple[CoilChoices, ...]:
    """Return the comparison for every coil that some live position works, in file order."""
    every, around = released_coils(case), ways_round(case)
    found = []
    for coil in every:
        way = around[coil.winding.branch]
        if way.wrong:
            found.append(CoilChoices(coil, (), TURN.format(way.wrong), wrong_way=way.wrong))
        else:
            lag = relay_lag(case, coil.winding.branch, every)
            found.append(_of(case, coil, lag, way.not_known))
    return tuple(found)


def _of(case: Case, coil: ReleasedCoil, lag: RelayLag, way_not_known: str) -> CoilChoices:
    usual = usual_choices(coil, case.library)
    diode = joined_release(coil, usual[0])
    have = [_choice(case, coil, one, diode, lag, is_fitted=True) for one in coil.suppressors]
    if way_not_known:
        have = [_way_not_known(one, way_not_known) for one in have]
    others = (_apart(one, have) for one in _smallest(coil, usual))
    found = (
        *have,
        *(_choice(case, coil, one, diode, lag, is_fitted=False) for one in others if one),
    )
    return CoilChoices(coil, found, _advice(case, lag, found), lag)


def _way_not_known(one: Choice, words: str) -> Choice:
    if one.release.suppressor.kind not in ("diode", PAIR):
        return one
    return replace(one, not_given=(*one.not_given, words))


def _apart(one: Suppressor, have: list[Choice]) -> Suppressor | None:
    """Return a usual suppressor, None where one like it is fitted; of more rating by its rating."""
    law = (one.kind, one.least.clamp_v, one.least.series_ohm)
    like = [
        choice for choice in have
        for own in (choice.release.suppressor,)
        if (own.kind, own.least.clamp_v, own.least.series_ohm) == law
    ]  # fmt: skip
    if not like:
        return one
    if not any(choice.under_rated for choice in like):
        return None
    if one.kind == "diode" and one.forward_a is not None and one.reverse_v is not None:
        return replace(one, name=f"diode of {one.forward_a:g} A, {one.reverse_v:g} V")
    return one


def _smallest(coil: ReleasedCoil, every: tuple[Suppressor, ...]) -> list[Suppressor]:
    """Return the choices; of those that differ in their pulse alone, the smallest that suffices."""
    kept: dict[tuple[str, float], Suppressor] = {}
    for one in every:
        key = (one.kind, one.least.clamp_v)
        before = kept.get(key)
        needed_j = shared_release(coil, one).absorbed_j
        if before is None or (before.pulse_j is not None and before.pulse_j < needed_j):
            kept[key] = one
    return list(kept.values())


def _choice(
    case: Case,
    coil: ReleasedCoil,
    one: Suppressor,
    diode: Release,
    lag: RelayLag,
    *,
    is_fitted: bool,
) -> Choice:
    release = joined_release(coil, one)
    heat = burnt(case, coil.winding, one, neighbours_j(coil, one))
    amps = shared_current(coil, one).current_a
    most_a = pulse_a(one)
    if most_a is not None and amps > most_a:
        release = replace(release, coil_peak_v=None, contact_peak_v=None)
    times = None
    if release.release_s is not None and diode.release_s is not None:
        times = release.release_s.upper / max(diode.release_s.upper, 1e-9)
    at = Fitting(case, coil, release, heat, lag, amps, is_fitted)
    words = drawn_on_words(at)
    return Choice(
        release, is_fitted, heat, times, needs(at), tuple(against(at)),
        any(under_rated(at)), tuple(not_given(at)),
        drawn_on_from_a(at) if words else None, (words,) if words else (),
    )  # fmt: skip


def _advice(case: Case, lag: RelayLag, every: tuple[Choice, ...]) -> str:
    """Return the pick: what is fitted if it suits, else the simplest that does."""
    longest_s = case.harness.use.longest_release_s
    suits = [one for one in every if not one.against]
    if longest_s is not None and lag.time_s is not None and lag.time_s >= longest_s:
        return (
            f"None of these suits: {lag.names} alone takes up to {text(lag.time_s, 's')} to open, "
            f"{text(longest_s, 's')} allowed."
        )
    if not suits:
        return "None of these suits: a coil that stores less, or a longer release, is needed."
    fitted = [one for one in suits if one.is_fitted]
    pick = (fitted or suits)[0]
    keep = "keep" if fitted else "take"
    times = pick.release.release_s
    slow = "" if times is None else f", at most {text(times.upper, 's')} to let go"
    if times is not None and lag.relays and lag.time_s is not None:
        slow += f", {text(times.upper + lag.time_s, 's')} with {lag.names} before it"
    look = f" Not given: its {', '.join(pick.not_given)}; look." if pick.not_given else ""
    if longest_s is not None:
        suit = "quick enough" if look else "it suits"
        return f"{keep} the {pick.name}: {suit}{slow}, {text(longest_s, 's')} allowed.{look}"
    quicker = [
        one for one in suits
        if times is not None and one.release.release_s is not None
        and one.release.release_s.upper < 0.5 * times.upper
    ]  # fmt: skip
    if not quicker:
        return f"{keep} the {pick.name}{slow}.{look}"
    best = min(quicker, key=lambda one: one.release.coil_peak_v or 0.0)
    assert best.release.release_s is not None  # one of those that are quicker
    about = "about " if best.drawn_on_from_a is not None else ""
    return (
        f"{keep} the {pick.name}{slow}, where nobody minds the time.{look} "
        f"Where it must let go sooner: {best.name}, "
        f"{text(best.release.release_s.upper, 's')} at the price of "
        f"{about}{text(best.release.coil_peak_v or 0.0, 'V')} at the coil. Say "
        "[use] longest_release and it is judged."
    )
