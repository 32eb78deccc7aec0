"""Returns that are bridges and meshes: every bound is a corner of exact brute force.

Runs of branches in series are one resistance to the rest, so each run becomes one exact rational
with its two ends; all corners of the few runs left are solved in exact rationals. The bounds must
hold every corner and be touched by the extreme ones.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from fractions import Fraction

import pytest
from reference_solvers.exact_rationals import corner_extremes
from solve.small_harnesses import solved_as

from circuitcheck.circuit.netlist import Network
from circuitcheck.solve.worst_case import PositionSolution

MOST_RUNS = 12
TOUCHES = 1e-9
CASES = {
    # runs counted on paper: tap, other load, then
    ("two valves", "key on, left + right"): 6,  # feed, two valves, return
    ("bridge in the return", "key on, left"): 6,  # one valve, two ways to the frame, its wire
    ("bridge in the return", "key on, left + right"): 9,  # feed, two valves, link, two ways, wire
    ("many loops in the return", "key on, right"): 9,  # valve, stud, stud, wire, two bonds, wire
}


@dataclass
class Run:
    """Branches in series between two nodes, named from one end; a sign for each branch."""

    start: int
    end: int
    branches: list[tuple[int, int]]


def turned(run: Run) -> Run:
    return Run(run.end, run.start, [(branch, -sign) for branch, sign in reversed(run.branches)])


def runs(network: Network) -> list[Run]:
    """Branches that carry current, joined where two meet at a node of no other branch."""
    left = [Run(b.start, b.end, [(k, 1)]) for k, b in enumerate(network.branches)]
    fixed = {network.source, network.reference}
    while True:
        meets = Counter(node for run in left for node in (run.start, run.end))
        dead = [r for r in left if {n for n in (r.start, r.end) if meets[n] == 1} - fixed]
        if dead:
            left = [run for run in left if run not in dead]
            continue
        joint = next((n for n, count in meets.items() if count == 2 and n not in fixed), None)
        if joint is None:
            return [run for run in left if run.start != run.end]
        one, two = [run for run in left if joint in (run.start, run.end)]
        one = one if one.end == joint else turned(one)
        two = two if two.start == joint else turned(two)
        left = [run for run in left if joint not in (run.start, run.end)]
        left.append(Run(one.start, two.end, one.branches + two.branches))


def sums(run: Run, solved: PositionSolution, row: int) -> Fraction:
    rows = solved.ranges.box.resistance_ohm[row]
    return sum((Fraction(float(rows[branch])) for branch, _ in run.branches), Fraction(0))


@pytest.mark.parametrize(("name", "position"), CASES)
def test_bounds_are_the_corners_of_exact_brute_force(name: str, position: str) -> None:
    solved = solved_as(name).of(position, "cold start")
    network = solved.network
    left = runs(network)
    assert len(left) == CASES[name, position] <= MOST_RUNS
    inner = {n for run in left for n in (run.start, run.end)}
    inner -= {network.source, network.reference}
    number = {network.reference: 0, network.source: 1}
    number.update({node: k for k, node in enumerate(sorted(inner), start=2)})
    ends = [(number[run.start], number[run.end]) for run in left]
    lower, upper = ([sums(run, solved, row) for run in left] for row in (0, 2))
    probes = [(number[node], 0) for node in inner]
    volts, amps = corner_extremes(len(number), ends, lower, upper, probes)
    supply = solved.supply_v
    for run, (least, most) in zip(left, amps, strict=True):
        for branch, sign in run.branches:
            found = solved.current_a(network.branches[branch].name)
            found = found if sign > 0 else found.negated()
            _assert_touched(found, least, most, supply)
    for node, (least, most) in zip(inner, volts, strict=True):
        _assert_touched(solved.voltage_v(network.node_names[node]), least, most, supply)


def _assert_touched(found, least: Fraction, most: Fraction, supply) -> None:
    """1 V extremes scaled by the supply's worse end: bounds hold them and are touched by them."""
    lower = float(least) * (supply.upper if least < 0 else supply.lower)
    upper = float(most) * (supply.lower if most < 0 else supply.upper)
    size = max(abs(lower), abs(upper))
    assert found.lower == pytest.approx(lower, abs=TOUCHES * size)
    assert found.upper == pytest.approx(upper, abs=TOUCHES * size)


def test_a_bridge_is_bounded_by_corners_and_said_so() -> None:
    bridge = solved_as("bridge in the return").of("key on, left + right", "cold start")
    methods = {bridge.current_a(b.name).method for b in bridge.network.branches}
    assert methods == {"series-parallel", "corners"}
    assert bridge.current_a("W9").method == "corners"  # the link itself: its sign is open
    assert bridge.current_a("W9").lower < 0.0 < bridge.current_a("W9").upper


def test_what_a_return_wire_carries_is_shared_by_every_way_back() -> None:
    solved = solved_as("many loops in the return").of("key on, left + right", "cold start")
    back = ["W11", "BOOM/bond to BAT.-", "W22"]
    nominal = [abs(solved.current_a(name).nominal) for name in back]
    assert sum(nominal) == pytest.approx(solved.current_a("F1").nominal, rel=1e-9)
    assert min(nominal) > 0.05
