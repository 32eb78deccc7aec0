"""Whether one suppressor suits one coil: the ratings it needs, and what speaks against it.

The same rules as the checks on suppressors: rated current and reverse voltage of a diode, also of
the one in series with a Zener, stand-off of a TVS, power, pulse, peaks and release time. Shared
ground of the command that compares them; it judges nothing.
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.checks.check import Case
from circuitcheck.checks.release.relay_lag import RelayLag
from circuitcheck.checks.release.released_coil import ReleasedCoil
from circuitcheck.checks.release.suppressor_working import Burnt
from circuitcheck.formulas.suppression import diode_reverse_voltage_v
from circuitcheck.model.relay import Relay
from circuitcheck.record import record
from circuitcheck.transient.supply_events import load_dump
from circuitcheck.transient.switching_off.suppressor import PAIR, TVS, Suppressor
from circuitcheck.transient.switching_off.switching_off import Release
from circuitcheck.units import text

RESISTOR_RESERVE = 2.0
"""Rated power over what a resistor burns, so that it stays cool enough to touch (practice)."""


@record
class Fitting:
    """One suppressor on one coil, with its release, the power it burns and the relays before it.

    `current_a` is the most that goes through it.
    """

    case: Case
    coil: ReleasedCoil
    release: Release
    burnt: Burnt
    lag: RelayLag
    current_a: float
    is_fitted: bool

    @property
    def one(self) -> Suppressor:
        """The suppressor."""
        return self.release.suppressor

    @property
    def reverse_v(self) -> float:
        """What a diode across the coil has to block [V]."""
        return diode_reverse_voltage_v(self.coil.winding.supply_v, dump_v(self.case, self.coil))


def dump_v(case: Case, coil: ReleasedCoil) -> float:
    """Return the highest surge on the coil's feed; a converter lets none through [V]."""
    if coil.winding.system_v != case.harness.system_v:
        return coil.winding.supply_v
    clamped = case.harness.conditions.load_dump_clamped
    return load_dump(case.library, case.harness.system_v, clamped=clamped).supply_v


def pulse_a(one: Suppressor) -> float | None:
    """Return the current of the single pulse that a suppressor is rated for [A]."""
    if one.kind == PAIR and one.pulse_w is not None and one.usual.clamp_v > 0.0:
        return one.pulse_w / one.usual.clamp_v
    return one.clamp_a if one.kind == TVS else None


def needs(at: Fitting) -> str:
    """Return in words what rating the part wants."""
    one, amps, volts = at.one, text(at.current_a, "A"), text(at.reverse_v, "V")
    if one.kind == "diode":
        return f"{volts} reverse or more, {amps} or more"
    if one.kind == "resistor":
        return f"{text(RESISTOR_RESERVE * at.burnt.counted_w, 'W')} or more"
    pulse = text(at.release.absorbed_j, "J")
    if one.kind == PAIR:
        return f"a diode of {volts} reverse, {amps} or more, single pulses of {pulse}"
    return f"single pulses of {pulse}, stand-off above {text(at.coil.winding.supply_v, 'V')}"


def against(at: Fitting) -> Iterator[str]:
    """Yield why it does not suit."""
    yield from under_rated(at)
    yield from _peaks(at)
    yield from _too_slow(at)
    one, heat = at.one, at.burnt
    if one.power_w is not None and heat.counted_w > one.power_w:
        often = f"{text(heat.while_on_w, 'W')} while on" if heat.while_on_w else "in repeated use"
        yield f"{often}: it needs {text(heat.counted_w, 'W')} and has {text(one.power_w, 'W')}"
    if one.pulse_j is not None and at.release.absorbed_j > one.pulse_j:
        yield f"one release is more than its pulse of {text(one.pulse_j, 'J')}"
    highest_v = dump_v(at.case, at.coil)
    if one.kind == TVS and one.blocks_v is not None and one.blocks_v < highest_v:
        yield f"a load dump of {text(highest_v, 'V')} drives it beyond its pulse"


def under_rated(at: Fitting) -> Iterator[str]:
    """Yield each rating of a diode or TVS that does not reach what it needs."""
    one, amps = at.one, at.current_a
    if one.forward_a is not None and amps > one.forward_a:
        yield f"its diode is rated {text(one.forward_a, 'A')}, {text(amps, 'A')} go through it"
    if one.reverse_v is not None and at.reverse_v > one.reverse_v:
        yield (
            f"its diode blocks {text(one.reverse_v, 'V')}, it has to block "
            f"{text(at.reverse_v, 'V')}"
        )
    supply_v = at.coil.winding.supply_v
    if one.standoff_v is not None and supply_v > one.standoff_v:
        yield (
            f"the supply of {text(supply_v, 'V')} is above its stand-off of "
            f"{text(one.standoff_v, 'V')}"
        )


def _peaks(at: Fitting) -> Iterator[str]:
    limits, release, most_a = at.case.library.limit, at.release, pulse_a(at.one)
    tested_v = limits(f"negative_pulse_{at.coil.winding.system_v:g}v_v").value
    gap_v = limits("contact_gap_v").value
    if most_a is not None and at.current_a > most_a:
        yield (
            f"{text(at.current_a, 'A')} are beyond the {text(most_a, 'A')} of its single pulse: "
            "its peak is not known"
        )
    elif release.coil_peak_v is None or release.contact_peak_v is None:
        yield "its peak is not known"
    elif release.coil_peak_v > tested_v:
        yield f"peak above the {text(tested_v, 'V')} that electronics are tested with"
    elif release.contact_peak_v > gap_v:
        yield f"peak above the {text(gap_v, 'V')} that a contact's gap stands"


def _too_slow(at: Fitting) -> Iterator[str]:
    longest_s, times, lag = at.case.harness.use.longest_release_s, at.release.release_s, at.lag
    if longest_s is None:
        return
    if times is None:
        yield "its release time is not known"
    elif lag.time_s is None:
        yield f"how long {lag.unknown} takes to open first is not known"
    elif times.upper + lag.time_s > longest_s:
        after = f"with the {text(lag.time_s, 's')} of {lag.names} " if lag.relays else ""
        yield f"{after}slower than the {text(longest_s, 's')} of [use] longest_release"


def not_given(at: Fitting) -> Iterator[str]:
    """Yield the ratings of a fitted suppressor that the file does not give.

    Those inside a relay are its maker's affair.
    """
    one = at.one
    is_own = one.name == one.kind
    if not at.is_fitted or (is_own and isinstance(at.coil.suppressed.part, Relay)):
        return
    if one.kind in ("diode", PAIR):
        if one.forward_a is None:
            yield "rated current"
        if one.reverse_v is None:
            yield "reverse voltage"
    if one.kind == TVS and one.standoff_v is None:
        yield "stand-off voltage"
    if one.kind != "diode" and one.power_w is None:
        yield "power"


def drawn_on_from_a(at: Fitting) -> float | None:
    """Return the current its clamping voltage is printed at, where the coil's is beyond it [A]."""
    printed_a = at.one.clamp_a
    return printed_a if printed_a is not None and at.current_a > printed_a else None


def drawn_on_words(at: Fitting) -> str:
    """Return in words that its peak is not a printed one; empty where it is."""
    printed_a = drawn_on_from_a(at)
    if printed_a is None or at.release.coil_peak_v is None:
        return ""
    rows = at.case.library.suppressors.values()
    from_memory = any(at.one.name.startswith(r.name) and r.how == "memory" for r in rows)
    row = "; the row is from memory" if from_memory else ""
    return (
        f"its peak is an estimate: the clamping voltage is for {text(printed_a, 'A')}, and a "
        f"straight line is drawn on to {text(at.current_a, 'A')}{row}"
    )
