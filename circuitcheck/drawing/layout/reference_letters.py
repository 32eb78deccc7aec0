"""Which letter each reference bears."""

from __future__ import annotations

from collections.abc import Sequence

from circuitcheck.drawing.layout.cutting import Section
from circuitcheck.drawing.layout.lanes import Lanes
from circuitcheck.drawing.layout.references import letters


def letter(sections: Sequence[Section], widest: str, lanes: Sequence[Lanes] = ()) -> None:
    """Give the two references of each wire one letter, sheet by sheet, from top to bottom.

    `widest` holds the room for the place at which the line goes on, until that is known. Without
    `lanes`, in which rows are set, letters come in the order of the file.
    """
    row_of = {id(slot.node): slot.row for one in lanes for layer in one.layers for slot in layer}
    ends: dict[int, str] = {}
    fresh = letters()
    for section in sections:
        met = (*section.leaving.items(), *section.entering.items())
        for number, node in sorted(met, key=lambda pair: row_of.get(id(pair[1]), 0.0)):
            if number not in ends:
                ends[number] = next(fresh)
            node.reference, node.goes_on = ends[number], widest
