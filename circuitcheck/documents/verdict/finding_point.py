"""The corner of the conditions at which a finding's current or voltage is worst."""

from __future__ import annotations

from circuitcheck.checks.finding import Finding
from circuitcheck.documents.verdict.verdict import Verdict
from circuitcheck.solve.bounds.bounded import Bounded
from circuitcheck.solve.circuit_point import CircuitPoint, point_of_bound
from circuitcheck.solve.position_solution import PositionSolution


def finding_point(verdict: Verdict, finding: Finding) -> CircuitPoint | None:
    """Return the corner of a finding; None where it rests on no current or voltage of a position.

    The quantity is the one that its working names for the exact solver, or for a finding about a
    wire or part without one the current through it.
    """
    solution = verdict.solution
    if solution is None or not finding.position:
        return None
    solved = next(
        (
            one
            for one in solution.positions
            if one.position.name == finding.position and finding.coil_state in ("", one.coil_state)
        ),
        None,
    )
    bounded = _bounded(solved, finding) if solved is not None else None
    if solved is None or bounded is None:
        return None
    is_positive = bounded.range.nominal >= 0.0
    return point_of_bound(solved, bounded, "upper" if is_positive == finding.at_most else "lower")


def _bounded(solved: PositionSolution, finding: Finding) -> Bounded | None:
    probe = finding.working.probe if finding.working is not None else None
    node_of, ranges = solved.network.node_of, solved.ranges
    if probe is not None and probe.quantity == "voltage":
        if probe.name in node_of and probe.to in node_of:
            return ranges.between([(node_of[probe.name], node_of[probe.to])])[0]
        return None
    name = probe.name if probe is not None else finding.subject
    number = solved.network.branch_of.get(name)
    return None if number is None else ranges.currents[number]
