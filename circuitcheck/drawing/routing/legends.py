"""What is said beside a routing drawing: how to read it, what it assumes, what fails."""

from __future__ import annotations

from collections.abc import Sequence

from circuitcheck.drawing.legend import Legend
from circuitcheck.drawing.marks import NumberedMark
from circuitcheck.drawing.paper import PHONE, Paper
from circuitcheck.drawing.routing.content import Content
from circuitcheck.drawing.table_sheets import Table
from circuitcheck.model.connector import Connector
from circuitcheck.record import record

MEASURED = "Lengths along the bundle, in figures; the drawing is not to scale."
ASSUMED = "Routes assumed from zones: not measured. Lengths are those of the wires."
THICKNESS = "Ø of a bundle: estimate, 1.25 · root of the sum of the wires' Ø squared."
FACES = "Connector faces as seen from the side where the wires go in, the catch up."
FACES_ASSUMED = "Rows of cavities are assumed: the number moulded beside a cavity counts."
FACES_NUMBERS = "The number moulded beside a cavity counts."
FACES_FAILING = "! and number: this wire fails, by the number of the finding."
FAILING = "Failing, by the number of the finding; wires at the longest of their branches:"
FAILING_ELSEWHERE = "Signs bear the number of what fails: see the sheet of failures."
_MOST_NAMED = 12
_MOST_SHARE = 0.3
"""A legend that takes more of a sheet's height gives its failures to a sheet of their own."""


@record
class Legends:
    """The legends of all sheets; `judged` is False where nothing was judged."""

    content: Content
    signs: Sequence[NumberedMark]
    judged: bool

    def drawing(self, paper: Paper, *, faces: bool) -> Legend:
        """Return the legend of the branches, with the words on faces where they stand there."""
        sentences = [ASSUMED if self.content.is_assumed else MEASURED, THICKNESS]
        if faces:
            sentences += self._of_faces()
        loose = self.content.loose()
        if loose:
            more = f" and {len(loose) - _MOST_NAMED} more" if len(loose) > _MOST_NAMED else ""
            sentences.append(f"In no branch: {', '.join(loose[:_MOST_NAMED])}{more}.")
        if not self.signs:
            state = "No failure in the checks run." if self.judged else "Not judged."
            return Legend((*sentences, state))
        if self.is_apart(paper):
            return Legend((*sentences, FAILING_ELSEWHERE))
        return Legend((*sentences, FAILING), tuple(self.signs))

    def faces(self) -> Legend:
        """Return the legend of sheets of faces alone."""
        return Legend(tuple(self._of_faces()))

    def _of_faces(self) -> list[str]:
        assumed = any(part.rows is None for part in self.content.harness.of_kind(Connector))
        sentences = [FACES, *([FACES_ASSUMED] if assumed else [FACES_NUMBERS])]
        return [*sentences, *([FACES_FAILING] if self.signs else [])]

    def is_apart(self, paper: Paper) -> bool:
        """Return whether what fails is told on a sheet of its own."""
        if paper.name == PHONE:
            return False
        whole = Legend((MEASURED, THICKNESS, FAILING), tuple(self.signs))
        return whole.height_mm(paper.frame.width / 3.0) > _MOST_SHARE * paper.frame.height

    def failures(self) -> Table:
        """Return the table of what fails."""
        found = sorted(
            (number, sign.subject, text)
            for sign in self.signs
            for number, text in zip(sign.numbers, sign.texts, strict=True)
        )
        rows = tuple((str(number), subject, text) for number, subject, text in found)
        return Table("What fails", ("number", "part or wire", "what fails"), rows)
