"""The smallest change that lets a finding pass, found by trying it.

Each change is built into the harness, the harness is solved again and checked again. A change is
taken when the finding passes and no other finding becomes worse by it. Within one kind of change
(a ladder) the mildest step that is enough is found by halving. Faults without numbers, such as a
diode turned round, are put right first, for much may fail by them alone. Of the rest the worst
comes first; a change that it needs is not asked for twice where it lets milder ones pass too.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.finding import FAIL, PASS, Finding
from circuitcheck.sizing.change import Change, Growing, Ladder
from circuitcheck.sizing.kinds import ladders_for
from circuitcheck.sizing.remedy import Key, Remedy
from circuitcheck.sizing.trials import Budget, Trials, worst_of_each

MOST_TRIALS = 60
"""Trials of one report: a bound on the time, not on what could be tried."""


def smallest_changes(
    case: Case,
    findings: Sequence[Finding],
    checks: Sequence[Check],
    *,
    most_trials: int = MOST_TRIALS,
) -> Mapping[Key, Remedy]:
    """Return a remedy for every failing finding that some kind of change bears on."""
    before = worst_of_each(findings)
    trials = Trials(case, tuple(checks), before, Budget(most_trials))
    remedies: dict[Key, Remedy] = {}
    repaired, words = _put_faults_right(trials, remedies)
    follow = tuple(key for key, remedy in remedies.items() if remedy.is_at_fault)
    taken: dict[str, Change] = {}
    for key, first in sorted(before.items(), key=lambda item: _margin(item[1])):
        if first.result != FAIL or key in remedies:
            continue
        finding = repaired.again(first, repaired.before) if follow else first
        if _passes_or_is_gone(finding, first, repaired.case):
            change = Change(words, repaired.case.harness)
            remedies[key] = Remedy(change, finding, (words,), follows=follow)
        elif finding is not None and finding.result == FAIL:
            remedy = _remedy_of(repaired, finding, taken)
            if remedy.tried or not remedy.complete:
                remedies[key] = _after_repair(remedy, words)
    return remedies


def _put_faults_right(trials: Trials, remedies: dict[Key, Remedy]) -> tuple[Trials, str]:
    """Find what puts each fault without numbers right; go on from there where more then passes.

    Returns the trials on the harness without the faults that others follow from, and in words
    what was put right.
    """
    words: list[str] = []
    for key, finding in list(trials.before.items()):
        if finding.result != FAIL or finding.value is not None:
            continue
        remedy = _remedy(trials, finding)
        change = remedy.change
        repaired = _repaired(trials, key, change) if change is not None else None
        if change is not None and repaired is not None:
            trials, remedy = repaired, replace(remedy, is_at_fault=True)
            words.append(change.words)
        if remedy.tried or not remedy.complete:
            remedies[key] = remedy
    return trials, "; ".join(words)


def _repaired(trials: Trials, key: Key, change: Change) -> Trials | None:
    """Return trials that go on from a change; None where nothing passes by it but its own."""
    case, after = trials.case_of(change), trials.everything_after(change)
    others = (k for k, f in trials.before.items() if f.result == FAIL and k != key)
    if case is None or not any(k in after and after[k].result == PASS for k in others):
        return None
    return Trials(case, trials.checks, after, trials.budget)


def _passes_or_is_gone(now: Finding | None, first: Finding, case: Case) -> bool:
    """Return whether nothing fails any more, be it that the very part or wire is gone."""
    if now is not None:
        return now.result == PASS
    subject = first.subject.partition("/")[0]
    return bool(subject) and subject not in case.harness.parts and subject not in case.harness.wires


def _after_repair(remedy: Remedy, words: str) -> Remedy:
    """Return a remedy that was found with faults put right, and says so."""
    if not words or remedy.change is None:
        return remedy
    change = replace(remedy.change, words=f"{words}; then {remedy.change.words}")
    return replace(remedy, change=change)


def _margin(finding: Finding) -> float:
    """Return what to sort by; a fault without numbers, such as a coil left bare, is first."""
    return finding.margin if finding.margin is not None else -math.inf


def _remedy_of(trials: Trials, finding: Finding, taken: dict[str, Change]) -> Remedy:
    """Return a change that a worse finding needs anyway where it is enough, else its own."""
    remedy = _by_change_of_another(trials, finding, taken.values()) or _remedy(trials, finding)
    if remedy.change is not None:
        taken[remedy.change.words] = remedy.change
    return remedy


def _by_change_of_another(
    trials: Trials, finding: Finding, taken: Iterable[Change]
) -> Remedy | None:
    """Return a change that a worse finding needs anyway, where it lets this one pass too."""
    for change in taken:
        after = trials.passes(change, finding)
        if after is not None:
            return Remedy(change, after, (change.words,))
    return None


def _remedy(trials: Trials, finding: Finding) -> Remedy:
    tried: list[str] = []
    for growing in ladders_for(trials.case, finding):
        if not trials.may_try():
            return Remedy(None, None, _once(tried), complete=False)
        tried.append(growing.ladders[-1].tried)
        for ladder in _wide_enough(trials, growing, finding):
            for step in _enough(trials, ladder, finding):
                after = trials.passes(step, finding)
                if after is not None and not trials.harms(step):
                    return Remedy(step, after, _once([*tried[:-1], ladder.tried]))
    return Remedy(None, None, _once(tried))


def _wide_enough(trials: Trials, growing: Growing, finding: Finding) -> Iterator[Ladder]:
    """Yield the ladder that changes fewest parts and is enough at its last step, then the last.

    Found by halving; nothing where not even the last ladder is enough.
    """
    ladders = growing.ladders
    if not trials.helps(ladders[-1].steps[-1], finding):
        return
    low, high = 0, len(ladders) - 1
    while low < high:
        middle = (low + high) // 2
        if trials.may_try() and trials.helps(ladders[middle].steps[-1], finding):
            high = middle
        else:
            low = middle + 1
    yield ladders[high]
    if ladders[high] is not ladders[-1]:
        yield ladders[-1]


def _once(tried: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(tried))


def _enough(trials: Trials, ladder: Ladder, finding: Finding) -> Iterator[Change]:
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
