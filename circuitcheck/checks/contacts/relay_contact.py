"""Each relay contact against ratings that count: breaking, carrying.

Finds       a contact that must break more than it is rated for, or carries more than it may in the
            heat of its place
Formula     I_max <= I_rated: the highest rating of that side for the load (DC inductive where a
            coil hangs behind it, else DC resistive) at the system's voltage or more
            carrying: I_max <= rating for air as hot as its zone's
Source      relay-data-sheet (make and break side rated apart; carrying by air). That a rating
            counts for its own load and voltage only is common practice, no source.
Worst case  highest supply, coils cold and at their lowest resistance, contacts new, all that can
            be on together
Not covered contact life in operations; bounce; what it closes on (see making current)
Result      per contact in use one finding on breaking, one on carrying where it is rated for that
"""

from __future__ import annotations

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.contacts.contact_loads import contacts_in_use
from circuitcheck.checks.contacts.rated_current import BREAKING, rated_currents
from circuitcheck.checks.finding import Finding
from circuitcheck.model.relay import Relay

NAME = "relay contact"
SOURCES = ("relay-data-sheet", "common-practice")


def judge(case: Case) -> list[Finding]:
    """Return the findings of every relay contact that leads to a load."""
    return [
        rated.finding(NAME, contact.part.name, SOURCES)
        for contact in contacts_in_use(case)
        if isinstance(contact.part, Relay) and contact.uses
        for rated in rated_currents(case, contact)
    ]


CHECK = Check(
    name=NAME,
    judges="highest current of each relay contact, against its ratings",
    why=BREAKING,
    does_not_cover="number of operations; bounce",
    sources=SOURCES,
    judge=judge,
)
