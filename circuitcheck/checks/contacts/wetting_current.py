"""Least current through each closed contact, against what its metal needs to stay clean.

Finds       a contact made for amperes that switches milliamperes: a film grows on it that nothing
            burns away, and it fails now and then
Formula     I_min >= I_least of the contact
Source      contact-figures: silver 10 mA to 100 mA at 12 V, gold 1 mA; the contact's own figure or
            that of its trade type
Worst case  lowest supply, coils hot and at their highest resistance, in the position that puts the
            least through it; only where the contact leads to a load that is asked for. A contact of
            unknown metal passes on what silver wants, and is not judged below it.
Not covered a contact that a heavier load cleans now and then; dust and grease
Result      one finding per contact that leads to a load
"""

from __future__ import annotations

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.contacts.contact_loads import Contact, contacts_in_use
from circuitcheck.checks.finding import NOT_JUDGED, Finding, judged
from circuitcheck.checks.stand_ins import assumed
from circuitcheck.checks.workings.current_working import lowest_current_working

NAME = "wetting current"
WHY = "Below it a film grows on the contact that nothing burns away: it fails now and then."
ASK = (
    "the least current of the contact is not known: read it in its data sheet; silver wants 10 mA "
    "to 100 mA, gold 1 mA"
)
SOURCES = ("contact-figures",)


def judge(case: Case) -> list[Finding]:
    """Return one finding per contact, in the position that puts the least through it."""
    return [_finding(case, contact) for contact in contacts_in_use(case) if contact.uses]


def _finding(case: Case, contact: Contact) -> Finding:
    solved = min(
        (solved for solved, _ in contact.uses),
        key=lambda solved: solved.current_a(contact.name).smallest(),
    )
    amps, limit = solved.current_a(contact.name), contact.least_current_a
    value, words = amps.smallest(), "least current as given, or of its trade type"
    silver = case.library.limit("wetting_silver_a")
    if limit is None and value >= silver.value:
        limit, words = silver.value, "not known: enough even for silver, which wants the most"
    side = "lower" if amps.lower > 0.0 else "upper"
    return Finding(
        check=NAME,
        subject=contact.part.name,
        result=NOT_JUDGED if limit is None else judged(value, limit, at_most=False),
        quantity=f"least current of contact {contact.name}",
        reason=ASK if limit is None else WHY,
        position=solved.position.name,
        coil_state=solved.coil_state,
        value=value,
        limit=limit,
        unit="A",
        at_most=False,
        conditions=(
            words if limit is not None else "least current of the contact not known",
            *solved.conditions(contact.name, side),
            *assumed(case, contact.part.name, "least_current"),
        ),
        sources=SOURCES,
        gap=amps.gap,
        working=lowest_current_working(solved, contact.name),
    )


CHECK = Check(
    name=NAME,
    judges="lowest current of each closed contact, against what it needs to stay clean",
    why=WHY,
    does_not_cover="contacts cleaned by a heavier load now and then; dust and grease",
    sources=SOURCES,
    judge=judge,
)
