"""One suppressor and the windings that push their current into it: how much it carries at once.

    i(v) = (v - E) / r of each suppressor above its E;  v such that all of them take all currents

At the moment the contact opens each winding still carries its current. Suppressors of one kind,
resistors apart, keep what is their own coil's: how such a pair shares is not worked out. For two
windings on one plunger the sum is a bound: with all of their flux in common they redistribute
their currents, and the sum only falls. Shared ground of the checks; it judges nothing itself.
"""

from __future__ import annotations

import math
from dataclasses import replace

from circuitcheck.checks.finding import Term, Working
from circuitcheck.checks.release.released_coil import ReleasedCoil, SharedRelease
from circuitcheck.model.library import Library
from circuitcheck.record import record
from circuitcheck.transient.switching_off.suppressor import Law, Suppressor, choices
from circuitcheck.transient.switching_off.switching_off import Release, absorbed_j, released

HALVINGS = 200


@record
class SharedCurrent:
    """The most that one suppressor carries, and whose: other windings by name, with their current.

    `is_all` tells whether it is the plain sum of these and the coil's own. [A]
    """

    current_a: float
    others: tuple[tuple[str, float], ...]
    is_all: bool

    @property
    def words(self) -> str:
        """Whose current comes on top, empty where nobody's does."""
        names = ", ".join(name for name, _ in self.others)
        return f"with the current of {names}, which goes the same way" if names else ""

    def working(self, own_a: float, symbol: str) -> Working:
        """Return how the current is worked out."""
        result = Term(symbol, self.current_a, "A", f"current into the suppressor, {self.words}")
        if not self.is_all:
            return Working(symbol, (result,), result)
        terms = [Term("I_0", own_a, "A", "the coil's own current, highest")]
        for number, (name, amps) in enumerate(self.others, start=1):
            terms.append(Term(f"I_{number}", amps, "A", f"current of {name}, highest"))
        return Working(" + ".join(term.symbol for term in terms), tuple(terms), result)


def shared_current(
    coil: ReleasedCoil, one: Suppressor, *, by_key: bool | None = None
) -> SharedCurrent:
    """Return the most current that `one` across `coil` carries in any of its releases.

    Never less than the coil's own. `by_key` keeps to releases by the key, or by the buttons.
    """
    best = SharedCurrent(coil.winding.slowest.current_a, (), is_all=True)
    for action in coil.releases:
        if by_key is None or action.is_key == by_key:
            found = _in(coil, one, action)
            if found.current_a > best.current_a * (1.0 + 1e-9):
                best = found
    return best


def usual_choices(coil: ReleasedCoil, library: Library) -> tuple[Suppressor, ...]:
    """Return the usual suppressors, of such a size that a bare diode takes all that comes to it."""
    winding = coil.winding

    def of(current_a: float) -> tuple[Suppressor, ...]:
        return tuple(choices(winding.system_v, current_a, winding.usual.ohm, library))

    own = of(winding.slowest.current_a)
    return of(shared_current(coil, own[0]).current_a)


def neighbours_j(coil: ReleasedCoil, one: Suppressor) -> float:
    """Return the most energy that other windings put into `one` at a release by a button [J]."""
    stored_j = {n.winding.branch: n.winding.energy_j for a in coil.releases for n in a.into}
    shared = shared_current(coil, one, by_key=False)
    return sum(stored_j[name] for name, _ in shared.others)


def shared_release(coil: ReleasedCoil, one: Suppressor) -> Release:
    """Return what one suppressor makes of a coil, with what its neighbours push into it.

    Its time is that of the coil by itself; that of coils together is `slowest_release.py`'s.
    """
    shared = shared_current(coil, one)
    alone = released(coil.winding, one, shared.current_a)
    beside = {n.winding.branch: n.winding for a in coil.releases for n in a.into}
    others = [beside[name] for name, _ in shared.others]
    # across a bare diode each winding falls by itself; elsewhere all of its energy is counted
    more_j = sum(
        absorbed_j(other.slowest, one) if one.kind == "diode" else other.energy_j
        for other in others
    )
    return replace(alone, absorbed_j=alone.absorbed_j + more_j)


def _in(coil: ReleasedCoil, one: Suppressor, action: SharedRelease) -> SharedCurrent:
    mark, own_a = coil.mark(one), coil.winding.slowest.current_a
    others, laws = [], []
    for beside in action.into:
        law = beside.lowest
        is_its_own = law is not None and not (mark and beside.mark(law) == mark)
        known = law is not None and law.most is not None and not beside.open_kind
        if law is not None and known and is_its_own:
            if law.kind == one.kind != "resistor":
                continue
            laws.append(law.most or law.usual)
        others.append((beside.winding.branch, beside.winding.slowest.current_a))
    total_a = own_a + sum(amps for _, amps in others)
    if not others:
        return SharedCurrent(own_a, (), is_all=True)
    if not laws:
        return SharedCurrent(total_a, tuple(others), is_all=True)
    return SharedCurrent(
        _taken_a(one.most or one.usual, laws, total_a), tuple(others), is_all=False
    )


def _taken_a(own: Law, laws: list[Law], total_a: float) -> float:
    """Return what `own` takes of a current that it shares with other suppressors [A]."""

    def taken_a(law: Law, volts: float) -> float:
        if volts <= law.clamp_v:
            return 0.0
        return (volts - law.clamp_v) / law.series_ohm if law.series_ohm > 0.0 else math.inf

    low, high = 0.0, max(law.volts(total_a) for law in (own, *laws))
    for _ in range(HALVINGS):
        middle = (low + high) / 2.0
        enough = sum(taken_a(law, middle) for law in (own, *laws)) >= total_a
        low, high = (low, middle) if enough else (middle, high)
    others_a = sum(taken_a(law, low) for law in laws)
    if own.series_ohm > 0.0:
        return taken_a(own, low)
    return max(0.0, total_a - others_a) if high >= own.clamp_v else 0.0
