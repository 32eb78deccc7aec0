"""The sheet: its size, frame, title block and the legend of what fails.

Sizes are the A series of ISO 216 in landscape; the title block is 180 mm wide and sits at the
lower right, as ISO 7200 and ISO 5457 have it. The legend stands beside it, in the margin.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from circuitcheck.drawing.geometry import HEAVY_MM, LINE_MM, Box, Lettering, Stroke
from circuitcheck.drawing.layout.page import Drawn, Page
from circuitcheck.drawing.marks import NumberedMark
from circuitcheck.drawing.text_size import HEADING_MM, fitted, printable, shortened, wrapped
from circuitcheck.model.harness import Harness

SIZES_MM = (
    ("A4", 297.0, 210.0),
    ("A3", 420.0, 297.0),
    ("A2", 594.0, 420.0),
    ("A1", 841.0, 594.0),
    ("A0", 1189.0, 841.0),
)
MARGIN_MM = 10.0
PAD_MM = 2.0
BLOCK_WIDE_MM = 180.0
BLOCK_HIGH_MM = 33.0
_STEP_MM = 4.2
KEY = "Lines joined have a dot; lines that cross without a dot are not joined."
FAILING = "Failing, by the number of the finding; a sign bears the first of its part:"
CAUTION = (
    "Drawn from the file, switches at rest. It does not show that the circuit is safe. "
    "Disconnect the battery before work on any wire."
)


@dataclass(frozen=True)
class Sheet:
    """One size of paper and the height of the strip for title block and legend."""

    name: str
    width: float
    height: float
    strip: float
    legend: tuple[tuple[str, int | None], ...]

    @property
    def inner(self) -> Box:
        """The frame."""
        return Box(MARGIN_MM, MARGIN_MM, self.width - MARGIN_MM, self.height - MARGIN_MM)

    @property
    def area(self) -> Box:
        """Where the diagram may stand."""
        inner = self.inner
        return Box(
            inner.left + PAD_MM,
            inner.top + PAD_MM,
            inner.right - PAD_MM,
            inner.bottom - self.strip - PAD_MM,
        )


def sheet_for(content: Box, signs: Sequence[NumberedMark], judged: bool) -> Sheet:
    """Return the smallest sheet that holds a diagram of this size with its margin."""
    for name, width, height in SIZES_MM:
        sheet = _sheet(name, width, height, signs, judged)
        if content.width <= sheet.area.width and content.height <= sheet.area.height:
            return sheet
    trial = _sheet("special size", SIZES_MM[-1][1], SIZES_MM[-1][2], signs, judged)
    width = max(trial.width, content.width + trial.width - trial.area.width)
    height = max(trial.height, content.height + trial.height - trial.area.height)
    width, height = math.ceil(width / 10) * 10, math.ceil(height / 10) * 10
    return _sheet("special size", width, height, signs, judged)


def _sheet(
    name: str, width: float, height: float, signs: Sequence[NumberedMark], judged: bool
) -> Sheet:
    legend = _legend(width - 2 * MARGIN_MM - BLOCK_WIDE_MM - 6.0, signs, judged)
    return Sheet(name, width, height, max(BLOCK_HIGH_MM, len(legend) * _STEP_MM + 5.0), legend)


def _legend(
    width: float, signs: Sequence[NumberedMark], judged: bool
) -> tuple[tuple[str, int | None], ...]:
    """Return the lines of the legend, each with the number of its sign where one begins."""
    lines: list[tuple[str, int | None]] = [(line, None) for line in wrapped(KEY, width)]
    if signs:
        lines += [(line, None) for line in wrapped(FAILING, width)]
    else:
        state = "No failure in the checks run." if judged else "Not judged: nothing is marked."
        lines += [(line, None) for line in wrapped(state, width)]
    for sign in signs:
        for number, text in zip(sign.numbers, sign.texts, strict=True):
            said = wrapped(f"{shortened(sign.subject, 16)}: {text}", width - 10.0)
            lines.append((said[0], number))
            lines += [(f"\t{line}", None) for line in said[1:]]
    return tuple(lines)


def page_of(drawn: Drawn, harness: Harness, signs: Sequence[NumberedMark], judged: bool) -> Page:
    """Set the diagram in the middle of its area and fill in the margin."""
    sheet = sheet_for(drawn.box, signs, judged)
    content, area = drawn.box, sheet.area
    placed = drawn.moved(
        area.left - content.left + (area.width - content.width) / 2.0,
        area.top - content.top + (area.height - content.height) / 2.0,
    )
    strokes, letterings = _title_block(sheet, harness)
    legend_strokes, legend_letterings = _legend_drawn(sheet)
    frame = _rectangle(sheet.inner, HEAVY_MM)
    return Page(
        sheet.width,
        sheet.height,
        sheet.name,
        area,
        placed.lines,
        placed.dots,
        placed.figures,
        placed.outlines,
        placed.loops,
        (frame, *strokes, *legend_strokes),
        (*letterings, *legend_letterings),
        printable(harness.circuit),
    )


def _rectangle(box: Box, width_mm: float) -> Stroke:
    corners = (
        (box.left, box.top),
        (box.right, box.top),
        (box.right, box.bottom),
        (box.left, box.bottom),
    )
    return Stroke(corners, width_mm, closed=True)


def _title_block(sheet: Sheet, harness: Harness) -> tuple[list[Stroke], list[Lettering]]:
    inner = sheet.inner
    left, top = inner.right - BLOCK_WIDE_MM, inner.bottom - BLOCK_HIGH_MM
    strokes = [_rectangle(Box(left, top, inner.right, inner.bottom), HEAVY_MM)]
    strokes += [
        Stroke(((left, y), (inner.right, y)), LINE_MM) for y in (top + 9.5, top + 16.0, top + 22.5)
    ]
    first, second = left + 90.0, left + 135.0
    strokes += [Stroke(((x, top + 9.5), (x, top + 22.5)), LINE_MM) for x in (first, second)]
    system = f"{harness.system_v:g} V DC"
    cells = (
        (left, 14.2, "File", shortened(harness.file.replace("\\", "/").split("/")[-1], 32)),
        (first, 14.2, "Revision", shortened(harness.revision or "–", 10)),
        (second, 14.2, "System", system),
        (left, 20.7, "Author", shortened(harness.author or "–", 28)),
        (first, 20.7, "Size", sheet.name),
        (second, 20.7, "Sheet", "1 of 1"),
    )
    title = fitted(harness.circuit, BLOCK_WIDE_MM - 5.0, HEADING_MM)
    letterings = [Lettering(left + 2.5, top + 6.8, title, "start", HEADING_MM)]
    letterings += [Lettering(x + 2.5, top + y, f"{label}: {value}") for x, y, label, value in cells]
    letterings += [
        Lettering(left + 2.5, top + 26.6 + index * 4.0, line)
        for index, line in enumerate(wrapped(CAUTION, BLOCK_WIDE_MM - 5.0)[:2])
    ]
    return strokes, letterings


def _legend_drawn(sheet: Sheet) -> tuple[list[Stroke], list[Lettering]]:
    inner = sheet.inner
    x, y = inner.left + 3.0, inner.bottom - sheet.strip + 4.5
    strokes = [
        Stroke(
            ((inner.left, inner.bottom - sheet.strip), (inner.right, inner.bottom - sheet.strip)),
            LINE_MM,
        )
    ]
    letterings: list[Lettering] = []
    for line, number in sheet.legend:
        if number is not None:
            letterings.append(Lettering(x + 6.0, y, str(number), "end"))
        indent = 8.0 if number is not None or line.startswith("\t") else 0.0
        letterings.append(Lettering(x + indent, y, line.lstrip("\t")))
        y += _STEP_MM
    return strokes, letterings
