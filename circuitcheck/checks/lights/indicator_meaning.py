"""What a lit indicator proves, found by taking the circuit apart in thought.

In a position in which it is lit every branch is opened in turn: where it goes dark the branch must
have been whole. What it says of a coil follows from the positions that ask for the coil. No rule
about where indicators are wired: before the contact, after it and across it come out by themselves.
Shared ground of the check on indicators; it judges nothing itself.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace

from circuitcheck.checks.check import Case
from circuitcheck.circuit.asked_for import asked_loads
from circuitcheck.circuit.netlist import WINDINGS, CurveBranch, LampCurve, Network
from circuitcheck.model.indicator import IndicatorLamp, LedIndicator
from circuitcheck.record import record
from circuitcheck.solve.nominal_point import nominal_point
from circuitcheck.solve.solution import COLD_START
from circuitcheck.solve.worst_case import PositionSolution

OPEN_OHM = 1e9
"""An open branch, beside which everything conducts."""
Indicator = IndicatorLamp | LedIndicator


@record
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
        if not _is_lit_without(case, lit[0], part.name, number)
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


def _is_lit(case: Case, solved: PositionSolution, owner: str) -> bool:
    """Return whether any curve of an indicator shows light at nominal values."""
    return any(
        _shows(
            case,
            curve,
            abs(solved.across_v(curve.name).nominal),
            solved.current_a(curve.name).nominal,
        )
        for curve in solved.network.curves
        if curve.owner == owner
    )


def _is_lit_without(case: Case, solved: PositionSolution, owner: str, number: int) -> bool:
    """Return whether a lit indicator stays lit with one branch open.

    Where closed contacts still lead to it, it does; where nothing does, it goes dark; between
    these, through other loads, the circuit is solved again.
    """
    network, ranges = solved.network, solved.ranges
    left = (*network.branches[:number], *network.branches[number + 1 :])
    opened = replace(network, branches=left)
    asked = asked_loads(opened)
    curves = [(j, c) for j, c in enumerate(network.curves) if c.owner == owner]
    if any(curve.name in asked for _, curve in curves):
        return True
    if not any(_is_joined(opened, curve) for _, curve in curves):
        return False
    box = ranges.box.pinned(number, OPEN_OHM, float(ranges.box.temperature_c[1, number]))
    found = nominal_point(network, ranges.shape, box, solved.supply_v.nominal)
    rows = [(curve, len(network.branches) + j) for j, curve in curves]
    return any(
        _shows(case, curve, abs(float(found.branch_v[row])), float(found.branch_a[row]))
        for curve, row in rows
    )


def _is_joined(network: Network, curve: CurveBranch) -> bool:
    """Return whether its ends are joined to the two posts by anything, loads included."""
    ends = [(branch.start, branch.end) for branch in network.branches]
    ends += [(c.start, c.end) for c in network.curves if c is not curve]
    ends += [(c.source, c.output) for c in network.converters]
    posts = {network.source: "+", network.reference: "-"}
    sides = [
        {posts[node] for node in _reached(ends, end, posts) if node in posts}
        for end in (curve.start, curve.end)
    ]
    return all(sides) and len(sides[0] | sides[1]) > 1


def _reached(ends: Sequence[tuple[int, int]], start: int, stops: Collection[int]) -> set[int]:
    """Return all nodes that a node is joined to, not looking past the stops."""
    beside: dict[int, list[int]] = {}
    for first, last in ends:
        beside.setdefault(first, []).append(last)
        beside.setdefault(last, []).append(first)
    found, waiting = {start}, [start]
    while waiting:
        here = waiting.pop()
        for there in () if here in stops else beside.get(here, ()):
            if there not in found:
                found.add(there)
                waiting.append(there)
    return found


def _shows(case: Case, curve: CurveBranch, volts: float, current_a: float) -> bool:
    if isinstance(curve.parameters, LampCurve):
        return volts >= case.library.limit("lamp_glow_fraction").value * curve.parameters.rated_v
    return current_a >= case.library.limit("sneak_current_a").value


def named(solutions: Sequence[PositionSolution]) -> str:
    """Return the names of positions, or `no position`."""
    return ", ".join(solved.position.name for solved in solutions) or "no position"
