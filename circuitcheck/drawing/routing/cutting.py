"""A drawing cut to the paper: what is too wide or too high goes on elsewhere, under a letter."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import count

from circuitcheck.drawing.routing.content import Content
from circuitcheck.drawing.routing.drawn import Strip
from circuitcheck.drawing.routing.placing import Leaving, Placing
from circuitcheck.drawing.routing.rows import Row
from circuitcheck.drawing.routing.tree import Node

_STUB_MM = 21.0
"""Room of the stub and circle where a branch is cut."""
_LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"


@dataclass(frozen=True)
class Frame:
    """The room for one strip, and the scale. [mm, mm per m]"""

    width: float
    height: float
    mm_per_m: float


def strips_of(roots: list[Node], content: Content, frame: Frame) -> list[Strip]:
    """Return the trees as strips that fit the frame, in order, cut where they have to be.

    A single branch wider than the frame stays whole.
    """
    letters = _letters()
    waiting = list(roots)
    strips = []
    while waiting:
        root = waiting.pop(0)
        placing = Placing(content, frame.mm_per_m)
        strip = placing.tree(root)
        cut = _cut(placing, strip, frame, letters)
        if cut is None:
            strips.append(strip)
        else:
            waiting[:0] = [root, cut]
    return strips


def _letters() -> Iterator[str]:
    for number in count():
        high, low = divmod(number, len(_LETTERS))
        yield (_LETTERS[high - 1] if high else "") + _LETTERS[low]


def _cut(placing: Placing, strip: Strip, frame: Frame, letters: Iterator[str]) -> Node | None:
    """Cut what stands out of the frame off its tree and return it; None where all fits."""
    box = strip.box
    if box.width > frame.width:
        for row in placing.rows:
            found = _beyond(row, box.left + frame.width)
            if found is not None:
                return _off(found, letters)
    if box.height > frame.height:
        outer = [row for row in placing.rows if row.leaves and not row.leaves[1][0].cut]
        if outer:
            return _off(max(outer, key=_weight).leaves, letters)
    return None


def _weight(row: Row) -> float:
    """Rank of rows to take out: the outermost one first."""
    return abs(row.y) + (row.below if row.y > 0.0 else row.above)


def _beyond(row: Row, right: float) -> Leaving | None:
    """Return the run at which a row that reaches too far is cut, the last that leaves room."""
    if row.ends[-1] <= right:
        return None
    for index in range(len(row.runs) - 1, 0, -1):
        node, place = row.nodes[index], row.places[index]
        if node is None or place is None or node.runs[-1][0].cut or node.mark:
            continue
        if node.runs[-1][0].branch is not None and row.start(index) + _STUB_MM <= right:
            return node, node.runs[-1]
    if row.leaves and not row.leaves[1][0].cut:
        return row.leaves
    return None


def _off(leaving: Leaving | None, letters: Iterator[str]) -> Node | None:
    """Put a stub in place of a run and return the rest as a tree of its own."""
    if leaving is None:
        return None
    node, pair = leaving
    run, after = pair
    letter = next(letters)
    stub = (replace(run, cut=True, weight_m=0.0), Node(f"{node.place} at {letter}", mark=letter))
    node.runs[node.runs.index(pair)] = stub
    return Node(node.place, [(run, after)], mark=letter)
