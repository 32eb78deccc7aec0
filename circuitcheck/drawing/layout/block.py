"""What stands in one column and is drawn as one: a handle, a connector, a relay, two windings."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise

from circuitcheck.drawing.geometry import CONDUCTOR_MM, Box, Figure, Lettering, Stroke
from circuitcheck.drawing.layout.graph import Node
from circuitcheck.drawing.layout.heading import heading, heading_above, heading_width
from circuitcheck.drawing.layout.lanes import Slot
from circuitcheck.drawing.layout.page import Outline
from circuitcheck.drawing.marks import Notes
from circuitcheck.drawing.text_size import text_width_mm

TITLE_RISE_MM = 1.2
NOTE_STEP_MM = 3.8


class Block:
    """The slots of one part in one column, about x = 0.

    The slots come in their order from top to bottom. `left` and `right` are the sides of its
    outline, `margins` how far that stands off from the room of the first and the last row. Rows
    are set before anything is drawn.
    """

    left: float
    right: float
    title_at = "start"
    margins = (1.0, 1.0)

    def __init__(self, slots: Sequence[Slot], title: str, notes: Notes):
        self.slots = list(slots)
        self.title = title
        self.notes = notes
        self.owner = self.nodes[0].family
        self.shape()

    def shape(self) -> None:
        """Work out `left` and `right` and what else does not hang on the rows."""
        raise NotImplementedError

    def room(self, node: Node) -> tuple[float, float]:
        """Return the room above and below the row of one node. [mm]"""
        raise NotImplementedError

    def figures(self) -> list[Figure]:
        """Return what is drawn, at x = 0 and on the rows of the slots."""
        raise NotImplementedError

    def outline_box(self) -> Box:
        """Return the outline at x = 0 round the rows of the slots and their room."""
        first, last = self.slots[0], self.slots[-1]
        top, bottom = self.margins
        above, below = self.room(self.nodes[0])[0], self.room(self.nodes[-1])[1]
        return Box(self.left, first.row - above - top, self.right, last.row + below + bottom)

    def below_outline(self) -> list[str]:
        """Return the lines that stand under the outline."""
        return []

    @property
    def nodes(self) -> list[Node]:
        """Its nodes in the order of the slots."""
        return [slot.node for slot in self.slots if slot.node is not None]

    @property
    def pads(self) -> tuple[float, float]:
        """Room above the first row's own and below the last one's. [mm]"""
        rise = heading_above(self.owner, self.notes) + TITLE_RISE_MM
        below = len(self.below_outline()) * NOTE_STEP_MM
        return self.margins[0] + rise, self.margins[1] + below + 0.6

    @property
    def reach(self) -> tuple[float, float]:
        """Room left and right of the middle. [mm]"""
        wide = heading_width(self.owner, self.title, self.notes)
        wide = max([wide, *(text_width_mm(said) for said in self.below_outline())])
        if self.title_at == "middle":
            return max(-self.left, wide / 2.0), max(self.right, wide / 2.0)
        return -self.left, max(self.right, self.left + wide)

    def ports(self, node: Node) -> tuple[float, float]:
        """Return where conductors meet the block to the left and right of one node."""
        return self.left, self.right

    def row_of(self) -> Mapping[int, float]:
        """Return the rows by node."""
        return {slot.node.number: slot.row for slot in self.slots if slot.node is not None}

    def outline(self) -> Outline | None:
        """Return the outline with its title, at x = 0; None where none is drawn."""
        box = self.outline_box()
        at = box.left if self.title_at == "start" else (box.left + box.right) / 2.0
        signs, names = heading(
            self.owner, self.title, at, box.top - TITLE_RISE_MM, self.notes, self.title_at
        )
        names += [
            Lettering(box.left, box.bottom + 3.6 + index * NOTE_STEP_MM, said)
            for index, said in enumerate(self.below_outline())
        ]
        return Outline(self.owner, box, tuple(signs), tuple(names))


def lead(x: float, *ends: tuple[float, float]) -> list[Stroke]:
    """Return a conductor from point to point; `x` shifts it."""
    return [Stroke(((x + a[0], a[1]), (x + b[0], b[1])), CONDUCTOR_MM) for a, b in pairwise(ends)]
