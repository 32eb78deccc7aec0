"""The session at the terminal: asks for readings one by one; `skip`, `back`, `why`, `quit`."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

import click

from circuitcheck.cli.output import colour_wanted
from circuitcheck.errors import CircuitError

if TYPE_CHECKING:
    from circuitcheck.diagnosis.diagnosis import Diagnosis
    from circuitcheck.diagnosis.opening import Workshop
    from circuitcheck.documents.plain_text import Page
    from circuitcheck.model.reading import Measurement, Reading

WORDS = "skip, back, why, quit"
QUIT, SKIP, BACK, WHY, ON = "quit", "skip", "back", "why", "on"

SWAPPED_V = -0.1
"""Nothing that a steady reading meets lies further below battery minus: common practice, no
source."""
OFFERED = {BACK: "back: the last answer was wrong", ON: "on: more readings"}


@dataclass
class Session:
    """One diagnosis under way at a terminal of `width` columns.

    `states` are the diagnoses after each answer, so that `back` loses nothing but the last one.
    `is_kept` tells whether a record is written at the end, `input_ended` whether the input came to
    its end before the session did, `goes_on` that a person asked for more readings although
    nothing fits.
    """

    workshop: Workshop
    certainty: float
    width: int
    states: list[Diagnosis] = field(default_factory=list)
    is_kept: bool = False
    input_ended: bool = False
    goes_on: bool = False

    def run(self, complaints: Sequence[Reading], taken: Sequence[Reading]) -> Diagnosis:
        """Ask until the cause is certain, nothing tells more, or the person quits."""
        from circuitcheck.diagnosis.opening import after_readings, split_complaint

        self._greet()
        if not complaints and taken:
            complaints, taken = split_complaint(taken, self.workshop.full.library)
        complaints = list(complaints) or self._complaint()
        opened = self.workshop.open(complaints, certainty=self.certainty)
        self.states = [after_readings(opened, taken)]
        while self._goes_through() and self._is_reopened():
            pass
        return self.states[-1]

    def _goes_through(self) -> bool:
        """Ask until nothing is left to ask, and say the outcome; False where the person quits."""
        while True:
            now = self.states[-1]
            asked = now.next_reading
            if asked is None or (now.nothing_fits and not self.goes_on):
                self._close()
                return True
            if not self._ask(now, asked.measurement):
                self._close()
                return False

    def _is_reopened(self) -> bool:
        """Offer to take the last answer back, and to go on; False where all is said."""
        now = self.states[-1]
        can_go_on = now.next_reading is not None
        offers = [*([BACK] if len(self.states) > 1 else []), *([ON] if can_go_on else [])]
        if offers:
            self._say(f"It ends here. {'; '.join(OFFERED[word] for word in offers)}.")
        while offers:
            said = self._line(f"{', '.join(offers)}, or Enter > ")
            word = "" if said is None else said.casefold()
            # the outcome is said: an input that is at its end here has missed nothing
            self.input_ended = False
            if word == BACK and BACK in offers:
                self._back()
                return True
            if word == ON and can_go_on:
                self.goes_on = True
                return True
            if word in ("", QUIT):
                return False
        return False

    def _greet(self) -> None:
        page = self._page()
        page.say(self.workshop.full.harness.circuit, colour="bold")
        page.say(f"Answer with a value, or: {WORDS}.")
        if not self.is_kept:
            page.say("The readings are kept only with --record PATH.")
        page.gap()
        self._show(page)

    def _complaint(self) -> list[Reading]:
        from circuitcheck.diagnosis.complaint import ComplaintReader
        from circuitcheck.documents.pulled_coil_text import pulled_words

        full = self.workshop.full
        reader = ComplaintReader(full.harness, self.workshop.candidates.places, full.positions)
        page = self._page()
        page.say("What is wrong? And what works? One line each; an empty line when all is said.")
        for example in reader.examples():
            page.say(example, first="- ", rest="  ")
        # to answer, the buttons are tried
        for coil in self.workshop.candidates.brief_coils:
            page.say(pulled_words(coil, is_metered=False), first="! ", colour="yellow")
        self._show(page)
        found: list[list[Reading]] = []
        while True:
            words = self._line("> ")
            if words in (None, QUIT) or (not words and found):
                break
            try:
                if words:
                    found = self._said(found, list(reader.read(words)))
            except CircuitError as error:
                self._say(str(error))
        if not found:
            raise CircuitError("nothing was complained of; nothing is looked for")
        return [reading for line in found for reading in line]

    def _said(self, before: list[list[Reading]], new: list[Reading]) -> list[list[Reading]]:
        """Return the complaints with a new one, which takes the place of its opposite.

        A coil that works at times is one that does not: both at once would cancel out.
        """
        asked = {reading.measurement: reading.value for reading in new}
        kept = [
            line for line in before
            if all(asked.get(r.measurement, r.value) == r.value for r in line)
        ]  # fmt: skip
        dropped = [self._told(r) for line in before if line not in kept for r in line]
        if dropped:
            self._say(
                f"Taken in place of what was said before ({'; '.join(dropped)}). What works only "
                "at times does not work: then say that."
            )
        return [*kept, new]

    def _told(self, reading: Reading) -> str:
        from circuitcheck.documents.diagnosis.measurement_text import taken_text, value_text

        full = self.workshop.full
        asked = taken_text(reading.measurement, full.harness, full.library)
        return f"{asked}: {value_text(reading.value, reading.measurement, full.library)}"

    def _ask(self, now: Diagnosis, measurement: Measurement) -> bool:
        """Put one question and take its answer; False where the person quits."""
        from circuitcheck.documents.diagnosis.diagnosis_text import say_next

        page = self._page()
        page.say(f"Reading {len(now.readings) - now.complaints + 1}", colour="bold")
        say_next(page, now)
        self._show(page)
        while True:
            said = self._line(f"{self._kind(measurement)} > ")
            word = "" if said is None else said.casefold()
            if said is None or word == QUIT:
                return False
            if word == SKIP:
                self.states.append(now.with_skipped(measurement))
                return True
            if word == BACK:
                self._back()
                return True
            if word == WHY:
                self._why(now)
            elif self._take(now, measurement, said):
                return True

    def _take(self, now: Diagnosis, measurement: Measurement, said: str) -> bool:
        from circuitcheck.diagnosis.opening import after_readings
        from circuitcheck.model.instrument import VOLTMETER
        from circuitcheck.model.reading import Reading
        from circuitcheck.read.readings.reading_value import ReadingValueError, parse_value

        full = self.workshop.full
        row = full.library.instrument(measurement.instrument)
        try:
            value = parse_value(said, row, full.harness.system_v, bare=True)
        except ReadingValueError as error:
            self._say(f"{error}. Nothing is lost: once more, or {WORDS}.")
            return False
        self.states.append(after_readings(now, [Reading(measurement, value)]))
        if row.kind == VOLTMETER and measurement.minus == self._minus and value < SWAPPED_V:
            self._say("Below battery minus: are red and black swapped? Taken as read; or: back.")
        return True

    @property
    def _minus(self) -> str:
        return f"{self.workshop.full.harness.battery.name}.-"

    def _back(self) -> None:
        if len(self.states) == 1:
            self._say("There is no reading to go back from.")
            return
        self.states.pop()
        self.goes_on = self.goes_on and self.states[-1].nothing_fits

    def _why(self, now: Diagnosis) -> None:
        from circuitcheck.documents.diagnosis.diagnosis_text import say_before, say_standing

        page = self._page()
        say_standing(page, now)
        say_before(page, now)
        asked = now.next_reading
        if asked is not None:
            page.say(
                f"This reading is expected to tell {asked.information_bit:.1f} bit for about "
                f"{asked.effort_s / 60.0:.1f} minutes of work: the most for its effort."
            )
        page.gap()
        self._show(page)

    def _kind(self, measurement: Measurement) -> str:
        from circuitcheck.model import instrument as i

        row = self.workshop.full.library.instrument(measurement.instrument)
        if row.kind == i.OBSERVATION:
            return "yes or no"
        return " or ".join(i.LEVELS) if row.unit == "level" else row.unit

    def say_how_to_go_on(self, file: Path, record: Path | None) -> None:
        """Say whether the readings are kept, and where not all is found how to go on from them."""
        if record is not None:
            self._say(f"All readings are kept in {record}. To go on from there:")
            self._say(f"circuitcheck diagnose {file} {record} --ask", capital=False)
            return
        self._say(
            "The readings are not kept. With --record PATH they are, and this goes on from there:"
        )
        self._say(f"circuitcheck diagnose {file} PATH --ask", capital=False)

    def say_not_kept(self) -> None:
        """Say that the readings of a diagnosis at its end are not kept."""
        self._say("The readings are not kept: --record PATH keeps them for the next person.")

    def _close(self) -> None:
        from circuitcheck.documents.diagnosis.diagnosis_text import diagnosis_text

        if self.input_ended:
            taken = len(self.states[-1].readings) - self.states[-1].complaints
            readings = "1 reading" if taken == 1 else f"{taken} readings"
            self._say(f"The answers ended here, after {readings}. What is known so far:")
            click.echo()
        click.echo(
            diagnosis_text(self.states[-1], self.width, colour=colour_wanted(False)), nl=False
        )

    def _line(self, prompt: str) -> str | None:
        """Return a line typed, None at the end of the input."""
        click.echo(prompt, nl=False)
        line = sys.stdin.readline()
        if not line:
            click.echo()
            self.input_ended = True
            return None
        words = " ".join(line.split())
        # what comes from a file or a pipe is shown, so that the record can be read
        if not sys.stdin.isatty():
            click.echo(words)
        return words

    def _page(self) -> Page:
        from circuitcheck.documents.plain_text import Page

        return Page(self.width, colour_wanted(False))

    def _say(self, text: str, *, capital: bool = True) -> None:
        """Say one sentence; messages of errors start small, to stand behind a place in a file."""
        page = self._page()
        page.say(text[:1].upper() + text[1:] if capital else text)
        self._show(page)

    def _show(self, page: Page) -> None:
        click.echo(page.text(), nl=False)
