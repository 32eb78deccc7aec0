"""A drawing cut to the paper: what is too wide or too high goes on elsewhere, under a letter."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import cached_property
from itertools import count

from circuitcheck.drawing.routing.followed import FollowedRows, Leaving, Looks
from circuitcheck.drawing.routing.placing import Placing
from circuitcheck.drawing.routing.rows import CLEAR_MM, Row
from circuitcheck.drawing.routing.tree import Node, trees_of
from circuitcheck.record import record

_STUB_MM = 27.0
"""Room of the stub and circle where a branch is cut."""
_LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"


@record
class Frame:
    """The room for one strip, and the scale. [mm, mm per m]"""

    width: float
    height: float
    mm_per_m: float


@record
class Cut:
    """The trees as pieces that fit a frame, in order, each set; drawn only when asked for.

    `is_whole` where nothing had to be cut.
    """

    pieces: tuple[Placing, ...]
    is_whole: bool

    @cached_property
    def highest_mm(self) -> float:
        """Height of the tallest piece."""
        return max((piece.room.height for piece in self.pieces), default=0.0)


class Cuts:
    """Trees cut to frames, each kept: a lower frame often asks for the same cuts."""

    def __init__(self, looks: Looks):
        self.looks = looks
        self._made: list[tuple[Frame, Cut]] = []

    def to(self, frame: Frame) -> Cut:
        """Return the branches cut to a frame. A single branch wider than it stays whole."""
        for other, cut in self._made:
            # Height was met everywhere, so that no cut was made for it that this one lacks.
            alike = other.width == frame.width and other.mm_per_m == frame.mm_per_m
            if alike and cut.highest_mm <= frame.height <= other.height:
                return cut
        self._made.append((frame, _cut_to(self._trees(), self.looks, frame)))
        return self._made[-1][1]

    def least_mm2(self, mm_per_m: float) -> float:
        """Return what all rows take before anything is cut, without what is free between them."""
        followed, total = FollowedRows(self.looks, mm_per_m), 0.0
        for root in self._trees():
            placing = Placing(followed)
            placing.set(root)
            total += sum(row.box.width * row.box.height for row in placing.rows)
        return total

    def _trees(self) -> list[Node]:
        content = self.looks.content
        return trees_of(content.harness, content.branches, content.ways)


def _cut_to(roots: list[Node], looks: Looks, frame: Frame) -> Cut:
    letters, followed = _letters(), FollowedRows(looks, frame.mm_per_m)
    waiting = [(root, True) for root in reversed(roots)]
    pieces = []
    while waiting:
        root, may_be_wide = waiting.pop()
        leaving = _too_wide(followed, root, frame.width) if may_be_wide else []
        # What is cut for its height grows no wider: a stub is never cut again.
        is_narrow = not leaving
        if is_narrow:
            placing = Placing(followed)
            placing.set(root)
            leaving = _too_high(placing, frame.height)
        if not leaving:
            pieces.append(placing)
            continue
        cut = []
        for one in leaving:
            cut.append(_off(one, letters))
            followed.forget(one[0])
        waiting += [*((tree, True) for tree in reversed(cut)), (root, not is_narrow)]
    return Cut(tuple(pieces), len(pieces) == len(roots))


def _letters() -> Iterator[str]:
    for number in count():
        high, low = divmod(number, len(_LETTERS))
        yield (_LETTERS[high - 1] if high else "") + _LETTERS[low]


def _too_wide(followed: FollowedRows, root: Node, width: float) -> list[Leaving]:
    """Return the runs at which what reaches too far is cut off; heights need not be known."""
    found: list[Leaving] = []
    gone: set[int] = set()

    def along(row: Row, x: float, side: bool | None) -> None:
        row.measure(x, followed.mm_per_m)
        leaving = _beyond(row, width - CLEAR_MM)
        if leaving is not None:
            found.append(leaving)
            gone.update(_below(leaving[1][1]))
        for other, start, _, turned in followed.sides(row, side, gone):
            along(other, start, turned)

    along(followed.first(root), 0.0, None)
    return found


def _too_high(placing: Placing, height: float) -> list[Leaving]:
    """Return the run at which the outermost row is cut off where a tree is too high, or half."""
    if placing.room.height <= height:
        return []
    outer = [row for row in placing.rows if row.leaves and not row.leaves[1][0].cut]
    if outer:
        leaves = max(outer, key=_weight).leaves
        return [leaves] if leaves else []
    half = _halfway(placing.rows[0])
    return [half] if half else []


def _halfway(row: Row) -> Leaving | None:
    """Return the run nearest the middle of a row at which it can be cut."""
    found = [
        (abs(index - len(row.runs) / 2.0), index, node)
        for index, node in enumerate(row.nodes)
        if index and node is not None and node.runs and not node.runs[-1][0].cut
    ]
    if not found:
        return None
    node = min(found, key=lambda one: one[:2])[2]
    return node, node.runs[-1]


def _below(root: Node) -> set[int]:
    """Return the places of a tree, by identity."""
    every = [root]
    for node in every:
        every += [after for _, after in node.runs]
    return {id(node) for node in every}


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
        if index > 1 and row.runs[index - 1].run.branch is None:
            continue  # Rather between the halves of the connector: that takes no letter.
        stub_mm = 0.0 if node.runs[-1][0].branch is None else _STUB_MM
        if row.start(index) + stub_mm <= right:
            return node, node.runs[-1]
    if row.leaves and not row.leaves[1][0].cut:
        return row.leaves
    return None


def _off(leaving: Leaving, letters: Iterator[str]) -> Node:
    """Put a stub in place of a run and return the rest as a tree of its own.

    The halves of a connector are parted without one: their names lead on.
    """
    node, pair = leaving
    run, after = pair
    if run.branch is None:
        node.runs.remove(pair)
        return after
    letter = next(letters)
    stub = (replace(run, cut=True, weight_m=0.0), Node(f"{node.place} at {letter}", mark=letter))
    node.runs[node.runs.index(pair)] = stub
    return Node(node.place, [(run, after)], mark=letter)
