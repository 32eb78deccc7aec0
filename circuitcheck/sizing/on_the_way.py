"""Which wires and connectors lie on the way of the current that a finding is about."""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.checks.check import Case
from circuitcheck.checks.coils.energised_winding import EnergisedWinding, windings_on
from circuitcheck.checks.finding import Finding
from circuitcheck.circuit.netlist import WINDINGS
from circuitcheck.model.wire import Wire
from circuitcheck.solve.solution import COIL_STATES


def ways(case: Case, finding: Finding) -> Iterator[EnergisedWinding]:
    """Yield the windings in positions that a finding is about: its part's own, if it has any."""
    first = case.solution.positions[0].network.branches
    has_own = any(b.owner == finding.subject and b.role in WINDINGS for b in first)
    for state in COIL_STATES:
        for at in _in_state(case, finding, state):
            if not has_own or at.owner == finding.subject:
                yield at


def _in_state(case: Case, finding: Finding, state: str) -> Iterator[EnergisedWinding]:
    if finding.coil_state not in ("", state):
        return
    for solved in case.solution.live(state):
        if finding.position in ("", solved.position.name):
            yield from windings_on(case, solved)


def wires_by_drop(case: Case, finding: Finding) -> tuple[Wire, ...]:
    """Return the wires of the add-on that carry the finding's current, the largest drop first."""
    drop_v: dict[str, float] = {}
    for at in ways(case, finding):
        for branch in at.way:
            if branch.role == "wire":
                volts = abs(at.solved.across_v(branch.name).nominal)
                drop_v[branch.owner] = max(volts, drop_v.get(branch.owner, 0.0))
    wires = [wire for wire in case.harness.wires.values() if wire.name in drop_v]
    return tuple(sorted(wires, key=lambda wire: drop_v[wire.name], reverse=True))
