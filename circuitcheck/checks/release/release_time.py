"""Release time of each coil against the longest that the file allows.

Finds       a coil whose suppressor lets its current linger: the valve shuts, or the latch falls,
            later than it must
Formula     t = L / (R + r) ln((I_0 (R + r) + E) / (I_d (R + r) + E)) <= longest release
            E and r of the suppressor; I_d is the current at which the plunger lets go. A relay
            that feeds the coil opens first: its own release time comes on top
Source      openstax-university-physics (decay in an RL loop); suppression-measured (a diode makes a
            relay about three times slower than a resistor)
Worst case  inductance at its upper end, winding at its coldest and lowest, highest supply, drop-out
            at its lower end, suppressor at its lowest voltage
Not covered travel of plunger and spool, oil, dirt, residual magnetism; eddy currents; what other
            coils push through a shared wire. No open data on valve coils validates it.
Result      one finding per coil, only where [use] gives longest_release
"""

from __future__ import annotations

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.finding import NOT_JUDGED, Finding, Term, Working, judged
from circuitcheck.checks.release.after_relays import after_relays
from circuitcheck.checks.release.relay_lag import relay_lag
from circuitcheck.checks.release.released_coil import (
    ReleasedCoil,
    inductance_words,
    not_on_a_guess,
    released_coils,
    state_terms,
)
from circuitcheck.checks.stand_ins import assumed
from circuitcheck.transient.switching_off.suppressor import choices
from circuitcheck.transient.switching_off.switching_off import released
from circuitcheck.units import text

NAME = "release time"
WHY = "The coil holds on for as long as its current lasts: the machine stops later than it must."
QUANTITY = "longest time until the current lets the plunger go"
BARE = (
    "nothing sits across the coil: how fast its current falls hangs on the arc in the contact and "
    "is beyond this model; quicker than with any suppressor, at the price of the contact"
)
ASK_KIND = "what sits across the coil is not known: ask the seller, or read its data sheet"
ASK_DROP_OUT = "the drop-out voltage is not known: read it in the data sheet"
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
    winding, one = coil.winding, coil.lowest
    state, value, working = winding.slowest, None, None
    if coil.open_kind or one is None:
        reason = ASK_KIND if coil.open_kind else BARE
    elif state.drop_out_a is None:
        reason = ASK_DROP_OUT
    else:
        value = state.decay_s(one.least, state.drop_out_a)
        working, reason = _working(coil, value), WHY
    result = NOT_JUDGED if value is None else judged(value, longest_s)
    if value is not None and value > longest_s:
        reason = f"{WHY} {_quicker(case, coil, longest_s)}"
    finding = Finding(
        NAME, winding.owner, result, QUANTITY, reason, winding.position.position.name,
        winding.position.coil_state, value, longest_s, "s",
        conditions=(
            f"suppression: {coil.suppressed.words}",
            *winding.position.conditions(winding.branch, "upper"),
            *inductance_words(winding),
            *assumed(case, winding.owner, "inductance", "drop_out"),
        ),
        sources=SOURCES, working=working,
    )  # fmt: skip
    return not_on_a_guess(coil, finding)


def _working(coil: ReleasedCoil, value: float) -> Working:
    one, state = coil.lowest, coil.winding.slowest
    assert one is not None  # the caller has a value
    terms = (
        *state_terms(state, with_drop_out=True),
        Term("E", one.least.clamp_v, "V", "constant voltage of the suppressor, lowest"),
        Term("r", one.least.series_ohm, "ohm", "resistance of the suppressor, lowest"),
    )
    formula = "L / (R + r) * ln((I_0 * (R + r) + E) / (I_d * (R + r) + E))"
    result = Term("t", value, "s", QUANTITY)
    if value == 0.0:
        return Working("t", (result,), result)
    return Working(formula, terms, result)


def _quicker(case: Case, coil: ReleasedCoil, longest_s: float) -> str:
    """Return in words which usual suppressors would be quick enough."""
    winding, fits = coil.winding, []
    for one in choices(
        winding.system_v, winding.slowest.current_a, winding.usual.ohm, case.library
    ):
        times = released(winding, one).release_s
        if times is not None and times.upper <= longest_s:
            fits.append(f"{one.name} ({text(times.upper, 's')})")
    if not fits:
        return "No usual suppressor is quick enough: a coil that stores less is needed."
    return f"Quick enough: {', '.join(fits)}."


CHECK = Check(
    name=NAME,
    judges="how long relays and each coil's current last after switch-off, against [use]",
    why=WHY,
    does_not_cover="travel of plunger and spool; oil; residual magnetism; coupled coils",
    sources=SOURCES,
    judge=judge,
)
