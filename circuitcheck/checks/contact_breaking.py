"""One contact against its ratings: the current it breaks, the inrush it makes on, what it carries.

Shared ground of the checks on switches and relays, which differ in whose contacts they look at.
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.checks.check import Case
from circuitcheck.checks.contact_loads import Contact, load_kind
from circuitcheck.checks.counting_rating import (
    INDUCTIVE,
    LAMP,
    RESISTIVE,
    carrying_a,
    counting_rating,
    never_above_a,
    why_not,
)
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, Finding, judged
from circuitcheck.checks.lamp_inrush import LampInrush, lamp_inrush
from circuitcheck.checks.stand_ins import assumed
from circuitcheck.checks.suppressed import suppression_words
from circuitcheck.checks.worst_current import WorstCurrent, worst_current
from circuitcheck.units import text

BREAKING = "A contact that breaks more than its rating arcs, wears out early or welds and stays on."
MAKING = "A cold filament draws many times its current: the contact bounces on it and may weld."
CARRIED = "A contact that carries more than its rating overheats, and its socket with it."
KEYS = ("interlock", "interlock.kind", "rating", "break_rating")


def contact_findings(
    case: Case, name: str, contact: Contact, sources: tuple[str, ...]
) -> Iterator[Finding]:
    """Yield the findings on one contact: breaking, making where lamps are, carrying where rated."""
    most = worst_current(case, contact.name)
    assert most is not None  # a live position closes it
    if contact.part.kind != "isolator":
        yield _breaking(case, name, contact, most, sources)
        if inrush := lamp_inrush(case, contact):
            yield _making(case, name, contact, inrush, sources)
    if any(rating.load == "carrying" for rating in contact.ratings):
        yield _carrying(case, name, contact, most, sources)


def _breaking(
    case: Case, name: str, contact: Contact, most: WorstCurrent, sources: tuple[str, ...]
) -> Finding:
    value, system_v, load = most.current_a, contact.system_v, load_kind(case, contact)
    # A lamp is judged as a plain load here: what is hard about it is making.
    load = RESISTIVE if load == LAMP else load
    rating, limit = counting_rating(contact.ratings, system_v, load), None
    result = NOT_JUDGED
    reason = why_not(case, contact.part.name, contact.ratings, system_v, load)
    if rating is not None:
        limit = rating.current_a
        result, reason = judged(value, limit), BREAKING
    elif load == INDUCTIVE:
        never_a = never_above_a(contact.ratings, system_v)
        if never_a is not None and value > never_a:
            limit, result = never_a, FAIL
            reason = f"More than a rating that is higher than the one needed. {BREAKING}"
    words = (*_behind(case, contact, most), *assumed(case, contact.part.name, *KEYS))
    return Finding(
        name, contact.part.name, result, f"current of contact {contact.name}", reason,
        most.position, most.coil_state, value, limit, "A",
        conditions=(*most.conditions, *words), sources=sources, gap=most.gap_a,
        working=most.working(),
    )  # fmt: skip


def _behind(case: Case, contact: Contact, most: WorstCurrent) -> tuple[str, ...]:
    """Return the coils on and how they are suppressed; a bare coil is the hardest to break."""
    loads = next((loads for solved, loads in contact.uses if solved is most.solved), frozenset())
    words = suppression_words(case, loads)
    return (f"coils on, with their suppression: {', '.join(words)}",) if words else ()


def _making(
    case: Case, name: str, contact: Contact, inrush: LampInrush, sources: tuple[str, ...]
) -> Finding:
    value, limit, words = inrush.current_a, contact.making_limit_a, "making limit"
    working = inrush.working
    if limit is None:
        lamp = counting_rating(contact.ratings, contact.system_v, LAMP)
        plain = counting_rating(contact.ratings, contact.system_v, RESISTIVE)
        if lamp is not None:
            # A lamp rating is stated by the lamp's steady current, its inrush is in it.
            value, limit, words = inrush.steady_a, lamp.current_a, "lamp rating, steady current"
            working = inrush.steady_working
        elif plain is not None and plain.current_a >= value:
            limit, words = plain.current_a, "even the inrush is within the plain rating"
    ask = why_not(case, contact.part.name, contact.ratings, contact.system_v, LAMP)
    return Finding(
        name, contact.part.name, NOT_JUDGED if limit is None else judged(value, limit),
        f"inrush of cold lamps through contact {contact.name}",
        f"no making limit is given, and {ask}" if limit is None else MAKING,
        inrush.solved.position.name, inrush.solved.coil_state, value, limit, "A",
        conditions=(f"against: {words}", f"cold lamps: {', '.join(inrush.lamps)}"),
        sources=(*sources, "lamp-starting"), working=working,
    )  # fmt: skip


def _carrying(
    case: Case, name: str, contact: Contact, most: WorstCurrent, sources: tuple[str, ...]
) -> Finding:
    air_c = case.harness.zone_of(contact.part.zone).ambient_c.upper
    stated = carrying_a(contact.ratings, air_c)
    limit = None if stated is None else stated[0]
    words = f"air {air_c:.0f} degC, the hottest of its zone"
    if stated is not None:
        words += f"; rated for {text(stated[1], 'degC')}"
    ask = f"no carrying rating holds for air of {air_c:.0f} degC: ask for one"
    return Finding(
        name, contact.part.name, NOT_JUDGED if limit is None else judged(most.current_a, limit),
        f"current carried by contact {contact.name}", ask if limit is None else CARRIED,
        most.position, most.coil_state, most.current_a, limit, "A",
        conditions=(*most.conditions, words), sources=sources, gap=most.gap_a,
        working=most.working(),
    )  # fmt: skip
