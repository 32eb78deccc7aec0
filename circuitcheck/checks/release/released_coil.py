"""A winding that is switched off, with every suppressor that sits across it.

Shared ground of the checks on switching off; it judges nothing itself.
"""

from __future__ import annotations

from dataclasses import replace

from circuitcheck.checks.check import Case
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, Finding, Term, Working
from circuitcheck.checks.release.joined_windings import joined_releases
from circuitcheck.checks.release.suppressed import (
    SuppressedWinding,
    suppressed_pull_windings,
    suppressed_windings,
)
from circuitcheck.record import record
from circuitcheck.solve.solution import COLD_START
from circuitcheck.transient.switching_off.suppressor import Suppressor, fitted
from circuitcheck.transient.switching_off.switching_off import (
    SwitchedWinding,
    WindingState,
    absorbed_j,
    pull_windings,
    switched_windings,
)


@record
class SharedRelease:
    """One action that switches a winding off, with the windings that are joined to it then.

    `into` are those whose current can go on through its suppressor, `ways` those across which its
    own can; `on` is the position that it leaves, `is_key` whether the key does it.
    """

    on: str
    is_key: bool
    into: tuple[ReleasedCoil, ...]
    ways: tuple[ReleasedCoil, ...]


@record
class ReleasedCoil:
    """One winding with what takes its energy.

    `suppressors` are those of which the law is known, `marks` say which piece each is; `open_kind`
    is True where there is one more that is not. `releases` are the actions that switch it off;
    those of a neighbour are not told again.
    """

    winding: SwitchedWinding
    suppressed: SuppressedWinding
    suppressors: tuple[Suppressor, ...]
    marks: tuple[str, ...] = ()
    releases: tuple[SharedRelease, ...] = ()

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

    def mark(self, one: Suppressor) -> str:
        """Return which piece a suppressor is, empty where it is none of those fitted."""
        return self.marks[self.suppressors.index(one)] if one in self.suppressors else ""


def released_coils(case: Case) -> tuple[ReleasedCoil, ...]:
    """Return every winding that some live position works, in file order; no pull winding."""
    across = {one.branch: one for one in suppressed_windings(case)}
    coils = [
        _with_suppressors(case, winding, across[winding.branch])
        for winding in switched_windings(case.harness, case.library, case.solution)
    ]
    pulls = {one.branch: one for one in suppressed_pull_windings(case)} if coils else {}
    every = coils + [
        _with_suppressors(case, winding, pulls[winding.branch])
        for winding in pull_windings(case.harness, case.library, case.solution)
    ]
    together = _releases(case, every)
    return tuple(replace(one, releases=together[one.winding.branch]) for one in coils)


def _with_suppressors(
    case: Case, winding: SwitchedWinding, across: SuppressedWinding
) -> ReleasedCoil:
    known = []
    for name, one in across.every:
        law = fitted(one, case.library, name)
        if law is not None:
            known.append((law, name or f"{winding.owner}/suppressor"))
    laws, marks = tuple(law for law, _ in known), tuple(mark for _, mark in known)
    return ReleasedCoil(winding, across, laws, marks)


def _releases(case: Case, every: list[ReleasedCoil]) -> dict[str, tuple[SharedRelease, ...]]:
    by_branch = {one.winding.branch: one for one in every}
    found: dict[str, list[SharedRelease]] = {name: [] for name in by_branch}
    for action in joined_releases(case, tuple(by_branch)):
        for name in action.ways:
            into, ways = action.into(name) - {name}, action.of(name) - {name}
            one = SharedRelease(
                action.on.position.name,
                action.is_key,
                tuple(by_branch[other] for other in by_branch if other in into),
                tuple(by_branch[other] for other in by_branch if other in ways),
            )
            if not any(_alike(one, before) for before in found[name]):
                found[name].append(one)
    return {name: tuple(actions) for name, actions in found.items()}


def _alike(one: SharedRelease, other: SharedRelease) -> bool:
    return _names(one) == _names(other)


def _names(one: SharedRelease) -> tuple[object, ...]:
    pair = (one.into, one.ways)
    return (one.is_key, *(tuple(coil.winding.branch for coil in coils) for coils in pair))


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
    beside = {one.winding.branch: one for a in coil.releases for one in a.into}
    known = {one.winding.branch for one in every}
    for other in (*every, *(one for name, one in beside.items() if name not in known)):
        if other is coil or not _together(case, coil, other):
            continue
        above = other.lowest
        if above is None or above.least.clamp_v > held_v:
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
