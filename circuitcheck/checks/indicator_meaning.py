"""What a lit indicator proves, found by taking the circuit apart in thought.

In a position in which it is lit every branch is opened in turn: where it goes dark the branch must
have been whole. What it says of a coil follows from the positions that ask for the coil. No rule
about where indicators are wired: before the contact, after it and across it come out by themselves.
Shared ground of the check on indicators; it judges nothing itself.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from circuitcheck.checks.check import Case
from circuitcheck.circuit.netlist import WINDINGS, CurveBranch, LampCurve
from circuitcheck.model.indicator import IndicatorLamp, LedIndicator
from circuitcheck.solve.nominal_point import nominal_point
from circuitcheck.solve.solution import COLD_START
from circuitcheck.solve.worst_case import PositionSolution

OPEN_OHM = 1e9
"""An open branch, beside which everything conducts."""
Indicator = IndicatorLamp | LedIndicator


@dataclass(frozen=True)
class Meaning:
    """What an indicator shows.

    `lit` are the positions in which it shows light, `dark` the other live ones. `needs` are the
    branches, in the first lit position, without which it would be dark there; `spare` those of
    windings and contacts without which it stays lit.
    """

    lit: tuple[PositionSolution, ...]
    dark: tuple[PositionSolution, ...]
    needs: tuple[str, ...]
    spare: tuple[str, ...]


def indicator_meaning(case: Case, part: Indicator) -> Meaning:
    """Return in which positions an indicator is lit, and what that hangs on."""
    live = case.solution.live(COLD_START)
    lit = tuple(solved for solved in live if _is_lit(case, solved, part.name))
    dark = tuple(solved for solved in live if solved not in lit)
    if not lit:
        return Meaning((), dark, (), ())
    network = lit[0].network
    needs = tuple(
        branch.name
        for number, branch in enumerate(network.branches)
        if not _is_lit(case, lit[0], part.name, without=number)
    )
    telling = (*WINDINGS, "switch contact", "relay contact", "fuse")
    spare = tuple(b.name for b in network.branches if b.role in telling and b.name not in needs)
    return Meaning(lit, dark, needs, spare)


def words_of(case: Case, meaning: Meaning) -> tuple[str, ...]:
    """Return in words what the light says of each winding that some position asks for."""
    names = dict.fromkeys(
        branch.name
        for solved in (*meaning.lit, *meaning.dark)
        for branch in solved.network.branches
        if branch.role in WINDINGS and branch.name in solved.asked_for
    )
    return tuple(_of_winding(name, meaning) for name in names)


def _of_winding(name: str, meaning: Meaning) -> str:
    lit_on = [name in solved.asked_for for solved in meaning.lit]
    dark_on = [name in solved.asked_for for solved in meaning.dark]
    through = f"through {name}" if name in meaning.needs else f"not through {name}"
    if all(lit_on) and not any(dark_on):
        said = f"lit whenever {name} is asked for, and only then"
        tail = "" if name in meaning.needs else f": that its contact is closed, no more of {name}"
        return f"{said}; its current runs {through}{tail}"
    if not any(lit_on) and all(dark_on):
        return f"lit only while {name} is off; its current runs {through}"
    if any(lit_on) and not all(lit_on):
        return f"lit with {name} asked for and without: it says nothing of {name}"
    return (
        f"lit in some of the positions that ask for {name}"
        if any(lit_on)
        else (f"dark whenever {name} is asked for, and at other times too")
    )


def _is_lit(case: Case, solved: PositionSolution, owner: str, without: int | None = None) -> bool:
    """Return whether any curve of an indicator shows light, with one branch open if given."""
    network, ranges = solved.network, solved.ranges
    curves = [(j, c) for j, c in enumerate(network.curves) if c.owner == owner]
    if without is None:
        across = [abs(solved.across_v(curve.name).nominal) for _, curve in curves]
        amps = [solved.current_a(curve.name).nominal for _, curve in curves]
    else:
        warm_c = float(ranges.box.temperature_c[1, without])
        box = ranges.box.pinned(without, OPEN_OHM, warm_c)
        found = nominal_point(network, ranges.shape, box, solved.supply_v.nominal)
        rows = [len(network.branches) + j for j, _ in curves]
        across = [abs(float(found.branch_v[row])) for row in rows]
        amps = [float(found.branch_a[row]) for row in rows]
    return any(
        _shows(case, curve, volts, current_a)
        for (_, curve), volts, current_a in zip(curves, across, amps, strict=True)
    )


def _shows(case: Case, curve: CurveBranch, volts: float, current_a: float) -> bool:
    if isinstance(curve.parameters, LampCurve):
        return volts >= case.library.limit("lamp_glow_fraction").value * curve.parameters.rated_v
    return current_a >= case.library.limit("sneak_current_a").value


def named(solutions: Sequence[PositionSolution]) -> str:
    """Return the names of positions, or `no position`."""
    return ", ".join(solved.position.name for solved in solutions) or "no position"
