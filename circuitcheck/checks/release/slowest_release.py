"""The longest that a coil's current lasts, with all that hangs on the same contact.

    t = L / R ln((I_0 R + E) / (I_c R + E)) + L / R ln(I_c / I_d)
    I_c = E_m (sum of 1 / R_k + sum of 1 / r_s)

Several windings joined at both ends: the diode of lowest voltage takes their currents. It holds at
least E across each while it conducts, which it does for sure above I_c: no neighbour R_k can carry
the other way more than the highest E_m drives through it, nor a resistor r_s beside it. Below I_c
a winding may run through its neighbour alone: as if its ends were joined, the slowest there is.
Where no bare diode holds the voltage, a quick winding becomes the way of a slow one: that is
integrated, with its neighbours at their slowest and at their quickest.
Shared ground of the checks on switching off; it judges nothing itself.
"""

from __future__ import annotations

from dataclasses import replace

from circuitcheck.checks.finding import Term, Working
from circuitcheck.checks.release.released_coil import ReleasedCoil, SharedRelease, state_terms
from circuitcheck.errors import SolveError
from circuitcheck.formulas.suppression import decay_time_s
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.record import record
from circuitcheck.transient.switching_off.joined_decay import joined_decay_s
from circuitcheck.transient.switching_off.suppressor import Law, Suppressor
from circuitcheck.transient.switching_off.switching_off import WindingState

QUANTITY = "longest time until the current lets the plunger go"
BARE = (
    "nothing sits across the coil: how fast its current falls hangs on the arc in the contact and "
    "is beyond this model; quicker than with any suppressor, at the price of the contact"
)
ASK_KIND = "what sits across the coil is not known: ask the seller, or read its data sheet"
ASK_BESIDE = (
    "what sits across {}, which hangs on the same contact, is not known: ask the seller, or read "
    "its data sheet"
)
ASK_DROP_OUT = "the drop-out voltage is not known: read it in the data sheet"
ASK_PULL = (
    "its pull winding is switched off with it and runs on through the same suppressor: how long "
    "both hold the plunger hangs on their turns. Measure it, or ask the maker"
)


@record
class SlowestRelease:
    """The longest time, None where `reason` says why it cannot be worked out; with its working.

    `beside` are the windings that are joined to the coil in that release.
    """

    time_s: float | None
    working: Working | None = None
    reason: str = ""
    beside: tuple[str, ...] = ()

    @property
    def words(self) -> tuple[str, ...]:
        """In words which coils hang on the same contact."""
        return (f"let go together with {', '.join(self.beside)}",) if self.beside else ()


def slowest_releases(
    coil: ReleasedCoil, one: Suppressor | None, *, by_key: bool | None = None
) -> tuple[SlowestRelease, ...]:
    """Return each release of a coil with `one` across it, what cannot be worked out first.

    Then the slowest first. `by_key` keeps to releases by the key, or by the buttons.
    """
    actions = [a for a in coil.releases if by_key is None or a.is_key == by_key]
    found = [_of(coil, one, action) for action in actions]
    if not coil.releases:
        found = [_of(coil, one, SharedRelease("", False, (), ()))]
    return tuple(sorted(found, key=lambda each: -each.time_s if each.time_s is not None else 0.0))


def joined_ways(coil: ReleasedCoil) -> list[ReleasedCoil]:
    """Return the neighbours of the most crowded release by a button, else by the key."""
    by_button = [action for action in coil.releases if not action.is_key]
    ways = (_ways(coil, action) for action in by_button or coil.releases)
    return max(ways, key=len, default=[])


def _of(coil: ReleasedCoil, one: Suppressor | None, action: SharedRelease) -> SlowestRelease:
    state, ways = coil.winding.slowest, _ways(coil, action)
    names = tuple(beside.winding.branch for beside in ways)
    every = [*([] if one is None else [one]), *(b.lowest for b in ways if b.lowest is not None)]
    reason = _not_known(coil, one, ways, every)
    if reason:
        return SlowestRelease(None, reason=reason, beside=names)
    lowest = min(every, key=lambda law: law.usual.volts(state.current_a))
    if ways and any(one.least == Law(0.0, 0.0) for one in every):
        # one of which the least is not known: as if the ends were joined
        return replace(_alone(state, Law(0.0, 0.0)), beside=names)
    if not ways:
        return _alone(state, lowest.least)
    if lowest.kind == "diode":
        return _behind_a_diode(state, lowest, ways, every, names)
    return _integrated(state, ways, every, names)


def _ways(coil: ReleasedCoil, action: SharedRelease) -> list[ReleasedCoil]:
    """Return the neighbours; a pull winding that is cut out once the plunger is in is none."""
    part = coil.suppressed.part
    cuts_out = isinstance(part, PullHoldCoil) and part.cuts_out
    return [one for one in action.ways if not (cuts_out and one.suppressed.part is part)]


def _not_known(
    coil: ReleasedCoil, one: Suppressor | None, ways: list[ReleasedCoil], every: list[Suppressor]
) -> str:
    """Return what is missing, empty where the time can be worked out."""
    unknown = [beside.winding.branch for beside in ways if beside.open_kind]
    if any(beside.suppressed.part is coil.suppressed.part for beside in ways):
        return ASK_PULL
    if coil.open_kind and one in (None, *coil.suppressors):
        return ASK_KIND
    if unknown:
        return ASK_BESIDE.format(", ".join(unknown))
    if not every:
        return BARE
    return ASK_DROP_OUT if coil.winding.slowest.drop_out_a is None else ""


def _alone(state: WindingState, law: Law) -> SlowestRelease:
    assert state.drop_out_a is not None  # the caller looked
    value = state.decay_s(law, state.drop_out_a)
    terms = (
        *state_terms(state, with_drop_out=True),
        Term("E", law.clamp_v, "V", "constant voltage of the suppressor, lowest"),
        Term("r", law.series_ohm, "ohm", "resistance of the suppressor, lowest"),
    )
    formula = "L / (R + r) * ln((I_0 * (R + r) + E) / (I_d * (R + r) + E))"
    return SlowestRelease(value, _working(formula, terms, value))


def _working(formula: str, terms: tuple[Term, ...], value: float) -> Working:
    result = Term("t", value, "s", QUANTITY)
    return (
        Working(formula, terms, result)
        if value > 0.0 and formula
        else Working("t", (result,), result)
    )


def _behind_a_diode(
    state: WindingState,
    lowest: Suppressor,
    ways: list[ReleasedCoil],
    every: list[Suppressor],
    names: tuple[str, ...],
) -> SlowestRelease:
    end_a, law = state.drop_out_a, lowest.least
    assert end_a is not None  # the caller looked
    siemens = sum(1.0 / beside.winding.slowest.ohm for beside in ways)
    siemens += sum(1.0 / one.least.series_ohm for one in every if one.kind == "resistor")
    highest = Term("E_m", (lowest.most or lowest.usual).clamp_v, "V", "the diode, highest")
    beside = Term("G", siemens, "S", "windings and resistors beside it, 1 / R of each")
    sure_a = highest.value * siemens
    if sure_a <= end_a:
        found = _alone(state, law)
        return SlowestRelease(found.time_s, found.working, beside=names)
    sure_a = min(sure_a, state.current_a)
    value = state.decay_s(law, sure_a) if sure_a < state.current_a else 0.0
    if end_a < sure_a:
        value += decay_time_s(state.inductance_h, state.ohm, sure_a, end_a, 0.0)
    else:
        value = 0.0
    down_to = Term("I_c", sure_a, "A", "current down to which the diode conducts for sure")
    step = Working("min(I_0, E_m * G)", (state_terms(state)[2], highest, beside), down_to)
    terms = (
        *state_terms(state, with_drop_out=True),
        Term("E", law.clamp_v, "V", "constant voltage of the diode, lowest"),
        down_to,
    )
    formula = "L / R * (ln((I_0 * R + E) / (I_c * R + E)) + ln(I_c / I_d))"
    plain = _working(formula, terms, value)
    working = plain if value == 0.0 else Working(plain.formula, terms, plain.result, steps=(step,))
    return SlowestRelease(value, working, beside=names)


def _integrated(
    state: WindingState, ways: list[ReleasedCoil], every: list[Suppressor], names: tuple[str, ...]
) -> SlowestRelease:
    laws = [one.least for one in every]
    corners = (
        [beside.winding.slowest for beside in ways],
        [beside.winding.quickest for beside in ways],
    )
    try:
        value = max(joined_decay_s(state, others, laws) for others in corners)
    except SolveError as error:
        return SlowestRelease(None, reason=str(error), beside=names)
    return SlowestRelease(value, _working("", (), value), beside=names)
