"""Run the checks on a solved harness."""

from __future__ import annotations

from collections.abc import Sequence

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.finding import NOT_JUDGED, Finding
from circuitcheck.checks.register import CHECKS
from circuitcheck.errors import CircuitcheckError
from circuitcheck.model.harness import Harness
from circuitcheck.model.library import Library
from circuitcheck.solve.shorts.short_circuit import ShortCircuits
from circuitcheck.solve.worst_case import solve_harness


def run_checks(case: Case, checks: Sequence[Check] = CHECKS) -> tuple[Finding, ...]:
    """Return the findings of all checks, passes included.

    A check that cannot be carried out gives a finding `not judged` with the reason; an error in
    the program itself is not caught.
    """
    findings: list[Finding] = []
    for check in checks:
        try:
            findings += check.judge(case)
        except CircuitcheckError as error:
            findings.append(
                Finding(
                    check=check.name,
                    subject="",
                    result=NOT_JUDGED,
                    quantity=check.judges,
                    reason=f"not judged: {error}",
                    sources=check.sources,
                )
            )
    return tuple(findings)


def open_case(harness: Harness, library: Library, *, gaps: bool = True) -> Case:
    """Return the solved case of a harness, ready for the checks; its own rows join the library.

    Without `gaps` findings do not tell how far their bounds may stand off: enough to judge.
    """
    if harness.user_rows is not None:
        library = library.with_rows(harness.user_rows)
    solution = solve_harness(harness, library, gaps=gaps)
    return Case(harness, library, solution, ShortCircuits(harness, library, solution.networks))
