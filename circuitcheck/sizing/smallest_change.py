"""The smallest change that lets a finding pass, found by trying it.

Each change is built into the harness, the harness is solved again and checked again. A change is
taken when the finding passes and no other finding becomes worse by it. Within one kind of change
(a ladder) the mildest step that is enough is found by halving. The worst finding comes first; a
change that it needs is not asked for twice where it lets milder findings pass too.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS, Finding, worst
from circuitcheck.checks.run import open_case, run_checks
from circuitcheck.circuit.positions import switch_positions
from circuitcheck.errors import CircuitcheckError
from circuitcheck.sizing.change import Change, Ladder
from circuitcheck.sizing.kinds import ladders_for
from circuitcheck.sizing.remedy import Key, Remedy, key_of
from circuitcheck.solve.short_circuit import ShortCircuits
from circuitcheck.solve.worst_case import solve_harness

MOST_TRIALS = 60
"""Trials of one report: a bound on the time, not on what could be tried."""
COST_IN_FULL = 5
"""A harness solved in all positions and run through all checks, in trials of one check."""

_RANK = {PASS: 0, NOT_JUDGED: 1, FAIL: 2}


def smallest_changes(
    case: Case,
    findings: Sequence[Finding],
    checks: Sequence[Check],
    *,
    most_trials: int = MOST_TRIALS,
) -> Mapping[Key, Remedy]:
    """Return a remedy for every failing finding that some kind of change bears on."""
    trials = _Trials(case, tuple(checks), _worst_of_each(findings), most_trials)
    failing = [f for f in trials.before.values() if f.result == FAIL]
    remedies: dict[Key, Remedy] = {}
    taken: dict[str, Change] = {}
    for finding in sorted(failing, key=_margin):
        remedy = _by_change_of_another(trials, finding, taken.values()) or _remedy(trials, finding)
        if remedy.tried or not remedy.complete:
            remedies[key_of(finding)] = remedy
        if remedy.change is not None:
            taken[remedy.change.words] = remedy.change
    return remedies


def _by_change_of_another(
    trials: _Trials, finding: Finding, taken: Iterable[Change]
) -> Remedy | None:
    """Return a change that a worse finding needs anyway, where it lets this one pass too."""
    for change in taken:
        after = trials.passes(change, finding)
        if after is not None:
            return Remedy(change, after, (change.words,))
    return None


def _margin(finding: Finding) -> float:
    """Return what to sort by; a fault without numbers, such as a diode turned round, is first."""
    return finding.margin if finding.margin is not None else -math.inf


def _worst_of_each(findings: Iterable[Finding]) -> dict[Key, Finding]:
    groups: dict[Key, list[Finding]] = {}
    for finding in findings:
        groups.setdefault(key_of(finding), []).append(finding)
    return {key: worst(group) for key, group in groups.items()}


@dataclass
class _Trials:
    """Changed harnesses by their words, each solved once and checked as far as it was asked."""

    case: Case
    checks: tuple[Check, ...]
    before: Mapping[Key, Finding]
    left: int
    cases: dict[str, Case | None] = field(default_factory=dict)
    judged: dict[tuple[str, str], dict[Key, Finding]] = field(default_factory=dict)
    helped: dict[tuple[str, Key], bool] = field(default_factory=dict)

    def may_try(self) -> bool:
        """Return whether trials are left."""
        return self.left > 0

    def case_of(self, change: Change) -> Case | None:
        """Return the solved case of a changed harness; None where it cannot be solved."""
        if change.words not in self.cases:
            self.left -= COST_IN_FULL
            try:
                self.cases[change.words] = open_case(change.harness, self.case.library)
            except CircuitcheckError:
                self.cases[change.words] = None
        return self.cases[change.words]

    def helps(self, change: Change, finding: Finding) -> bool:
        """Return whether a finding passes after a change, looked at in its own position alone."""
        asked = (change.words, key_of(finding))
        if asked not in self.helped:
            self.helped[asked] = self._helps(change, finding)
        return self.helped[asked]

    def _helps(self, change: Change, finding: Finding) -> bool:
        self.left -= 1
        harness, library = change.harness, self.case.library
        try:
            own = [p for p in switch_positions(harness) if p.name == finding.position]
            solution = solve_harness(harness, library, own or None)
        except CircuitcheckError:
            return False
        case = Case(harness, library, solution, ShortCircuits(harness, library))
        after = _worst_of_each(run_checks(case, (self._check(finding),)))
        new = self._again(finding, after)
        return new is not None and new.result == PASS

    def passes(self, change: Change, finding: Finding) -> Finding | None:
        """Return the finding after the change where it then passes in all positions, else None."""
        after = self._after(change, self._check(finding))
        new = self._again(finding, after) if after is not None else None
        return new if new is not None and new.result == PASS else None

    def harms(self, change: Change) -> bool:
        """Return whether any finding is worse after the change than before it."""
        for check in self.checks:
            after = self._after(change, check)
            if after is None:
                return True
            if any(_RANK[f.result] > self._rank_before(key, after) for key, f in after.items()):
                return True
        return False

    def _check(self, finding: Finding) -> Check:
        return next(check for check in self.checks if check.name == finding.check)

    def _after(self, change: Change, check: Check) -> Mapping[Key, Finding] | None:
        case = self.case_of(change)
        if case is None:
            return None
        asked = (change.words, check.name)
        if asked not in self.judged:
            self.judged[asked] = _worst_of_each(run_checks(case, (check,)))
        return self.judged[asked]

    def _again(self, finding: Finding, after: Mapping[Key, Finding]) -> Finding | None:
        """Return what has become of a finding; None where nothing is judged in its place."""
        if key_of(finding) in after:
            return after[key_of(finding)]
        # A quantity that names the fuse or size it is about has another name after a change.
        renamed = [
            f for key, f in after.items() if f.subject == finding.subject and key not in self.before
        ]
        return worst(renamed) if renamed else None

    def _rank_before(self, key: Key, after: Mapping[Key, Finding]) -> int:
        """Return how bad a finding was; one with a new name counts as those whose name is gone."""
        if key in self.before:
            return _RANK[self.before[key].result]
        gone = [f for k, f in self.before.items() if k[:2] == key[:2] and k not in after]
        return max((_RANK[f.result] for f in gone), default=_RANK[PASS])


def _remedy(trials: _Trials, finding: Finding) -> Remedy:
    tried: list[str] = []
    for ladders in ladders_for(trials.case, finding):
        for ladder in ladders:
            if not trials.may_try():
                return Remedy(None, None, _once(tried), complete=False)
            helps = trials.helps(ladder.steps[-1], finding)
            if ladder.gate:
                if helps:
                    continue
                tried.append(ladder.tried)
                break
            tried.append(ladder.tried)
            for step in _enough(trials, ladder, finding) if helps else ():
                after = trials.passes(step, finding)
                if after is not None and not trials.harms(step):
                    return Remedy(step, after, _once(tried))
    return Remedy(None, None, _once(tried))


def _once(tried: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(tried))


def _enough(trials: _Trials, ladder: Ladder, finding: Finding) -> Iterator[Change]:
    """Yield the first step of a ladder that is enough, then the next, should that not hold.

    The last step is known to help in the finding's own position.
    """
    low, high = 0, len(ladder.steps) - 1
    while low < high:
        middle = (low + high) // 2
        if trials.may_try() and trials.helps(ladder.steps[middle], finding):
            high = middle
        else:
            low = middle + 1
    yield from ladder.steps[high : high + 2]
