"""The title block: what is drawn, of which file and revision, which sheet, and the caution.

It sits in the lower right corner, at most 180 mm wide, as ISO 7200 and ISO 5457 have it.
"""

from __future__ import annotations

from circuitcheck.drawing.geometry import HEAVY_MM, LINE_MM, Box, Lettering, Stroke
from circuitcheck.drawing.paper import PHONE, Paper, outline_of
from circuitcheck.drawing.text_size import (
    HEADING_MM,
    TEXT_MM,
    fitted,
    shortened,
    text_width_mm,
    wrapped,
)
from circuitcheck.model.harness import Harness
from circuitcheck.record import record

BLOCK_WIDE_MM = 180.0
_HEAD_MM, _ROW_MM, _LINE_MM, _PAD_MM = 9.5, 6.5, 4.0, 2.5
DISCONNECT = "Disconnect the battery before work on any wire."


@record
class TitleBlock:
    """What stands in the title block of one sheet.

    `date` is the drawing's, as given; nothing puts today's there, so that the same file gives the
    same bytes. `caution` may take several lines.
    """

    heading: str
    drawing: str
    file: str = ""
    revision: str = ""
    date: str = ""
    author: str = ""
    system: str = ""
    sheet: int = 1
    sheets: int = 1
    caution: str = DISCONNECT

    def height_mm(self, paper: Paper) -> float:
        """Return how high the block is on this paper. [mm]"""
        lines = len(wrapped(self.caution, _wide(paper) - 2 * _PAD_MM))
        return _HEAD_MM + 2 * _ROW_MM + lines * _LINE_MM + 2.5

    def box(self, paper: Paper) -> Box:
        """Return where the block stands on this paper."""
        frame = paper.frame
        top = frame.bottom - self.height_mm(paper)
        return Box(frame.right - _wide(paper), top, frame.right, frame.bottom)

    def drawn(self, paper: Paper) -> tuple[tuple[Stroke, ...], tuple[Lettering, ...]]:
        """Return strokes and lettering of the block on this paper."""
        box = self.box(paper)
        rows = [box.top + _HEAD_MM + k * _ROW_MM for k in range(3)]
        columns = [box.left, box.left + 0.5 * box.width, box.left + 0.75 * box.width, box.right]
        strokes = [outline_of(box, HEAVY_MM)]
        strokes += [Stroke(((box.left, y), (box.right, y)), LINE_MM) for y in rows]
        strokes += [Stroke(((x, rows[0]), (x, rows[2])), LINE_MM) for x in columns[1:3]]
        kind = Lettering(box.right - _PAD_MM, box.top + 6.4, self.drawing, "end")
        room = kind.box.left - box.left - 2 * _PAD_MM
        title = fitted(self.heading, room, HEADING_MM)
        letterings = [Lettering(box.left + _PAD_MM, box.top + 6.8, title, "start", HEADING_MM)]
        letterings.append(kind)
        cells = (
            ("File", self.file.replace("\\", "/").split("/")[-1], 0, 0),
            ("Revision", self.revision, 0, 1),
            ("Date", self.date, 0, 2),
            ("Author", self.author, 1, 0),
            ("System", self.system, 1, 1),
            (_SHEET, _counted(self.sheet, self.sheets), 1, 2),
        )
        for label, value, row, column in cells:
            wide = columns[column + 1] - columns[column] - 2 * _PAD_MM
            said = fitted(value or "–", wide - text_width_mm(f"{label}: "))
            x, y = columns[column] + _PAD_MM, rows[row] + 2.0 + TEXT_MM
            letterings.append(Lettering(x, y, f"{label}: {said}"))
        for at, line in enumerate(wrapped(self.caution, _wide(paper) - 2 * _PAD_MM)):
            y = rows[2] + 1.6 + TEXT_MM + at * _LINE_MM
            letterings.append(Lettering(box.left + _PAD_MM, y, line))
        if paper.name != PHONE:
            foot = box.bottom + 1.2 + TEXT_MM
            letterings.append(Lettering(box.right, foot, paper.name, "end"))
        return tuple(strokes), tuple(letterings)


_SHEET = "Sheet"


def _counted(sheet: int, sheets: int) -> str:
    return f"{sheet} of {sheets}"


def sheet_words(sheet: int, sheets: int) -> str:
    """Return what a title block writes of its sheet's number: `Sheet: 1 of 2`."""
    return f"{_SHEET}: {_counted(sheet, sheets)}"


def title_block_of(
    harness: Harness, drawing: str, *, date: str = "", caution: str = DISCONNECT
) -> TitleBlock:
    """Return the title block of a harness; `drawing` says what the sheet shows.

    The date is that of the harness file, unless another one is given.
    """
    return TitleBlock(
        heading=harness.circuit,
        drawing=shortened(drawing, 40),
        file=harness.file,
        revision=harness.revision,
        date=date or harness.date,
        author=harness.author,
        system=f"{harness.system_v:g} V DC",
        caution=caution,
    )


def _wide(paper: Paper) -> float:
    return min(BLOCK_WIDE_MM, paper.frame.width)
