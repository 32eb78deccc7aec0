"""Every usual way to suppress a coil side by side: peaks, release time, energy, rating, price.

The price of a low peak is a slow release, and the other way round: the release time is told as a
multiple of a bare diode's. Shared ground of the command that compares them; it judges nothing.
"""

from __future__ import annotations

from circuitcheck.checks.check import Case
from circuitcheck.checks.release.released_coil import ReleasedCoil, released_coils
from circuitcheck.checks.release.suppressor_working import Burnt, burnt
from circuitcheck.record import record
from circuitcheck.transient.supply_events import load_dump
from circuitcheck.transient.switching_off.suppressor import PAIR, TVS, Suppressor, choices
from circuitcheck.transient.switching_off.switching_off import Release, absorbed_j, released
from circuitcheck.units import text

RESISTOR_RESERVE = 2.0
"""Rated power over what a resistor burns, so that it stays cool enough to touch (practice)."""


@record
class Choice:
    """One way to suppress one coil.

    `times_diode` is its longest release over that of a bare diode, None where no time is known.
    `burnt` is the power it turns to heat at the rate of use.
    `needs` says what rating the part wants, `against` why it does not suit; empty where it does.
    """

    release: Release
    is_fitted: bool
    burnt: Burnt
    times_diode: float | None
    needs: str
    against: tuple[str, ...]

    @property
    def name(self) -> str:
        """What the trade calls it."""
        return self.release.suppressor.name


@record
class CoilChoices:
    """All choices for one coil; `advice` picks one, with its reason."""

    coil: ReleasedCoil
    choices: tuple[Choice, ...]
    advice: str


def coil_choices(case: Case) -> tuple[CoilChoices, ...]:
    """Return the comparison for every coil that some live position works, in file order."""
    return tuple(_of(case, coil) for coil in released_coils(case))


def _of(case: Case, coil: ReleasedCoil) -> CoilChoices:
    winding = coil.winding
    usual = tuple(
        choices(winding.system_v, winding.slowest.current_a, winding.usual.ohm, case.library)
    )
    diode = released(winding, usual[0])
    fitted = {(one.kind, one.least.clamp_v, one.least.series_ohm) for one in coil.suppressors}
    others = [
        one
        for one in _smallest(coil, usual)
        if (one.kind, one.least.clamp_v, one.least.series_ohm) not in fitted
    ]
    found = [
        _choice(case, coil, one, diode, is_fitted=one in coil.suppressors)
        for one in (*coil.suppressors, *others)
    ]
    return CoilChoices(coil, tuple(found), _advice(case, coil, tuple(found)))


def _smallest(coil: ReleasedCoil, every: tuple[Suppressor, ...]) -> list[Suppressor]:
    """Return the choices; of those that differ in their pulse alone, the smallest that suffices."""
    kept: dict[tuple[str, float], Suppressor] = {}
    for one in every:
        key = (one.kind, one.least.clamp_v)
        before = kept.get(key)
        needed_j = absorbed_j(coil.winding.slowest, one)
        if before is None or (before.pulse_j is not None and before.pulse_j < needed_j):
            kept[key] = one
    return list(kept.values())


def _choice(
    case: Case, coil: ReleasedCoil, one: Suppressor, diode: Release, *, is_fitted: bool
) -> Choice:
    release = released(coil.winding, one)
    heat = burnt(case, coil.winding, one)
    times = None
    if release.release_s is not None and diode.release_s is not None:
        times = release.release_s.upper / max(diode.release_s.upper, 1e-9)
    return Choice(
        release, is_fitted, heat, times, _needs(case, coil, release, heat.counted_w),
        tuple(_against(case, coil, release, heat)),
    )  # fmt: skip


def _needs(case: Case, coil: ReleasedCoil, release: Release, watts: float) -> str:
    """Return in words what rating the part wants."""
    one, amps = release.suppressor, text(coil.winding.slowest.current_a, "A")
    dump_v = _dump_v(case, coil)
    if one.kind == "diode":
        return f"{text(dump_v, 'V')} reverse or more, {amps} or more"
    if one.kind == "resistor":
        return f"{text(RESISTOR_RESERVE * watts, 'W')} or more"
    pulse = text(release.absorbed_j, "J")
    if one.kind == PAIR:
        return f"{amps} or more, single pulses of {pulse}"
    return f"single pulses of {pulse}, stand-off above {text(coil.winding.supply_v, 'V')}"


def _against(case: Case, coil: ReleasedCoil, release: Release, heat: Burnt) -> list[str]:
    one, system_v = release.suppressor, coil.winding.system_v
    tested_v = case.library.limit(f"negative_pulse_{system_v:g}v_v").value
    gap_v = case.library.limit("contact_gap_v").value
    dump_v = _dump_v(case, coil)
    longest_s, found = case.harness.use.longest_release_s, []
    if release.coil_peak_v is None or release.contact_peak_v is None:
        found.append("its peak is not known")
    elif release.coil_peak_v > tested_v:
        found.append(f"peak above the {text(tested_v, 'V')} that electronics are tested with")
    elif release.contact_peak_v > gap_v:
        found.append(f"peak above the {text(gap_v, 'V')} that a contact's gap stands")
    if longest_s is not None and release.release_s is None:
        found.append("its release time is not known")
    elif longest_s is not None and release.release_s and release.release_s.upper > longest_s:
        found.append(f"slower than the {text(longest_s, 's')} of [use] longest_release")
    if one.power_w is not None and heat.counted_w > one.power_w:
        often = f"{text(heat.while_on_w, 'W')} while on" if heat.while_on_w else "in repeated use"
        found.append(
            f"{often}: it needs {text(heat.counted_w, 'W')} and has {text(one.power_w, 'W')}"
        )
    if one.pulse_j is not None and release.absorbed_j > one.pulse_j:
        found.append(f"one release is more than its pulse of {text(one.pulse_j, 'J')}")
    if one.kind == TVS and one.blocks_v is not None and one.blocks_v < dump_v:
        found.append(f"a load dump of {text(dump_v, 'V')} drives it beyond its pulse")
    return found


def _dump_v(case: Case, coil: ReleasedCoil) -> float:
    """Return the highest surge on the coil's feed; a converter lets none through [V]."""
    if coil.winding.system_v != case.harness.system_v:
        return coil.winding.supply_v
    clamped = case.harness.conditions.load_dump_clamped
    return load_dump(case.library, case.harness.system_v, clamped=clamped).supply_v


def _advice(case: Case, coil: ReleasedCoil, every: tuple[Choice, ...]) -> str:
    """Return the pick: what is fitted if it suits, else the simplest that does."""
    longest_s = case.harness.use.longest_release_s
    suits = [one for one in every if not one.against]
    if not suits:
        return "None of these suits: a coil that stores less, or a longer release, is needed."
    fitted = [one for one in suits if one.is_fitted]
    pick = (fitted or suits)[0]
    keep = "keep" if fitted else "take"
    times = pick.release.release_s
    slow = "" if times is None else f", at most {text(times.upper, 's')} to let go"
    if longest_s is not None:
        return f"{keep} the {pick.name}: it suits{slow}, {text(longest_s, 's')} allowed."
    quicker = [
        one for one in suits
        if times is not None and one.release.release_s is not None
        and one.release.release_s.upper < 0.5 * times.upper
    ]  # fmt: skip
    advice = f"{keep} the {pick.name}{slow}."
    if quicker:
        advice = f"{keep} the {pick.name}{slow}, where nobody minds the time."
        best = min(quicker, key=lambda one: one.release.coil_peak_v or 0.0)
        assert best.release.release_s is not None  # one of those that are quicker
        advice += (
            f" Where it must let go sooner: {best.name}, "
            f"{text(best.release.release_s.upper, 's')} at the price of "
            f"{text(best.release.coil_peak_v or 0.0, 'V')} at the coil. Say "
            "[use] longest_release and it is judged."
        )
    return advice
