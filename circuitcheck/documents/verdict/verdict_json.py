"""The verdict for other programs: stable keys, stable order, plain SI numbers, never NaN."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Mapping, Sequence

from circuitcheck.checks.finding import Finding
from circuitcheck.documents.cautions import cautions, not_checked
from circuitcheck.documents.verdict.verdict import Verdict
from circuitcheck.model.harness import Harness
from circuitcheck.solve.solution import Range
from circuitcheck.solve.worst_case import PositionSolution

FORMAT = 1
"""Version of this form; a key that is taken away or changes its meaning raises it."""

_RANGE = re.compile(r'\{\s+"min": ([^,]+),\s+"nominal": ([^,]+),\s+"max": (\S+)\s+\}')
"""A range is put on one line; inside a text its quotes would be escaped, so none is touched."""

Json = Mapping[str, object]


def verdict_json(verdict: Verdict) -> str:
    """Return the verdict as JSON text in ASCII.

    Voltages are against battery negative; a wire's current is positive from `from` to `to`.
    Numbers are in the unit of their key or of `unit`; what is unknown or unlimited is null.
    """
    text = json.dumps(verdict_record(verdict), indent=1, ensure_ascii=True, allow_nan=False)
    return _RANGE.sub(r'{"min": \1, "nominal": \2, "max": \3}', text)


def verdict_record(verdict: Verdict) -> Json:
    """Return the verdict as plain dicts and lists."""
    positions = verdict.solution.positions if verdict.solution is not None else ()
    return {
        "format": FORMAT,
        "verdict": verdict.word,
        "file": verdict.harness.file,
        "circuit": verdict.harness.circuit,
        "revision": verdict.harness.revision,
        "system_v": verdict.harness.system_v,
        "stopped": verdict.is_stopped,
        "positions": [_position(verdict.harness, solved) for solved in positions],
        "findings": [
            _finding(finding)
            for entry in verdict.entries
            for finding in (entry.worst, *entry.others)
        ],
        "assumptions": [
            {
                "subject": taken.subject,
                "key": taken.key,
                "assumed": taken.assumed,
                "measure": taken.measure,
                "stated_unknown": taken.stated_unknown,
            }
            for taken in verdict.harness.assumptions
        ],
        "not_checked": list(not_checked(verdict.checks)),
        "cautions": list(cautions(verdict.harness)),
    }


def _finding(finding: Finding) -> Json:
    return {
        "check": finding.check,
        "part": finding.subject,
        "position": finding.position,
        "coil_state": finding.coil_state,
        "result": finding.result,
        "quantity": finding.quantity,
        "value": _number(finding.value),
        "limit": _number(finding.limit),
        "at_most": finding.at_most,
        "unit": finding.unit,
        "margin": _number(finding.margin),
        "gap": _number(finding.gap),
        "conditions": list(finding.conditions),
        "source": list(finding.sources),
        "reason": finding.reason,
        "fix": finding.fix,
        "caution": finding.caution,
    }


def _position(harness: Harness, solved: PositionSolution) -> Json:
    network = solved.network
    names = [branch.name for branch in network.branches]
    terminals = [name for name in network.node_names if "/" not in name]
    wires = [name for name in harness.wires if name in network.branch_of]
    return {
        "name": solved.position.name,
        "coil_state": solved.coil_state,
        "supply_v": _band(solved.supply_v.lower, solved.supply_v.nominal, solved.supply_v.upper),
        "currents_a": {name: _range(solved.current_a(name)) for name in wires},
        "voltages_v": dict(
            zip(terminals, _voltages(harness, solved, terminals), strict=True),
        ),
        "across_v": {name: _range(solved.across_v(name)) for name in names},
        "power_w": {name: _range(solved.power_w(name)) for name in names},
        "temperature_c": {name: _temperature(solved, name) for name in names},
    }


def _voltages(
    harness: Harness, solved: PositionSolution, terminals: Sequence[str]
) -> list[Json | None]:
    minus = f"{harness.battery.name}.-"
    return [_range(value) for value in solved.between_many_v([(name, minus) for name in terminals])]


def _temperature(solved: PositionSolution, branch: str) -> Json:
    band = solved.temperature_c(branch)
    return _band(band.lower, band.nominal, band.upper)


def _range(value: Range) -> Json:
    return _band(value.lower, value.nominal, value.upper)


def _band(lower: float, nominal: float, upper: float) -> Json:
    return {"min": _number(lower), "nominal": _number(nominal), "max": _number(upper)}


def _number(value: float | None) -> float | None:
    """Return a plain number; None for what is unknown, unlimited or not a number."""
    return float(value) if value is not None and math.isfinite(value) else None
