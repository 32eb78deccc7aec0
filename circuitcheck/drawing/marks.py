"""What fails, as far as a drawing needs to know it: which part or wire, and in which words."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Protocol

from circuitcheck.checks.finding import FAIL, Finding, worst
from circuitcheck.model.harness import Harness
from circuitcheck.units import text


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


@dataclass(frozen=True)
class Notes:
    """What is said of parts and wires beside their data: signs, and values that are not known."""

    numbers: Mapping[str, int] = field(default_factory=dict)
    unknown: frozenset[tuple[str, str]] = frozenset()

    def get(self, name: str) -> int | None:
        """Return the number of the failing sign of a part or wire, or None."""
        return self.numbers.get(name)

    def known(self, name: str, key: str, shown: str) -> str:
        """Return `shown`, or `?` where the file says that this value is not known."""
        return "?" if (name, key) in self.unknown else shown


def notes_on(harness: Harness, signs: Iterable[NumberedMark]) -> Notes:
    """Return the notes of a harness: a stand-in for an unknown value is no value to draw."""
    return Notes(
        {sign.subject: sign.number for sign in signs},
        frozenset((a.subject, a.key) for a in harness.assumptions if a.stated_unknown),
    )


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
        unit = "%" if finding.unit == "1" else finding.unit
        # A number of percent and a share of 1 are both written in percent.
        scale = 0.01 if finding.unit == "%" else 1.0
        value, limit = (
            text(number * scale, unit, signs=True) for number in (finding.value, finding.limit)
        )
        said += f" {value}, {'at most' if finding.at_most else 'at least'} {limit}"
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
