"""Gaps between layers: which track each upright line takes, so that none lies on another.

All lines at one place of a node share one upright; it has one end on the node's side of the gap
and one for each lane on the other. Order of tracks after Sander's method for orthogonal edges
(as in layered drawing): uprights that would share a height are put in the order that keeps their
level pieces apart; otherwise the order with fewer crossings is taken.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from circuitcheck.drawing.layout.lanes import Hop, Slot
from circuitcheck.record import record

NEAR_MM = 1.2
"""Two level lines closer than this are taken for one."""
TRACK_MM = 2.5


@dataclass(eq=False)
class Upright:
    """One upright line: heights where lines come in from the left and go out to the right."""

    key: tuple[str, int]
    hops: tuple[Hop, ...]
    left: list[float]
    right: list[float]
    track: int = 0
    comes_after: Upright | None = None

    @property
    def top(self) -> float:
        """Upper end."""
        return min(*self.left, *self.right)

    @property
    def bottom(self) -> float:
        """Lower end."""
        return max(*self.left, *self.right)


@record
class Gap:
    """Uprights of one gap, each with its track counted from the left, and how many tracks."""

    uprights: tuple[Upright, ...]
    tracks: int
    straight: tuple[Hop, ...] = field(default=())


def route_gap(hops: Sequence[Hop]) -> Gap:
    """Return the uprights of one gap with their tracks; rows of the slots must be set."""
    uprights, straight = _uprights(hops)
    heights = sorted(
        {y for u in uprights for y in (*u.left, *u.right)} | {hop.left.row for hop in straight}
    )
    uprights = _part_swapped(uprights, heights)
    order = _fewest_crossings(_possible_order(uprights))
    tracks = _pack(order)
    return Gap(tuple(order), tracks, tuple(straight))


def _uprights(hops: Sequence[Hop]) -> tuple[list[Upright], list[Hop]]:
    shared: dict[tuple[str, int], list[Hop]] = {}
    for hop in hops:
        shared.setdefault(_shared_end(hop), []).append(hop)
    uprights, straight = [], []
    for key, joined in shared.items():
        lefts = list(dict.fromkeys(hop.left.row for hop in joined))
        rights = list(dict.fromkeys(hop.right.row for hop in joined))
        if len(joined) == 1 and lefts == rights:
            straight.append(joined[0])
        else:
            uprights.append(Upright(key, tuple(joined), lefts, rights))
    return uprights, straight


def _shared_end(hop: Hop) -> tuple[str, int]:
    """Lines meet at the node's end of a hop, never at a lane's."""
    if hop.left.node is not None:
        return "left", hop.left.number
    return "right", hop.right.number


def slot_at(upright: Upright) -> Slot:
    """Return the slot at which all lines of the upright meet."""
    side, _ = upright.key
    return upright.hops[0].left if side == "left" else upright.hops[0].right


def _must_precede(first: Upright, second: Upright) -> bool:
    """A left end of the first lies at the height of a right end of the second."""
    if first.key == second.key:
        return second.comes_after is first
    return any(abs(a - b) < NEAR_MM for a in first.left for b in second.right)


def _part_swapped(uprights: list[Upright], heights: Sequence[float]) -> list[Upright]:
    """Where two lines change places one gets a second upright, on the side of its node.

    The first upright keeps the lanes; the second leads to the node at a height between.
    """
    taken = list(heights)
    parted = list(uprights)
    doubled: set[tuple[str, int]] = set()
    while True:
        ring = _ring(parted)
        if ring is None:
            return parted
        chosen = next((u for u in reversed(ring) if u.key not in doubled), ring[-1])
        doubled.add(chosen.key)
        between = _free_height(taken, chosen)
        taken.append(between)
        second = Upright(chosen.key, chosen.hops, [between], list(chosen.right))
        if chosen.key[0] == "left":
            second.left, second.right = chosen.left, [between]
            chosen.left, chosen.comes_after = [between], second
        else:
            chosen.right, second.comes_after = [between], chosen
        parted.append(second)


def _ring(uprights: Sequence[Upright]) -> list[Upright] | None:
    """Return the uprights that cannot be put in order, or None."""
    left = list(uprights)
    while left:
        free = [u for u in left if not any(v is not u and _must_precede(v, u) for v in left)]
        if not free:
            return left
        left = [u for u in left if u not in free]
    return None


def _free_height(taken: Sequence[float], upright: Upright) -> float:
    """Return a height well away from all others, as near as possible to the upright."""
    ordered = sorted(taken)
    middle = (upright.top + upright.bottom) / 2.0
    candidates = [ordered[0] - 2 * NEAR_MM, ordered[-1] + 2 * NEAR_MM]
    candidates += [(a + b) / 2.0 for a, b in pairwise(ordered) if b - a >= 2 * NEAR_MM]
    return min(candidates, key=lambda y: (abs(y - middle), y))


def _possible_order(uprights: Sequence[Upright]) -> list[Upright]:
    order: list[Upright] = []
    left = sorted(uprights, key=lambda u: (u.top, u.bottom))
    while left:
        free = next(u for u in left if not any(v is not u and _must_precede(v, u) for v in left))
        order.append(free)
        left.remove(free)
    return order


def _crossings(first: Upright, second: Upright) -> int:
    """Crossings of two uprights when the first stands left of the second."""
    count = sum(first.top < y < first.bottom for y in second.left)
    return count + sum(second.top < y < second.bottom for y in first.right)


def _fewest_crossings(order: list[Upright]) -> list[Upright]:
    for _ in range(len(order) + 1):
        changed = False
        for at in range(len(order) - 1):
            first, second = order[at], order[at + 1]
            if _must_precede(first, second):
                continue
            if _crossings(second, first) < _crossings(first, second):
                order[at], order[at + 1] = second, first
                changed = True
        if not changed:
            break
    return order


def _pack(order: Sequence[Upright]) -> int:
    """Number the tracks; uprights that do not concern each other may share one."""
    for at, upright in enumerate(order):
        before = [
            other.track + 1
            for other in order[:at]
            if _must_precede(other, upright)
            or (other.top - NEAR_MM < upright.bottom and upright.top - NEAR_MM < other.bottom)
        ]
        upright.track = max(before, default=0)
    return max((upright.track + 1 for upright in order), default=0)
