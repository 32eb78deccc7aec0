"""What each contact carries and breaks, beside the rating that counts for it.

Shared ground of the checks on switches and relays; it judges nothing itself.
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.checks.check import Case
from circuitcheck.checks.contacts.contact_loads import Contact, load_kind
from circuitcheck.checks.contacts.counting_rating import (
    INDUCTIVE,
    LAMP,
    RESISTIVE,
    carrying_a,
    counting_rating,
    never_above_a,
    why_not,
)
from circuitcheck.checks.finding import NOT_JUDGED, Finding, Working, judged
from circuitcheck.checks.release.suppressed import suppression_words
from circuitcheck.checks.stand_ins import assumed
from circuitcheck.checks.worst_current import WorstCurrent, worst_current
from circuitcheck.record import record
from circuitcheck.units import text

BREAKING = "A contact that breaks more than its rating arcs, wears out early or welds and stays on."
CARRIED = "A contact that carries more than its rating overheats, and its socket with it."
KEYS = ("interlock", "interlock.kind", "rating", "break_rating")


@record
class RatedCurrent:
    """One current of a contact [A] and what it is held against, None where nothing counts.

    `reason` says why it matters, or what to ask for.
    """

    quantity: str
    value: float
    limit: float | None
    reason: str
    position: str
    coil_state: str
    conditions: tuple[str, ...]
    working: Working
    gap: float = 0.0

    def finding(self, check: str, part: str, sources: tuple[str, ...]) -> Finding:
        """Return the finding of a check on the part that the contact belongs to."""
        return Finding(
            check=check,
            subject=part,
            result=NOT_JUDGED if self.limit is None else judged(self.value, self.limit),
            quantity=self.quantity,
            reason=self.reason,
            position=self.position,
            coil_state=self.coil_state,
            value=self.value,
            limit=self.limit,
            unit="A",
            conditions=self.conditions,
            sources=sources,
            gap=self.gap,
            working=self.working,
        )


def rated_currents(case: Case, contact: Contact) -> Iterator[RatedCurrent]:
    """Yield what a contact breaks, and carries where it is rated so.

    An isolator is made to carry, not to break.
    """
    most = worst_current(case, contact.name)
    assert most is not None  # a live position closes it
    if contact.part.kind != "isolator":
        yield _breaking(case, contact, most)
    if any(rating.load == "carrying" for rating in contact.ratings):
        yield _carrying(case, contact, most)


def _of(
    most: WorstCurrent, quantity: str, limit: float | None, reason: str, words: tuple[str, ...]
) -> RatedCurrent:
    return RatedCurrent(
        quantity,
        most.current_a,
        limit,
        reason,
        most.position,
        most.coil_state,
        (*most.conditions, *words),
        most.working(),
        most.gap_a,
    )


def _breaking(case: Case, contact: Contact, most: WorstCurrent) -> RatedCurrent:
    system_v, load = contact.system_v, load_kind(case, contact)
    # A lamp is a plain load to break: what is hard about it is making.
    load = RESISTIVE if load == LAMP else load
    rating = counting_rating(contact.ratings, system_v, load)
    limit = None if rating is None else rating.current_a
    reason = BREAKING
    if limit is None:
        reason = why_not(case, contact.part.name, contact.ratings, system_v, load)
        never_a = never_above_a(contact.ratings, system_v) if load == INDUCTIVE else None
        if never_a is not None and most.current_a > never_a:
            limit = never_a
            reason = f"More than a rating that is higher than the one needed. {BREAKING}"
    words = (*_behind(case, contact, most), *assumed(case, contact.part.name, *KEYS))
    return _of(most, f"current of contact {contact.name}", limit, reason, words)


def _behind(case: Case, contact: Contact, most: WorstCurrent) -> tuple[str, ...]:
    """Return the coils on and how they are suppressed; a bare coil is the hardest to break."""
    loads = next((loads for solved, loads in contact.uses if solved is most.solved), frozenset())
    words = suppression_words(case, loads)
    return (f"coils on, with their suppression: {', '.join(words)}",) if words else ()


def _carrying(case: Case, contact: Contact, most: WorstCurrent) -> RatedCurrent:
    air_c = case.harness.zone_of(contact.part.zone).ambient_c.upper
    stated = carrying_a(contact.ratings, air_c)
    limit, reason = None, f"no carrying rating holds for air of {air_c:.0f} degC: ask for one"
    words = f"air {air_c:.0f} degC, the hottest of its zone"
    if stated is not None:
        limit, reason = stated[0], CARRIED
        words += f"; rated for {text(stated[1], 'degC')}"
    return _of(most, f"current carried by contact {contact.name}", limit, reason, (words,))
