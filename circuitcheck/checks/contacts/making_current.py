"""Making current: what each contact closes on, against what it stands without welding.

Finds       a contact that closes on cold lamps, or on the empty input capacitor of a converter,
            beyond its making limit: it bounces, melts and stays closed
Formula     lamps: I_c - I_lamps + sum of k I_0 V_s / V_0 <= making limit; with a lamp rating alone
            the steady current of the lamps against that
            capacitors: U_0 / R_0 <= making limit, U_0 the voltage at the input with nothing on, R_0
            the resistance from the battery to it and back
Source      relay-data-sheet (making limits), lamp-starting (hot over cold resistance), worked-out
Worst case  highest supply, contacts new, wires cold; filaments cold with nothing before them; a
            capacitor quite empty, without resistance of its own
Not covered how often; bounce; the inductance of the wires before a capacitor, which blunts its
            peak; the machine's own key contact
Result      per contact in use one finding on lamps and one on capacitors, where it leads to any
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.contacts.contact_loads import Contact, contacts_in_use
from circuitcheck.checks.contacts.counting_rating import LAMP, RESISTIVE, counting_rating, why_not
from circuitcheck.checks.contacts.lamp_inrush import LampInrush, lamp_inrush
from circuitcheck.checks.finding import NOT_JUDGED, Finding, Term, Working, judged
from circuitcheck.checks.stand_ins import assumed
from circuitcheck.model.converter import Converter
from circuitcheck.solve.solution import COLD_START
from circuitcheck.transient.switching_on.first_moment import FirstMoment, first_moment

NAME = "making current"
LAMPS_WHY = "A cold filament draws many times its current: the contact bounces on it and may weld."
WHY = "A contact that closes on too much bounces, melts at the tips and stays closed: welded."
ASK_CAPACITOR = (
    "whether {} has an input capacitor that charges at once, or a soft start, is not given: ask "
    "for its inrush current, or give input_capacitance"
)
SOURCES = ("relay-data-sheet", "lamp-starting", "worked-out")


def judge(case: Case) -> list[Finding]:
    """Return the findings of every contact that leads to lamps or to a converter."""
    return [
        finding
        for contact in contacts_in_use(case)
        if contact.uses and contact.part.kind != "isolator"
        for finding in _of(case, contact)
    ]


def _of(case: Case, contact: Contact) -> Iterator[Finding]:
    inrush = lamp_inrush(case, contact)
    if inrush is not None:
        yield _lamps(case, contact, inrush)
    yield from _capacitors(case, contact)


def _lamps(case: Case, contact: Contact, inrush: LampInrush) -> Finding:
    value, working = inrush.current_a, inrush.working
    limit, words, ask = _limit(case, contact, value)
    lamp = counting_rating(contact.ratings, contact.system_v, LAMP)
    if contact.making_limit_a is None and lamp is not None:
        # A lamp rating is stated by the lamp's steady current, its inrush is in it.
        limit, words = lamp.current_a, "lamp rating, steady current"
        value, working = inrush.steady_a, inrush.steady_working
    return Finding(
        NAME, contact.part.name, NOT_JUDGED if limit is None else judged(value, limit),
        f"inrush of cold lamps through contact {contact.name}",
        ask if limit is None else LAMPS_WHY,
        inrush.solved.position.name, inrush.solved.coil_state, value, limit, "A",
        conditions=(f"against: {words}", f"cold lamps: {', '.join(inrush.lamps)}"),
        sources=SOURCES, working=working,
    )  # fmt: skip


def _limit(case: Case, contact: Contact, value: float) -> tuple[float | None, str, str]:
    """Return what counts against an inrush, what that is, and what to ask for without it."""
    if contact.making_limit_a is not None:
        return contact.making_limit_a, "making limit", ""
    plain = counting_rating(contact.ratings, contact.system_v, RESISTIVE)
    if plain is not None and plain.current_a >= value:
        return plain.current_a, "even the inrush is within the plain rating", ""
    ask = why_not(case, contact.part.name, contact.ratings, contact.system_v, LAMP)
    return None, "not known", f"no making limit is given, and {ask}"


def _capacitors(case: Case, contact: Contact) -> Iterator[Finding]:
    """Yield the worst of the converters that a contact feeds, and each that is not known."""
    quantity = f"inrush of an input capacitor through contact {contact.name}"
    names = dict.fromkeys(c.name for c in case.harness.of_kind(Converter))
    found: list[tuple[float, Finding]] = []
    for solved, loads in contact.uses:
        for name in names:
            if name not in loads or solved.coil_state != COLD_START:
                continue
            moment = first_moment(case.solution, solved.position, name)
            part = case.harness.parts[name]
            if moment is None or not isinstance(part, Converter):
                continue
            finding = _charged(case, contact, name, moment)
            finding = replace(finding, quantity=quantity, position=solved.position.name)
            if part.input_capacitance_f is None:
                reason = ASK_CAPACITOR.format(name)
                finding = replace(finding, result=NOT_JUDGED, reason=reason)
            found.append((moment.peak_a, finding))
    if found:
        yield max(found, key=lambda pair: pair[0])[1]


def _charged(case: Case, contact: Contact, name: str, moment: FirstMoment) -> Finding:
    limit, words, ask = _limit(case, contact, moment.peak_a)
    terms = (
        Term("U_0", moment.open_v, "V", f"voltage at the input of {name} with nothing on"),
        Term(
            "R_0", moment.before_ohm, "ohm", "from the battery to it and back, cold, contacts new"
        ),
    )
    peak = Term("I_make", moment.peak_a, "A", "inrush of the empty capacitor")
    return Finding(
        NAME, contact.part.name, NOT_JUDGED if limit is None else judged(moment.peak_a, limit),
        "", ask if limit is None else WHY, "", COLD_START, moment.peak_a, limit, "A",
        conditions=(
            f"against: {words}", f"converter {name}", "highest supply, contacts new, wires cold",
            *assumed(case, name, "input_capacitance"),
        ),
        sources=SOURCES, working=Working("U_0 / R_0", terms, peak),
    )  # fmt: skip


CHECK = Check(
    name=NAME,
    judges="inrush of cold lamps and input capacitors, against the making limit of each contact",
    why=WHY,
    does_not_cover="how often; bounce; inductance of wires; the machine's own key contact",
    sources=SOURCES,
    judge=judge,
)
