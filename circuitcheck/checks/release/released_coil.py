"""A winding that is switched off, with every suppressor that sits across it.

Shared ground of the checks on switching off; it judges nothing itself.
"""

from __future__ import annotations

from dataclasses import replace

from circuitcheck.checks.check import Case
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, Finding, Term, Working
from circuitcheck.checks.release.suppressed import SuppressedWinding, suppressed_windings
from circuitcheck.record import record
from circuitcheck.solve.solution import COLD_START
from circuitcheck.transient.switching_off.suppressor import Suppressor, fitted
from circuitcheck.transient.switching_off.switching_off import (
    SwitchedWinding,
    WindingState,
    absorbed_j,
    switched_windings,
)


@record
class ReleasedCoil:
    """One winding with what takes its energy.

    `suppressors` are those of which the law is known; `open_kind` is True where there is one more
    that is not.
    """

    winding: SwitchedWinding
    suppressed: SuppressedWinding
    suppressors: tuple[Suppressor, ...]

    @property
    def open_kind(self) -> bool:
        """Whether something may sit across it of which the law is not known."""
        unknown = self.suppressed.suppression.kind == "unknown"
        return unknown or len(self.suppressors) < len(self.suppressed.every)

    @property
    def lowest(self) -> Suppressor | None:
        """The suppressor that takes the current: the one of lowest voltage at the coil's."""
        amps = self.winding.slowest.current_a
        return min(self.suppressors, key=lambda one: one.usual.volts(amps), default=None)


def released_coils(case: Case) -> tuple[ReleasedCoil, ...]:
    """Return every winding that some live position works, in file order."""
    across = {one.branch: one for one in suppressed_windings(case)}
    found = []
    for winding in switched_windings(case.harness, case.library, case.solution):
        every = across[winding.branch]
        laws = (fitted(one, case.library, name) for name, one in every.every)
        found.append(ReleasedCoil(winding, every, tuple(law for law in laws if law is not None)))
    return tuple(found)


def released_together_j(
    case: Case, coil: ReleasedCoil, every: tuple[ReleasedCoil, ...]
) -> tuple[float, int]:
    """Return the most energy that a coil's lowest suppressor may take at once, and of how many.

    When the feed of several coils opens ahead of their buttons, those without a suppressor, or
    with one of higher voltage, pass their current to the lowest of their neighbours. They count
    with all of their energy where one position works them together.
    """
    own = coil.lowest
    if own is None:
        return 0.0, 0
    energy_j, count = absorbed_j(coil.winding.slowest, own), 1
    held_v = (own.most or own.usual).volts(coil.winding.slowest.current_a)
    for other in every:
        if other is coil or not _together(case, coil, other):
            continue
        beside = other.lowest
        if beside is None or beside.least.clamp_v > held_v:
            energy_j, count = energy_j + other.winding.energy_j, count + 1
    return energy_j, count


def _together(case: Case, one: ReleasedCoil, other: ReleasedCoil) -> bool:
    """Return whether some live position works both windings."""
    pair = {one.winding.branch, other.winding.branch}
    return any(pair <= solved.asked_for for solved in case.solution.live(COLD_START))


def state_terms(state: WindingState, *, with_drop_out: bool = False) -> tuple[Term, ...]:
    """Return inductance, resistance and current of a winding as terms of a working."""
    terms = (
        Term("L", state.inductance_h, "H", "inductance, upper end"),
        Term("R", state.ohm, "ohm", "winding, coldest and lowest"),
        Term("I_0", state.current_a, "A", "current before switch-off, highest"),
    )
    if not with_drop_out or state.drop_out_a is None:
        return terms
    return (*terms, Term("I_d", state.drop_out_a, "A", "current at which it lets go, lower end"))


def energy_working(state: WindingState, result: Term) -> Working:
    """Return the stored energy as a step."""
    terms = state_terms(state)
    return Working("L * I_0**2 / 2", (terms[0], terms[2]), result)


GUESS = (
    "would fail as assumed: its inductance is not known. Measure it at 100 Hz with the plunger "
    "seated, or ask the maker"
)


def not_on_a_guess(coil: ReleasedCoil, finding: Finding) -> Finding:
    """Return a finding; a failure that rests on an inductance not known is not judged."""
    if finding.result != FAIL or coil.winding.inductance_known:
        return finding
    return replace(finding, result=NOT_JUDGED, reason=GUESS)


def inductance_words(winding: SwitchedWinding) -> tuple[str, ...]:
    """Return in words what stands in for an inductance that is not known."""
    if winding.inductance_known:
        return ()
    tau_ms = 1e3 * winding.slowest.inductance_h / winding.slowest.ohm
    return (f"inductance not known: L/R up to {tau_ms:.0f} ms when cold, as such coils have it",)
