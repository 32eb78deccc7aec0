"""What fails, as far as a drawing needs to know it: which part or wire, and in which words."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import field
from typing import Protocol

from circuitcheck.checks.finding import FAIL, Finding, worst
from circuitcheck.drawing.position_values import PositionValues
from circuitcheck.model.harness import Harness
from circuitcheck.record import record
from circuitcheck.sizing.remedy import Key, key_of
from circuitcheck.units import text

InUnits = Callable[[str], str]
"""Turns a metric quantity, such as `2.50 m`, into the units that the reader wants."""


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

    @property
    def number(self) -> int | None:
        """Its number in the verdict; None where there is none, and marks are counted."""
        ...


@record
class Failure:
    """A mark in plain words."""

    subject: str
    text: str
    number: int | None = None


@record
class NumberedMark:
    """All that fails on one part or wire, under the number of its sign.

    `numbers` are those of the single texts; the sign bears the first.
    """

    number: int
    subject: str
    texts: tuple[str, ...]
    numbers: tuple[int, ...]


@record
class Notes:
    """What is said of parts and wires beside their data: signs, and values that are not known.

    `shown_in` tells of a part that several sheets show: how many of its pieces stand on the sheets
    before this one, and how many there are. With `values` the drawing shows one switch position.
    """

    numbers: Mapping[str, int] = field(default_factory=dict)
    unknown: frozenset[tuple[str, str]] = frozenset()
    in_units: InUnits = str
    shown_in: Mapping[str, tuple[int, int]] = field(default_factory=dict)
    values: PositionValues | None = None

    def get(self, name: str) -> int | None:
        """Return the number of the failing sign of a part or wire, or None."""
        return self.numbers.get(name)

    def known(self, name: str, key: str, shown: str) -> str:
        """Return `shown`, or `?` where the file says that this value is not known."""
        return "?" if self.is_unknown(name, key) else shown

    def is_unknown(self, name: str, *keys: str) -> bool:
        """Return whether the file says of one of these fields that it is not known."""
        return any((name, key) in self.unknown for key in keys)


def notes_on(harness: Harness, signs: Iterable[NumberedMark], in_units: InUnits = str) -> Notes:
    """Return the notes of a harness: a stand-in for an unknown value is no value to draw."""
    return Notes(
        {sign.subject: sign.number for sign in signs},
        frozenset((a.subject, a.key) for a in harness.assumptions if a.stated_unknown),
        in_units,
    )


def failures(
    findings: Iterable[Finding],
    number_of: Mapping[Key, int] | None = None,
    in_units: InUnits = str,
) -> list[Failure]:
    """Return the failing findings as marks: the worst one of each check and subject.

    With the numbers of a verdict's entries each entry is a mark with its number, in their order.
    """
    alike: dict[object, list[Finding]] = {}
    for finding in findings:
        if finding.result == FAIL:
            about = key_of(finding) if number_of is not None else (finding.subject, finding.check)
            alike.setdefault(about, []).append(finding)
    of_each = [worst(found) for found in alike.values()]
    if number_of is None:
        return [Failure(f.subject, _text(f, in_units)) for f in of_each]
    numbered_ones = sorted((number_of[key_of(f)], f.subject, _text(f, in_units)) for f in of_each)
    return [Failure(subject, said, number) for number, subject, said in numbered_ones]


def _text(finding: Finding, in_units: InUnits) -> str:
    said = finding.quantity
    if finding.value is not None and finding.limit is not None:
        unit = "%" if finding.unit == "1" else finding.unit
        # A number of percent and a share of 1 are both written in percent.
        scale = 0.01 if finding.unit == "%" else 1.0
        value, limit = (
            _quantity(number * scale, unit, in_units) for number in (finding.value, finding.limit)
        )
        said += f" {value}, {'at most' if finding.at_most else 'at least'} {limit}"
    elif finding.value is None:
        said = finding.reason or said
    return said + (f" ({finding.position})" if finding.position else "")


def _quantity(value: float, unit: str, in_units: InUnits) -> str:
    metric = text(value, unit)
    turned = in_units(metric)
    return text(value, unit, signs=True) if turned == metric else turned.replace("deg", "°")


def numbered(marks: Iterable[Mark], names: Iterable[str]) -> tuple[NumberedMark, ...]:
    """Return the marks by part or wire, in the order they come; numbered so where they are not.

    A terminal's name counts for its part. The sign of a part bears its first number.
    """
    known = set(names)
    given: dict[str, list[tuple[str, int | None]]] = {}
    for mark in marks:
        subject = mark.subject
        if subject not in known and subject.partition(".")[0] in known:
            subject = subject.partition(".")[0]
        lines = given.setdefault(subject, [])
        if mark.text not in [text for text, _ in lines]:
            lines.append((mark.text, mark.number))
    signs = []
    for count, (subject, lines) in enumerate(given.items(), start=1):
        numbers = tuple(count if number is None else number for _, number in lines)
        signs.append(NumberedMark(numbers[0], subject, tuple(text for text, _ in lines), numbers))
    return tuple(signs)
