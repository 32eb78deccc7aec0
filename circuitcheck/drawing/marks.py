"""What fails, as far as a drawing needs to know it: which part or wire, and in which words."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Protocol

from circuitcheck.checks.finding import FAIL, Finding, worst


class Mark(Protocol):
    """One thing to mark: the name of a part or wire (or a terminal of it), and what to say."""

    @property
    def subject(self) -> str:
        """Name of the part or wire, or a terminal as `PART.terminal`."""
        ...

    @property
    def text(self) -> str:
        """What is wrong, in one line."""
        ...


@dataclass(frozen=True)
class Failure:
    """A mark in plain words."""

    subject: str
    text: str


@dataclass(frozen=True)
class NumberedMark:
    """All that fails on one part or wire, under the number of its sign."""

    number: int
    subject: str
    texts: tuple[str, ...]


def failures(findings: Iterable[Finding]) -> list[Failure]:
    """Return the failing findings as marks: of each check and subject the worst one."""
    alike: dict[tuple[str, str], list[Finding]] = {}
    for finding in findings:
        if finding.result == FAIL:
            alike.setdefault((finding.subject, finding.check), []).append(finding)
    return [Failure(subject, _text(worst(found))) for (subject, _), found in alike.items()]


def _text(finding: Finding) -> str:
    said = finding.quantity
    if finding.value is not None and finding.limit is not None:
        sense = "at most" if finding.at_most else "at least"
        unit = f" {finding.unit}" if finding.unit not in ("", "1") else ""
        said += f" {finding.value:.3g}{unit}, {sense} {finding.limit:.3g}{unit}"
    elif finding.value is None:
        said = finding.reason or said
    return said + (f" ({finding.position})" if finding.position else "")


def numbered(marks: Iterable[Mark], names: Iterable[str]) -> tuple[NumberedMark, ...]:
    """Return the marks by part or wire, numbered in the order they come.

    A terminal's name counts for its part.
    """
    known = set(names)
    texts: dict[str, list[str]] = {}
    for mark in marks:
        subject = mark.subject
        if subject not in known and subject.partition(".")[0] in known:
            subject = subject.partition(".")[0]
        lines = texts.setdefault(subject, [])
        if mark.text not in lines:
            lines.append(mark.text)
    return tuple(
        NumberedMark(number, subject, tuple(lines))
        for number, (subject, lines) in enumerate(texts.items(), start=1)
    )
