"""Checks, documents and diagnoses an added solenoid circuit on a 12 V or 24 V machine.

The public calls are listed in `__all__`; each is imported when it is first asked for.
"""

from __future__ import annotations

from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from circuitcheck.checks.finding import Finding
    from circuitcheck.checks.run import open_case, run_checks
    from circuitcheck.documents.verdict.verdict import Verdict
    from circuitcheck.documents.verdict.verdict_json import verdict_json
    from circuitcheck.documents.verdict.verdict_text import verdict_text
    from circuitcheck.drawing import draw
    from circuitcheck.errors import CircuitError, InputError, LibraryError, SolveError
    from circuitcheck.model.harness import Harness
    from circuitcheck.model.library import Library
    from circuitcheck.read.harness_file import read_harness
    from circuitcheck.read.library.library_tables import read_library
    from circuitcheck.read.library.library_user_rows import read_user_rows
    from circuitcheck.read.schema import harness_schema
    from circuitcheck.solve.worst_case import Solution, solve_harness

__all__ = [
    "CircuitError",
    "Finding",
    "Harness",
    "InputError",
    "Library",
    "LibraryError",
    "Solution",
    "SolveError",
    "Verdict",
    "check_file",
    "check_harness",
    "draw",
    "harness_schema",
    "open_case",
    "read_harness",
    "read_library",
    "read_user_rows",
    "run_checks",
    "solve_harness",
    "verdict_json",
    "verdict_text",
]

_MODULE_OF = {
    "CircuitError": "errors",
    "Finding": "checks.finding",
    "Harness": "model.harness",
    "InputError": "errors",
    "Library": "model.library",
    "LibraryError": "errors",
    "Solution": "solve.worst_case",
    "SolveError": "errors",
    "Verdict": "documents.verdict.verdict",
    "draw": "drawing",
    "harness_schema": "read.schema",
    "open_case": "checks.run",
    "read_harness": "read.harness_file",
    "read_library": "read.library.library_tables",
    "read_user_rows": "read.library.library_user_rows",
    "run_checks": "checks.run",
    "solve_harness": "solve.worst_case",
    "verdict_json": "documents.verdict.verdict_json",
    "verdict_text": "documents.verdict.verdict_text",
}


def __getattr__(name: str) -> object:
    if name not in _MODULE_OF:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"{__name__}.{_MODULE_OF[name]}"), name)


def check_file(
    path: str | Path, library: Library | None = None, *, changes: bool = True, gaps: bool = True
) -> Verdict:
    """Return the verdict on a harness file, by the library that comes with circuitcheck or another.

    `changes` and `gaps` as in `check_harness`. Raises InputError with every problem found in the
    file.
    """
    from circuitcheck.read.harness_file import read_harness
    from circuitcheck.read.library.library_tables import read_library

    whole = library or read_library()
    return check_harness(read_harness(path, whole), whole, changes=changes, gaps=gaps)


def check_harness(
    harness: Harness, library: Library, *, changes: bool = True, gaps: bool = True
) -> Verdict:
    """Return the verdict on a harness: solved, checked, with the changes found that would pass.

    Without `changes` none are looked for, which takes most of the time where much fails; without
    `gaps` it is not worked out how far bounds may stand off. The rows of a file that the harness
    names join the library. A coil whose movement can hurt stops the work: the verdict then holds
    that finding alone.
    """
    from circuitcheck.checks.finding import FAIL
    from circuitcheck.checks.register import CHECKS
    from circuitcheck.checks.run import open_case, run_checks
    from circuitcheck.documents.cautions import stops
    from circuitcheck.documents.verdict.remedy_text import with_fixes
    from circuitcheck.documents.verdict.verdict import Verdict

    if harness.user_rows is not None:
        library = library.with_rows(harness.user_rows)
    stopped = stops(harness)
    if stopped:
        return Verdict(harness, library, CHECKS, stopped, None)
    case = open_case(harness, library, gaps=gaps)
    findings = run_checks(case)
    if not changes or not any(finding.result == FAIL for finding in findings):
        return Verdict(harness, library, CHECKS, findings, case.solution, searched=changes)
    from circuitcheck.sizing.smallest_change import smallest_changes

    remedies = smallest_changes(case, findings, CHECKS)
    fixed = with_fixes(findings, remedies)
    return Verdict(harness, library, CHECKS, fixed, case.solution, remedies)
