"""Which wires and connectors lie on the way of the current that a finding is about."""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.checks.check import Case
from circuitcheck.checks.energised_coil import EnergisedCoil, energised_coils
from circuitcheck.checks.finding import Finding
from circuitcheck.model.wire import Wire
from circuitcheck.solve.solution import COIL_STATES


def ways(case: Case, finding: Finding) -> Iterator[EnergisedCoil]:
    """Yield the coils in positions that a finding is about: its own coil, else every coil."""
    names = {coil.name for coil in case.harness.coils}
    for state in COIL_STATES:
        if finding.coil_state not in ("", state):
            continue
        for at in energised_coils(case, state):
            if finding.subject in names and at.coil.name != finding.subject:
                continue
            if finding.position in ("", at.solved.position.name):
                yield at


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
