"""Voltage drop of each single wire, contact, joint and fuse.

Finds       one element that loses more voltage than its kind may
Formula     V = I R of the element, as its own quantity in the solved circuit
Source      voltage-drop-training (0.2 V a wire), sae-element-drops (0.1 V a connection, 0.3 V a
            switch contact). No figure is printed for a fuse: its own drop at rated current (data
            sheet) and one connection for each of its two clips.
Worst case  each element over all live positions and both coil states: hot and long, or aged, with
            the most current that can flow
Not covered ground as a whole (see ground path). The figures are those of 12 V practice and are not
            raised for 24 V. A part whose values the file does not know is never failed on a
            stand-in: not judged.
"""

from __future__ import annotations

from dataclasses import replace

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.finding import (
    FAIL,
    NOT_JUDGED,
    Finding,
    Term,
    judged,
    worst_with,
)
from circuitcheck.checks.finite import finite
from circuitcheck.checks.stand_ins import stand_ins
from circuitcheck.checks.workings.current_working import lost_working
from circuitcheck.circuit.netlist import Branch
from circuitcheck.model.fuse import Fuse
from circuitcheck.model.library import FuseRow
from circuitcheck.model.supply_tap import SupplyTap
from circuitcheck.solve.solution import COIL_STATES, Range
from circuitcheck.solve.worst_case import PositionSolution

NAME = "drop of each element"
WHY = "One element that loses this much is undersized, worn or badly joined."
KINDS = {
    "wire": "wire_drop_v",
    "upstream wire": "wire_drop_v",
    "contact": "connection_drop_v",
    "bond": "connection_drop_v",
    "switch contact": "switch_drop_v",
    "relay contact": "switch_drop_v",
    "key contact": "switch_drop_v",
    "fuse": "connection_drop_v",
    "upstream fuse": "connection_drop_v",
}
CLIPS = 2


def judge(case: Case) -> list[Finding]:
    """Return one finding per element, in the position and coil state that loads it most."""
    found: dict[str, list[tuple[Finding, PositionSolution]]] = {}
    for state in COIL_STATES:
        for solved in case.solution.live(state):
            for branch in solved.network.branches:
                if branch.role in KINDS:
                    finding = _finding(case, solved, branch)
                    found.setdefault(branch.name, []).append((finding, solved))
    return [_worked(name, *worst_with(pairs)) for name, pairs in found.items()]


def _worked(name: str, finding: Finding, solved: PositionSolution) -> Finding:
    """Add how the drop is worked out, in the one position that counts."""
    branch = solved.network.branches[solved.network.branch_of[name]]
    result = Term("V_e", finding.value or 0.0, "V", f"voltage drop of {_in_words(branch)}")
    side = _side(finite(solved.across_v(name)))
    return replace(
        finding, working=lost_working(solved, _ends(solved, branch), side, [name], result)
    )


def _finding(case: Case, solved: PositionSolution, branch: Branch) -> Finding:
    limit = case.library.limit(KINDS[branch.role])
    limit_v, sources = limit.value, [limit.source]
    fuse = _fuse_row(case, branch)
    if fuse is not None:
        limit_v = CLIPS * limit.value + fuse.drop_at_rated_v
        sources.append(fuse.source)
    drop = finite(solved.across_v(branch.name))
    value = drop.largest()
    result, reason = judged(value, limit_v), WHY
    stand_in = stand_ins(case, [branch])
    if result == FAIL and stand_in:
        result = NOT_JUDGED
        reason = f"only a stand-in: {'; '.join(stand_in)}. Measure its drop with the load on"
    return Finding(
        check=NAME,
        subject=branch.owner,
        result=result,
        quantity=f"voltage drop of {_in_words(branch)}",
        reason=reason,
        position=solved.position.name,
        coil_state=solved.coil_state,
        value=value,
        limit=limit_v,
        unit="V",
        conditions=(
            *solved.between_conditions(*_ends(solved, branch), _side(drop)),
            f"coils: {solved.coil_state}",
            *stand_in,
        ),
        sources=tuple(sources),
        gap=drop.gap,
    )


def _fuse_row(case: Case, branch: Branch) -> FuseRow | None:
    part = case.harness.parts.get(branch.owner)
    if branch.role == "fuse" and isinstance(part, Fuse):
        return part.row
    if branch.role == "upstream fuse" and isinstance(part, SupplyTap):
        return part.upstream.fuse
    return None


def _side(drop: Range) -> str:
    return "upper" if abs(drop.upper) >= abs(drop.lower) else "lower"


def _in_words(branch: Branch) -> str:
    """Return what a branch is, e.g. `wire W3`, `contact X1/2`, `fuse F1`."""
    return f"{branch.role} {branch.name}"


def _ends(solved: PositionSolution, branch: Branch) -> tuple[str, str]:
    names = solved.network.node_names
    return names[branch.start], names[branch.end]


CHECK = Check(
    name=NAME,
    judges="voltage lost in each wire, contact, joint and fuse, against what its kind may lose",
    why=WHY,
    does_not_cover="inside of switches beyond their contacts",
    sources=("voltage-drop-training", "sae-element-drops", "blade-fuse-data-sheet"),
    judge=judge,
)
