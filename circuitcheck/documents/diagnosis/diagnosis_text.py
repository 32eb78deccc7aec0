"""A diagnosis as short lines: what is likely and why, what to measure next, what to mend."""

from __future__ import annotations

from collections.abc import Sequence

from circuitcheck.diagnosis.causes import own_prior_rows
from circuitcheck.diagnosis.diagnosis import Diagnosis, NextReading
from circuitcheck.diagnosis.efforts import COVERED, PIERCED
from circuitcheck.diagnosis.groups import Group
from circuitcheck.documents.diagnosis.measurement_text import (
    other_than_text,
    range_text,
    say_measurement,
    taken_text,
    value_text,
)
from circuitcheck.documents.plain_text import Page
from circuitcheck.documents.pulled_coil_text import pulled_words
from circuitcheck.model.instrument import OBSERVATION
from circuitcheck.model.reading import Measurement, Reading

MOST_GROUPS, MOST_LABELS, MOST_EVIDENCE, MOST_ROWS = 5, 6, 4, 3
AGAIN = "Take it again, with another meter if there is one"
TELLS_BIT = 1.0
"""A reading twice as likely under a cause as under the others is named as evidence."""


REACHED = {
    COVERED: "is behind a cover",
    PIERCED: "is reached only by piercing a wire: last of all, and seal the hole again",
}


def percent(share: float) -> str:
    """Return a probability as people say it: `97 %`, `under 1 %`."""
    if share < 0.01:
        return "under 1 %"
    return "over 99 %" if share > 0.99 else f"{100.0 * share:.0f} %"


def diagnosis_text(diagnosis: Diagnosis, width: int, *, colour: bool = False) -> str:
    """Return where a diagnosis stands: conclusion or ranking, evidence, next reading."""
    page = Page(width, colour)
    say_standing(page, diagnosis)
    if diagnosis.is_certain:
        say_conclusion(page, diagnosis)
    else:
        say_next(page, diagnosis)
    return page.text()


def say_standing(page: Page, diagnosis: Diagnosis) -> None:
    """Write the ranked causes with their evidence, then readings that contradict the rest."""
    if diagnosis.nothing_fits:
        page.say(
            "NOTHING HERE FITS: no fault of this file, and no two of them, make these readings "
            "likely. Check that the file is the machine, and take the readings again.",
            colour="red",
        )
        page.gap()
    page.say("Likely causes", colour="bold")
    shown = [diagnosis.groups[0], *_not_beside(diagnosis)][:MOST_GROUPS]
    rest = 1.0 - sum(group.probability for group in shown)
    beside = diagnosis.leading_probability - diagnosis.groups[0].probability
    for number, group in enumerate(shown, start=1):
        page.say(f"{percent(group.probability)}  {_called(group)}", first=f"{number}. ", rest="   ")
        if number == 1 and beside >= 0.01:
            page.say(f"{percent(beside)}  the same, with a second fault beside it", first="   ")
            rest -= beside
    if rest >= 0.01:
        page.say(f"{percent(rest)}  all others", first="   ")
    page.gap()
    _say_own_rows(page, diagnosis)
    _say_evidence(page, diagnosis)
    _say_contradictions(page, diagnosis)


def _say_own_rows(page: Page, diagnosis: Diagnosis) -> None:
    suspects = diagnosis.suspects
    used, rest = own_prior_rows(suspects.causes, suspects.harness, suspects.library)
    if used:
        page.say(f"How likely they are by your own rows: {_few(used)}.")
    if rest:
        page.say(f"Your own rows that no fault of this file has: {_few(rest)}.")
    if used or rest:
        page.gap()


def _few(names: Sequence[str]) -> str:
    more = len(names) - MOST_ROWS
    return ", ".join(names[:MOST_ROWS]) + (f" and {more} more" if more > 0 else "")


def say_before(page: Page, diagnosis: Diagnosis) -> None:
    """Write how likely the leading causes were before any complaint or reading."""
    shown = [label for group in diagnosis.groups[:MOST_GROUPS] for label in group.labels[:1]]
    shares = ", ".join(f"{label} {percent(diagnosis.before[label])}" for label in shown)
    page.say(f"Before any reading: {shares} (circuitcheck library fault_priors).")


def _not_beside(diagnosis: Diagnosis) -> list[Group]:
    """Return the further groups, without those that are the first one and a second fault."""
    first = {frozenset(f.cause for f in cause.faults) for cause in diagnosis.groups[0].causes}
    return [
        group
        for group in diagnosis.groups[1:]
        if not any(
            one < frozenset(f.cause for f in cause.faults)
            for one in first
            for cause in group.causes
        )
    ]


def _called(group: Group) -> str:
    sound_first = sorted(group.plain, key=lambda cause: bool(cause.faults))
    shown = [cause.label for cause in sound_first[:MOST_LABELS]]
    more = len(group.plain) - len(shown)
    return "; or ".join(shown) + (f"; or {more} more" if more else "")


def _say_evidence(page: Page, diagnosis: Diagnosis) -> None:
    """Write which readings speak for and against the likeliest cause."""
    bits = diagnosis.leading_evidence()
    said = [(bit, reading) for bit, reading in zip(bits, diagnosis.readings, strict=True)]
    strong = sorted((one for one in said if abs(one[0]) >= TELLS_BIT), key=lambda one: -abs(one[0]))
    if not strong:
        return
    page.say(f"Evidence on {diagnosis.groups[0].name}", colour="bold")
    for bit, reading in strong[:MOST_EVIDENCE]:
        word = "for" if bit > 0.0 else "against"
        page.say(reading_text(reading, diagnosis), first=f"{word}: ", rest="  ")
    page.gap()


def reading_text(reading: Reading, diagnosis: Diagnosis) -> str:
    """Return a reading with its value and position."""
    suspects, measurement = diagnosis.suspects, reading.measurement
    taken = taken_text(measurement, suspects.harness, suspects.library)
    value = value_text(reading.value, measurement, suspects.library)
    return f"{taken} ({measurement.situation.position}): {value}"


def _say_contradictions(page: Page, diagnosis: Diagnosis) -> None:
    for number in diagnosis.contradictions:
        reading = diagnosis.readings[number]
        kind = diagnosis.suspects.library.instrument(reading.measurement.instrument).kind
        again = "Look again" if kind == OBSERVATION else AGAIN
        page.say(
            f"Contradicts the rest: {reading_text(reading, diagnosis)}. {again}.", colour="yellow"
        )
        page.gap()


def say_next(page: Page, diagnosis: Diagnosis) -> None:
    """Write the next reading and what each result would mean, or that none tells more."""
    asked = diagnosis.next_reading
    if asked is None:
        page.say(
            "No reading left tells these apart. Mend the likeliest first, then look again.",
        )
        page.gap()
        _say_repairs(page, diagnosis.groups[0])
        _say_pulled(page, diagnosis)
        return
    page.say("Confirm it" if asked.confirms else "Next reading", colour="bold")
    if asked.confirms:
        page.say(
            f"{diagnosis.groups[0].name} is likely, but hangs on a single reading. One more that "
            "does not:",
        )
    suspects = diagnosis.suspects
    pulled = suspects.candidates.pulled(asked.measurement.situation)
    say_measurement(page, asked.measurement, suspects.harness, suspects.library, pulled)
    for point in (asked.measurement.plus, asked.measurement.minus):
        where = REACHED.get(suspects.place_of(point, asked.measurement))
        if where:
            page.say(f"{point} {where}.", first="", rest="  ")
    _say_skipped_there(page, diagnosis, asked.measurement)
    say_meanings(page, diagnosis, asked)


def _say_skipped_there(page: Page, diagnosis: Diagnosis, measurement: Measurement) -> None:
    """Write what is different this time where a reading at the same points was skipped."""
    points = {measurement.plus, measurement.minus}
    differs = [
        other_than_text(measurement, one, diagnosis.suspects.harness)
        for one in diagnosis.skipped
        if {one.plus, one.minus} == points
    ]
    if differs:
        least = min(differs, key=lambda words: (len(words), words))
        page.say(f"The same points as in a reading that was skipped, but: {least}.")


def say_meanings(page: Page, diagnosis: Diagnosis, asked: NextReading) -> None:
    """Write what each result of a reading would mean."""
    page.say("What it would mean:")
    for meaning in asked.meanings:
        shown = range_text(
            meaning.lower, meaning.upper, asked.measurement, diagnosis.suspects.library
        )
        groups = [f"{left.name} {percent(left.probability)}" for left in meaning.groups]
        page.say("; ".join(groups) or "many causes still", first=f"- {shown}: ", rest="    ")
    page.gap()


def say_conclusion(page: Page, diagnosis: Diagnosis) -> None:
    """Write the cause, what would tell its group apart, the repair and its proof."""
    group = diagnosis.groups[0]
    if group.is_sound:
        _say_sound(page, diagnosis)
        return
    page.say(f"Found: {_called(group)} ({percent(diagnosis.leading_probability)})", colour="green")
    page.gap()
    if len(group.plain) > 1:
        _say_splitting(page, diagnosis, "No reading tells these apart: put them right together.")
    _say_repairs(page, group)
    _say_pulled(page, diagnosis)


def _say_sound(page: Page, diagnosis: Diagnosis) -> None:
    """Write that nothing wrong shows, and which faults would not have shown either."""
    group = diagnosis.groups[0]
    page.say(
        f"Nothing wrong shows ({percent(diagnosis.leading_probability)}): these readings are what "
        "the circuit of the file gives.",
        colour="green",
    )
    page.gap()
    hidden = [cause for cause in group.plain if cause.faults]
    if not hidden:
        return
    page.say("What these readings would not have shown, and how to see it:")
    for cause in hidden[:MOST_LABELS]:
        proofs = "; ".join(fault.proof for fault in cause.faults)
        page.say(f"{cause.label}. Sound: {proofs}", first="- ", rest="  ")
    if len(hidden) > MOST_LABELS:
        page.say(f"- and {len(hidden) - MOST_LABELS} more")
    page.gap()
    _say_splitting(page, diagnosis, "No other reading tells these apart.")


def _say_splitting(page: Page, diagnosis: Diagnosis, without: str) -> None:
    """Write the reading that tells the members of the leading group apart, or `without`."""
    splitting = diagnosis.splitting_reading()
    if splitting is None:
        page.say(without)
    else:
        suspects = diagnosis.suspects
        taken = taken_text(splitting, suspects.harness, suspects.library)
        page.say(f"To tell these apart: {taken} ({splitting.situation.position}).")
        for coil in suspects.candidates.pulled(splitting.situation):
            page.say(pulled_words(coil), first="! ", colour="yellow")
    page.gap()


def _say_pulled(page: Page, diagnosis: Diagnosis) -> None:
    """Write how long a proof may have on each pull winding that the readings had on."""
    pulled = diagnosis.suspects.candidates.pulled
    coils = dict.fromkeys(
        coil for taken in diagnosis.readings for coil in pulled(taken.measurement.situation)
    )
    for coil in coils:
        page.say(pulled_words(coil, is_metered=False), first="! ", colour="yellow")
    if coils:
        page.gap()


def _say_repairs(page: Page, group: Group) -> None:
    said: set[str] = set()
    for cause in group.plain[:MOST_LABELS]:
        for fault in cause.faults:
            if fault.repair in said:
                continue
            said.add(fault.repair)
            page.say(fault.place or fault.subject, first="Where: ", rest="  ")
            page.say(fault.repair, first="Repair: ", rest="  ")
            page.say(fault.proof, first="Proof: ", rest="  ")
            page.gap()
        if not cause.faults:
            page.say("Perhaps nothing of the circuit in the file is wrong: look at what it works.")
            page.gap()
