"""A connector of a larger contact family."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from circuitcheck.checks.check import Case
from circuitcheck.checks.finding import Finding
from circuitcheck.model.connector import Connector
from circuitcheck.model.library import ContactRow
from circuitcheck.sizing.change import Change, Ladder, with_part


def ladders(case: Case, finding: Finding) -> Iterator[Ladder]:
    """Yield families that fit larger wire or carry more, of the same sealing, by rated current.

    The families of one ladder are tried one by one: more current does not always mean that the
    wire fits.
    """
    part = case.harness.parts.get(finding.subject)
    if not isinstance(part, Connector) or part.contact is None:
        return
    for row in sorted(case.library.contacts.values(), key=_size):
        if row.kind == part.contact.kind and row.name != part.contact.name:
            if row.sealed != part.contact.sealed:
                continue
            other = replace(part, contact=row, contact_ohm=row.resistance_ohm)
            words = f"{part.name} with {row.name} contacts (was {part.contact.name})"
            yield Ladder(words, (Change(words, with_part(case.harness, other)),))


def _size(row: ContactRow) -> tuple[float, float]:
    return row.rated_current_a or 0.0, row.area_max_mm2 or 0.0
