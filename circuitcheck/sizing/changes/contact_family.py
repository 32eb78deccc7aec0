"""A connector of a larger contact family."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from circuitcheck.checks.check import Case
from circuitcheck.checks.finding import Finding
from circuitcheck.model.connector import Connector
from circuitcheck.model.library import ContactRow
from circuitcheck.sizing.change import Change, Ladder, with_part

AREA = "mm2"


def ladders(case: Case, finding: Finding) -> Iterator[Ladder]:
    """Yield families of the same sealing by rated current: all for a wire's fit, else larger ones.

    They are tried one by one: more current does not always mean that the wire fits.
    """
    part = case.harness.parts.get(finding.subject)
    if not isinstance(part, Connector) or part.contact is None:
        return
    own = part.contact
    for row in sorted(case.library.contacts.values(), key=_size):
        if not _is_like(row, own) or row.name == own.name:
            continue
        if finding.unit != AREA and _size(row) <= _size(own):
            continue
        other = replace(part, contact=row, contact_ohm=row.resistance_ohm)
        words = f"{part.name} with {row.name} contacts (was {own.name})"
        yield Ladder(
            f"{part.name} with other contacts", (Change(words, with_part(case.harness, other)),)
        )


def _is_like(row: ContactRow, own: ContactRow) -> bool:
    """Return whether a family could stand in: joint, sealing and plating stay what they are."""
    return (row.kind, row.sealed, row.plating) == (own.kind, own.sealed, own.plating)


def _size(row: ContactRow) -> tuple[float, float]:
    return row.rated_current_a or 0.0, row.area_max_mm2 or 0.0
