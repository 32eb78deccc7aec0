"""Each relay contact against ratings that count: breaking, cold lamps, carrying.

Finds       a contact that must break more than it is rated for, closes on cold lamps beyond its
            making limit, or carries more than it may in the heat of its place
Formula     I_max <= I_rated: the highest rating of that side for the load (DC inductive where a
            coil hangs behind it, else DC resistive) at the system's voltage or more
            lamps: I_c - I_lamps + sum of k I_0 V_s / V_0 <= making limit
            carrying: I_max <= rating for air as hot as its zone's
Source      relay-data-sheet (make and break side rated apart; making limits; carrying by air);
            lamp-starting (hot over cold resistance). That a rating counts for its own load and
            voltage only is common practice, no source.
Worst case  highest supply, coils cold and at their lowest resistance, contacts new, cold filaments
            with nothing before them, all that can be on together
Not covered contact life in operations; bounce; capacitors (none are described)
Result      per contact in use one finding on breaking, one on cold lamps behind it, one on carrying
            where it is rated for that
"""

from __future__ import annotations

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.contact_loads import contacts_in_use
from circuitcheck.checks.finding import Finding
from circuitcheck.checks.rated_current import BREAKING, rated_currents
from circuitcheck.model.relay import Relay

NAME = "relay contact"
SOURCES = ("relay-data-sheet", "lamp-starting", "common-practice")


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
    judges="highest current and cold inrush of each relay contact, against its ratings",
    why=BREAKING,
    does_not_cover="number of operations; bounce; capacitors",
    sources=SOURCES,
    judge=judge,
)
