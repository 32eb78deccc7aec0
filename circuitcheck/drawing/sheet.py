"""What is put on paper: sheets of strokes and lettering, and the names of the files they go to.

Every drawing ends here, whatever it shows: the wiring diagram, the routing drawing, the printed
lists. `render.py` turns sheets into SVG, PDF or PNG.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from circuitcheck.drawing.geometry import Lettering, Stroke
from circuitcheck.record import record

SUFFIXES = (".svg", ".pdf", ".png")


@record
class Item:
    """Strokes and lettering that belong to one thing, painted in this order.

    `title` is said by a screen reader and comes up under the pointer.
    """

    strokes: tuple[Stroke, ...] = ()
    letterings: tuple[Lettering, ...] = ()
    title: str = ""


@record
class Sheet:
    """One sheet of paper, or one screen: items painted one over the other, in millimetres."""

    width_mm: float
    height_mm: float
    items: tuple[Item, ...]
    title: str = ""

    @property
    def letterings(self) -> tuple[Lettering, ...]:
        """All lettering of the sheet, in the order it is painted."""
        return tuple(text for item in self.items for text in item.letterings)


def suffix_of(path: Path) -> str:
    """Return the ending that says how to draw; raises ValueError for another one."""
    suffix = path.suffix.lower()
    if suffix not in SUFFIXES:
        raise ValueError(f"{path.name}: a drawing ends in {', '.join(SUFFIXES)}")
    return suffix


def files_for(path: Path, sheets: Sequence[Sheet]) -> tuple[tuple[Path, tuple[Sheet, ...]], ...]:
    """Return each file with the sheets that go into it.

    A PDF takes all sheets, one page each. SVG and PNG take one: several sheets go to `NAME-1.svg`,
    `NAME-2.svg` and so on, with as many digits as the last one has. Raises ValueError for another
    ending and for no sheet.
    """
    if not sheets:
        raise ValueError(f"{path.name}: no sheet to draw")
    if suffix_of(path) == ".pdf" or len(sheets) == 1:
        return ((path, tuple(sheets)),)
    digits = len(str(len(sheets)))
    return tuple(
        (path.with_name(f"{path.stem}-{number:0{digits}}{path.suffix}"), (sheet,))
        for number, sheet in enumerate(sheets, start=1)
    )
