"""The finding: one check on one part or wire, in one switch position."""

from __future__ import annotations

from dataclasses import replace
from typing import TypeVar

from circuitcheck.record import record

T = TypeVar("T")

PASS = "pass"
FAIL = "fail"
NOT_JUDGED = "not judged"


@record
class Term:
    """One number of a working: symbol in the formula, value in `unit`, what it is."""

    symbol: str
    value: float
    unit: str
    meaning: str


@record
class Probe:
    """What to ask the exact solver for, beside a finding's own number.

    `quantity` is `current` (of the branch `name`) or `voltage` (from node `name` to node `to`).
    """

    quantity: str
    name: str
    to: str = ""


@record
class Working:
    """The closed form of a finding with its numbers, so that a reader can redo it by hand.

    `formula` is written with the symbols of `terms`; `result` is what it gives: the finding's
    value or its limit. `steps` are worked before it and give one of its terms, or the other of
    the two numbers.
    """

    formula: str
    terms: tuple[Term, ...]
    result: Term
    probe: Probe | None = None
    steps: tuple[Working, ...] = ()


@record
class Finding:
    """One judgement, with everything that a reader needs to weigh it.

    `value` and `limit` are in `unit`; `at_most` tells the sense of the limit. `conditions` are
    the worst-case conditions in words. `sources` are keys of library/sources.toml. `reason` says
    why it matters, or for a finding that is not judged, what is missing and what to look up.
    `gap` is the part of `value` that the bounds leave open. `place` is a key of
    `Harness.line_of`, for findings about the file itself. `caution` is what a pass still asks of
    the person.
    """

    check: str
    subject: str
    result: str
    quantity: str
    reason: str
    position: str = ""
    coil_state: str = ""
    value: float | None = None
    limit: float | None = None
    unit: str = ""
    at_most: bool = True
    conditions: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()
    fix: str = ""
    gap: float = 0.0
    place: str = ""
    caution: str = ""
    working: Working | None = None

    @property
    def margin(self) -> float | None:
        """Share of the limit left over, negative where it is passed; None without numbers."""
        if self.value is None or self.limit is None or self.limit == 0:
            return None
        left = self.limit - self.value if self.at_most else self.value - self.limit
        return left / abs(self.limit)


def judged(value: float, limit: float, *, at_most: bool = True) -> str:
    """Return PASS or FAIL for a value against its limit; NaN never passes."""
    passes = value <= limit if at_most else value >= limit
    return PASS if passes else FAIL


def worst(findings: list[Finding]) -> Finding:
    """Return the finding that matters most: a failure before not judged, the least margin first."""
    return min(findings, key=_rank)


def worst_with(pairs: list[tuple[Finding, T]]) -> tuple[Finding, T]:
    """Return the finding that matters most, with what was kept beside it."""
    return min(pairs, key=lambda pair: _rank(pair[0]))


def stepped(finding: Finding, step: Working) -> Finding:
    """Return a finding with a step before its working; the step alone where it has none."""
    working = finding.working
    after = step if working is None else replace(working, steps=(*working.steps, step))
    return replace(finding, working=after)


def _rank(finding: Finding) -> tuple[int, float]:
    order = {FAIL: 0, NOT_JUDGED: 1, PASS: 2}
    return order[finding.result], finding.margin if finding.margin is not None else 0.0
