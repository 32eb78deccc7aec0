"""The verdict as data: findings in the order a reader needs them, numbered, nothing left out."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import field
from functools import cached_property

from circuitcheck.checks.check import Check
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS, Finding, worst
from circuitcheck.documents.verdict.ranks import rank_of
from circuitcheck.model.harness import Harness
from circuitcheck.model.library import Library
from circuitcheck.record import record
from circuitcheck.sizing.remedy import Key, Remedy, key_of
from circuitcheck.solve.worst_case import Solution

ORDER = {FAIL: 0, NOT_JUDGED: 1, PASS: 2}
NO_FAILURE = "no failure in the checks run"


@record
class Entry:
    """What one check says of one part or wire: its worst finding, and the other positions'."""

    number: int
    worst: Finding
    others: tuple[Finding, ...]

    def also(self, result: str) -> int:
        """Return in how many other positions or coil states the result is the same."""
        return sum(finding.result == result for finding in self.others)


@record
class Verdict:
    """Everything a report is made of.

    `solution` is None where a movement that can hurt stopped the work before anything was
    solved. `library` resolves the keys of sources. `remedies` is what trying changes has shown;
    `searched` is False where none were tried, for want of time.
    """

    harness: Harness
    library: Library
    checks: tuple[Check, ...]
    findings: tuple[Finding, ...]
    solution: Solution | None
    remedies: Mapping[Key, Remedy] = field(default_factory=dict)
    searched: bool = True

    @property
    def is_stopped(self) -> bool:
        """Whether the circuit was not judged at all, and the findings only say why."""
        return self.solution is None

    @property
    def word(self) -> str:
        """`fail`, `not judged` or `pass`: the worst of all findings."""
        results = {finding.result for finding in self.findings}
        if FAIL in results:
            return FAIL
        return NOT_JUDGED if NOT_JUDGED in results or not results else PASS

    @cached_property
    def entries(self) -> tuple[Entry, ...]:
        """One entry per check, part and quantity: failures first, among them by what they can do.

        Inside a rank the worst margin comes first, and before it what has no number.
        """
        groups: dict[Key, list[Finding]] = {}
        for finding in self.findings:
            groups.setdefault(key_of(finding), []).append(finding)
        ranked = sorted((_with_others(group) for group in groups.values()), key=self._place)
        return tuple(
            Entry(number, first, others) for number, (first, others) in enumerate(ranked, start=1)
        )

    def of_result(self, result: str) -> tuple[Entry, ...]:
        """Return the entries whose worst finding has this result."""
        return tuple(entry for entry in self.entries if entry.worst.result == result)

    @cached_property
    def number_of(self) -> Mapping[Key, int]:
        """Return the number of each entry, by what it is about."""
        return {key_of(entry.worst): entry.number for entry in self.entries}

    def _place(self, ranked: tuple[Finding, tuple[Finding, ...]]) -> tuple[int, int, float]:
        """Sort by result, rank and margin; what has no number, such as an open end, before all."""
        finding = ranked[0]
        rank = 0 if finding.result == PASS else rank_of(finding, self.harness)
        margin = finding.margin if finding.margin is not None else float("-inf")
        return ORDER[finding.result], rank, margin if finding.result == FAIL else 0.0

    @cached_property
    def followers(self) -> Mapping[tuple[int, ...], tuple[Entry, ...]]:
        """Failing entries that only follow from others, by the numbers of those others.

        They pass as soon as nothing but those is put right: a diode turned round, for example.
        """
        number_of = self.number_of
        found: dict[tuple[int, ...], list[Entry]] = {}
        for entry in self.of_result(FAIL):
            remedy = self.remedies.get(key_of(entry.worst))
            if remedy is not None and remedy.follows:
                numbers = tuple(sorted(number_of[key] for key in remedy.follows))
                found.setdefault(numbers, []).append(entry)
        return {numbers: tuple(entries) for numbers, entries in found.items()}

    def failures(self) -> tuple[tuple[Entry, ...], ...]:
        """Return the failing entries; those of one check that one change cures stand together.

        Those that only follow from another are left out.
        """
        following = {entry.number for entries in self.followers.values() for entry in entries}
        groups: dict[object, list[Entry]] = {}
        for entry in self.of_result(FAIL):
            if entry.number in following:
                continue
            remedy = self.remedies.get(key_of(entry.worst))
            if remedy is None:
                groups[entry.number] = [entry]
                continue
            cure = remedy.change.words if remedy.change is not None else remedy.tried
            groups.setdefault((entry.worst.check, cure), []).append(entry)
        return tuple(tuple(group) for group in groups.values())

    def source_texts(self, keys: Iterable[str]) -> tuple[str, ...]:
        """Return sources as short title and key, such as `Blade fuses [iso-8820-3]`."""
        known = self.library.sources
        return tuple(
            f"{_short(known[key].title)} [{key}]" if key in known else f"[{key}]" for key in keys
        )


def _short(title: str) -> str:
    return re.split(r"[:;]", title, maxsplit=1)[0]


def _with_others(group: Sequence[Finding]) -> tuple[Finding, tuple[Finding, ...]]:
    first = worst(list(group))
    return first, tuple(finding for finding in group if finding is not first)
