"""Each switch contact against ratings that count: breaking, carrying.

Finds       a contact that must break more inductive direct current than it is rated for; an
            isolator that carries more than it may
Formula     I_max <= I_rated: the highest rating given for the load (DC inductive where a coil hangs
            behind it, else DC resistive) at the system's voltage (12 V or 24 V) or more
            carrying: I_max <= rating for air as hot as its zone's
Source      common practice: a rating counts only for the voltage, current kind and load it is given
            for. relay-data-sheet: the inductive rating of one relay is 0.4 of its resistive one;
            shown, never used to pass. A current above a resistive rating, or above an inductive one
            for less voltage, fails all the same, since the rating asked for cannot be higher.
Worst case  highest supply, coils cold and at their lowest resistance, contacts new, all buttons
            that can be worked together
Not covered contact life in operations; what it closes on (see making current); the key switch (see
            tap); an isolator turned off under load: turn everything off before it
Result      per contact one finding on breaking, one on carrying where it is rated for that; an
            isolator on carrying alone
"""

from __future__ import annotations

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.contacts.contact_loads import contacts_in_use
from circuitcheck.checks.contacts.rated_current import BREAKING, rated_currents
from circuitcheck.checks.finding import Finding
from circuitcheck.model.switch import SwitchHandle

NAME = "switch rating"
SOURCES = ("common-practice", "relay-data-sheet")


def judge(case: Case) -> list[Finding]:
    """Return the findings of every switch contact, in the position with the most current."""
    return [
        rated.finding(NAME, contact.part.name, SOURCES)
        for contact in contacts_in_use(case)
        if isinstance(contact.part, SwitchHandle)
        for rated in rated_currents(case, contact)
    ]


CHECK = Check(
    name=NAME,
    judges="highest current of each switch contact, against its ratings",
    why=BREAKING,
    does_not_cover="number of operations; the key switch's own contact",
    sources=SOURCES,
    judge=judge,
)
