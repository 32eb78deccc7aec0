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
QUIT, SKIP, BACK, WHY = "quit", "skip", "back", "why"


@dataclass
class Session:
    """One diagnosis under way at a terminal of `width` columns.

    `states` are the diagnoses after each answer, so that `back` loses nothing but the last one.
    `input_ended` tells whether the input came to its end before the session did.
    """

    workshop: Workshop
    certainty: float
    width: int
    states: list[Diagnosis] = field(default_factory=list)
    input_ended: bool = False

    def run(self, complaints: Sequence[Reading], taken: Sequence[Reading]) -> Diagnosis:
        """Ask until the cause is certain, nothing tells more, or the person quits."""
        from circuitcheck.diagnosis.opening import after_readings, split_complaint

        self._greet()
        if not complaints and taken:
            complaints, taken = split_complaint(taken, self.workshop.full.library)
        complaints = list(complaints) or self._complaint()
        opened = self.workshop.open(complaints, certainty=self.certainty)
        self.states = [after_readings(opened, taken)]
        while True:
            now = self.states[-1]
            asked = now.next_reading
            if now.nothing_fits or asked is None:
                break
            if not self._ask(now, asked.measurement):
                break
        self._close()
        return self.states[-1]

    def _greet(self) -> None:
        page = self._page()
        page.say(self.workshop.full.harness.circuit, colour="bold")
        page.say(f"Answer with a value, or: {WORDS}.")
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
        found: list[Reading] = []
        while True:
            words = self._line("> ")
            if words in (None, QUIT) or (not words and found):
                break
            try:
                found += reader.read(str(words)) if words else []
            except CircuitError as error:
                self._say(str(error))
        if not found:
            raise CircuitError("nothing was complained of; nothing is looked for")
        return found

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
        return True

    def _back(self) -> None:
        if len(self.states) == 1:
            self._say("There is no reading to go back from.")
            return
        self.states.pop()

    def _why(self, now: Diagnosis) -> None:
        from circuitcheck.documents.diagnosis.diagnosis_text import say_standing

        page = self._page()
        say_standing(page, now)
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
        """Say whether the readings are kept, and the command that goes on from them."""
        if record is not None:
            self._say(f"All readings are kept in {record}. To go on from there:")
            self._say(f"circuitcheck diagnose {file} {record} --ask", capital=False)
            return
        self._say(
            "The readings are not kept. With --record PATH they are, and this goes on from there:"
        )
        self._say(f"circuitcheck diagnose {file} PATH --ask", capital=False)

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
