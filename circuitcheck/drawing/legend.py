"""The legend of a wiring diagram: how to read it, and what fails, by number."""

from __future__ import annotations

from collections.abc import Sequence

from circuitcheck.drawing.geometry import Lettering
from circuitcheck.drawing.marks import NumberedMark
from circuitcheck.drawing.position_values import PositionValues
from circuitcheck.drawing.text_size import shortened, wrapped
from circuitcheck.record import record

STEP_MM = 4.2
KEY = "Lines joined have a dot; lines that cross without a dot are not joined."
FAILING = "Failing, by the number of the finding; a sign bears the first of its part:"


@record
class Legend:
    """What is said beside the title block: plain sentences, then the signs."""

    sentences: tuple[str, ...]
    signs: tuple[NumberedMark, ...] = ()

    def lines(self, width_mm: float) -> tuple[tuple[str, int | None], ...]:
        """Return the lines of the legend, each with the number of its sign where one begins."""
        lines: list[tuple[str, int | None]] = []
        for sentence in self.sentences:
            lines += [(line, None) for line in wrapped(sentence, width_mm)]
        for sign in self.signs:
            for number, text in zip(sign.numbers, sign.texts, strict=True):
                said = wrapped(f"{shortened(sign.subject, 16)}: {text}", width_mm - 10.0)
                lines.append((said[0], number))
                lines += [(f"\t{line}", None) for line in said[1:]]
        return tuple(lines)

    def height_mm(self, width_mm: float) -> float:
        """Return how high the legend stands in this width. [mm]"""
        return len(self.lines(width_mm)) * STEP_MM + 5.0

    def drawn(self, left: float, top: float, width_mm: float) -> tuple[Lettering, ...]:
        """Return the lettering of the legend from this corner on."""
        x, y = left + 3.0, top + 4.5
        letterings: list[Lettering] = []
        for line, number in self.lines(width_mm):
            if number is not None:
                letterings.append(Lettering(x + 6.0, y, str(number), "end"))
            indent = 8.0 if number is not None or line.startswith("\t") else 0.0
            letterings.append(Lettering(x + indent, y, line.lstrip("\t")))
            y += STEP_MM
        return tuple(letterings)


LIVE = (
    "Heavy with an arrow: current flows that way. Heavy with a diamond: live, but no current. "
    "Thin: below 1 V and no current. At each end of a wire: its voltage against battery minus. "
    "Contacts are drawn as they stand, symbols alike whether live or not."
)


def legend_of_position(values: PositionValues, before: Sequence[str] = ()) -> Legend:
    """Return the legend of a sheet that shows one switch position."""
    return Legend((KEY, *before, values.said, LIVE))


def legend_of(signs: Sequence[NumberedMark], *, judged: bool, before: Sequence[str] = ()) -> Legend:
    """Return the legend of one sheet; `before` are sentences of its own that come first."""
    if signs:
        return Legend((KEY, *before, FAILING), tuple(signs))
    state = "No failure in the checks run." if judged else "Not judged: nothing is marked."
    return Legend((KEY, *before, state))
