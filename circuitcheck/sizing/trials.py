"""Changed harnesses, each solved once and checked as far as it was asked."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS, Finding, worst
from circuitcheck.checks.run import open_case, run_checks
from circuitcheck.circuit.positions import switch_positions
from circuitcheck.errors import CircuitcheckError
from circuitcheck.sizing.change import Change
from circuitcheck.sizing.remedy import Key, key_of
from circuitcheck.solve.shorts.short_circuit import ShortCircuits
from circuitcheck.solve.solution import COIL_STATES
from circuitcheck.solve.worst_case import solve_harness

COST_IN_FULL = 5
"""A harness solved in all positions and run through all checks, in trials of one check."""

READ_OFF = frozenset({
    "wiring complete and protected", "fuse near source", "fuse protects wire",
    "diode and resistor rating", "pull winding left on", "movement hazard", "tap may be used",
    "isolator", "duty", "LED current", "battery drain", "wire fit", "terminal stack",
    "plating and wet zone", "single short works a coil",
})  # fmt: skip
"""Checks that need little more than the harness itself: looked at first, for one that fails."""
SOLVE_THEIR_OWN = frozenset({
    "dead short cleared", "unprotected length", "selectivity of fuses in series",
    "fuse breaking capacity", "single fault works a coil", "relay state", "indicator",
})  # fmt: skip
"""Checks that solve networks of their own, besides the switch positions: looked at last."""

_RANK = {PASS: 0, NOT_JUDGED: 1, FAIL: 2}


def worst_of_each(findings: Iterable[Finding]) -> dict[Key, Finding]:
    """Return the worst finding of each key, in the order in which the keys come."""
    groups: dict[Key, list[Finding]] = {}
    for finding in findings:
        groups.setdefault(key_of(finding), []).append(finding)
    return {key: worst(group) for key, group in groups.items()}


@dataclass
class Budget:
    """Trials that are left of one report."""

    left: int


@dataclass
class Trials:
    """Changes tried on one harness, by their words. `before` is what failed before any change."""

    case: Case
    checks: tuple[Check, ...]
    before: Mapping[Key, Finding]
    budget: Budget
    cases: dict[str, Case | None] = field(default_factory=dict)
    judged: dict[tuple[str, str], dict[Key, Finding]] = field(default_factory=dict)
    helped: dict[tuple[str, Key], bool] = field(default_factory=dict)

    def may_try(self) -> bool:
        """Return whether trials are left."""
        return self.budget.left > 0

    def case_of(self, change: Change) -> Case | None:
        """Return the solved case of a changed harness; None where it cannot be solved."""
        if change.words not in self.cases:
            self.budget.left -= COST_IN_FULL
            try:
                self.cases[change.words] = open_case(change.harness, self.case.library, gaps=False)
            except CircuitcheckError:
                self.cases[change.words] = None
        return self.cases[change.words]

    def helps(self, change: Change, finding: Finding) -> bool:
        """Return whether a finding passes after a change, looked at in its own position alone.

        Nor may another finding of its check fail there by the change.
        """
        asked = (change.words, key_of(finding))
        if asked not in self.helped:
            self.helped[asked] = self._helps(change, finding)
        return self.helped[asked]

    def _helps(self, change: Change, finding: Finding) -> bool:
        self.budget.left -= 1
        harness, library = change.harness, self.case.library
        try:
            own = [p for p in switch_positions(harness) if p.name == finding.position]
            states = (finding.coil_state,) if finding.coil_state else COIL_STATES
            solution = solve_harness(harness, library, own or None, states, gaps=False)
        except CircuitcheckError:
            return False
        shorts = ShortCircuits(harness, library, solution.networks)
        case = Case(harness, library, solution, shorts)
        after = worst_of_each(run_checks(case, (self._check(finding),)))
        new = self.again(finding, after)
        return new is not None and new.result == PASS and not self._fails_now(after)

    def _fails_now(self, after: Mapping[Key, Finding]) -> bool:
        """Return whether a finding fails after a change that did not before it."""
        return any(
            f.result == FAIL and self._rank_before(key, after) < _RANK[FAIL]
            for key, f in after.items()
        )

    def passes(self, change: Change, finding: Finding) -> Finding | None:
        """Return the finding after the change where it then passes in all positions, else None."""
        after = self._after(change, self._check(finding))
        new = self.again(finding, after) if after is not None else None
        return new if new is not None and new.result == PASS else None

    def harms(self, change: Change) -> bool:
        """Return whether any finding is worse after the change than before it."""
        for check in sorted(self.checks, key=lambda check: self._effort(change, check)):
            after = self._after(change, check)
            if after is None:
                return True
            if any(_RANK[f.result] > self._rank_before(key, after) for key, f in after.items()):
                return True
        return False

    def _effort(self, change: Change, check: Check) -> int:
        """Return how much a check has left to do; which comes first makes no other difference."""
        if (change.words, check.name) in self.judged:
            return 0
        return 1 if check.name in READ_OFF else 3 if check.name in SOLVE_THEIR_OWN else 2

    def everything_after(self, change: Change) -> dict[Key, Finding]:
        """Return the findings of all checks after a change that can be solved."""
        found: dict[Key, Finding] = {}
        for check in self.checks:
            found |= self._after(change, check) or {}
        return found

    def again(self, finding: Finding, after: Mapping[Key, Finding]) -> Finding | None:
        """Return what has become of a finding; None where nothing is judged in its place."""
        if key_of(finding) in after:
            return after[key_of(finding)]
        # A quantity that names the fuse or size it is about has another name after a change.
        renamed = [
            f
            for key, f in after.items()
            if (f.check, f.subject) == (finding.check, finding.subject) and key not in self.before
        ]
        if renamed:
            return worst(renamed)
        # A check that reports faults alone has one pass, of nothing in particular.
        return next((f for f in after.values() if _is_pass_of_all(f, finding.check)), None)

    def _check(self, finding: Finding) -> Check:
        return next(check for check in self.checks if check.name == finding.check)

    def _after(self, change: Change, check: Check) -> Mapping[Key, Finding] | None:
        case = self.case_of(change)
        if case is None:
            return None
        asked = (change.words, check.name)
        if asked not in self.judged:
            self.judged[asked] = worst_of_each(run_checks(case, (check,)))
        return self.judged[asked]

    def _rank_before(self, key: Key, after: Mapping[Key, Finding]) -> int:
        """Return how bad a finding was; one with a new name counts as those whose name is gone."""
        if key in self.before:
            return _RANK[self.before[key].result]
        gone = [f for k, f in self.before.items() if k[:2] == key[:2] and k not in after]
        return max((_RANK[f.result] for f in gone), default=_RANK[PASS])


def _is_pass_of_all(finding: Finding, check: str) -> bool:
    return finding.check == check and finding.result == PASS and not finding.subject
