"""What a check is: one rule, its sources, what it does not cover, and the function that judges."""

from __future__ import annotations

from collections.abc import Callable

from circuitcheck.checks.finding import Finding
from circuitcheck.model.harness import Harness
from circuitcheck.model.library import Library
from circuitcheck.record import record
from circuitcheck.solve.shorts.short_circuit import ShortCircuits
from circuitcheck.solve.worst_case import Solution


@record
class Case:
    """Everything that a check may look at; nothing in it is changed."""

    harness: Harness
    library: Library
    solution: Solution
    shorts: ShortCircuits


@record
class Check:
    """One rule. `judge` returns a finding for every part or wire that it applies to.

    `judges` says in one line what is held against what; `does_not_cover` what is left out.
    """

    name: str
    judges: str
    why: str
    does_not_cover: str
    sources: tuple[str, ...]
    judge: Callable[[Case], list[Finding]]
