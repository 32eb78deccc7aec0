"""Which lines run straight: strings of slots that lie at one height, from layer to layer."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence

from circuitcheck.drawing.layout.lanes import Hop, Slot

Key = tuple[int, int]
"""A hop, by the numbers of the slots at its left and right."""
Layers = Sequence[Sequence[Slot]]
_METAL, _INNER, _ALONE, BRANCH = range(4)


def key_of(hop: Hop) -> Key:
    """Return the numbers of the two slots of a hop."""
    return hop.left.number, hop.right.number


def straight_blocks(
    layers: Layers, by_importance: Sequence[Sequence[Key]], bent: frozenset[Key]
) -> dict[int, int]:
    """Return the block of each slot: slots that straight lines join, from layer to layer.

    Of each slot one line may run straight to either side, and no two straight lines of a gap
    cross. Such strings of slots never lie over and under one another in a ring, so every order
    from top to bottom stays possible.
    """
    place = {slot.number: at for layer in layers for at, slot in enumerate(layer)}
    block = {number: number for number in place}
    for gap in by_importance:
        straight: list[tuple[int, int]] = []
        for key in gap:
            if key in bent:
                continue
            ends = place[key[0]], place[key[1]]
            at = bisect_left(straight, ends)
            if _leaves_order(ends, straight, at):
                straight.insert(at, ends)
                block[key[1]] = block[key[0]]
    return block


def _leaves_order(ends: tuple[int, int], straight: Sequence[tuple[int, int]], at: int) -> bool:
    """Return whether a line neither crosses its neighbours nor starts or ends where they do.

    It would be number `at` of the straight lines of its gap, which are in order.
    """
    if at:
        left, right = straight[at - 1]
        if left >= ends[0] or right >= ends[1]:
            return False
    if at < len(straight):
        left, right = straight[at]
        return left > ends[0] and right > ends[1]
    return True


def importance(hop: Hop) -> tuple[int, int, int, int]:
    """Metal and inner pieces of long lines first, then lone lines, branches last."""
    inner = hop.left.node is None and hop.right.node is None
    branches = max(len(hop.left.after), len(hop.right.before))
    if hop.edge.metal:
        kind = _METAL
    elif inner:
        kind = _INNER
    else:
        kind = _ALONE if branches == 1 else BRANCH
    place = _branch_place(hop)
    return kind, branches, place, hop.edge.number


def _branch_place(hop: Hop) -> int:
    """Of several branches the middle one goes straight on."""
    if len(hop.left.after) > 1:
        near, own = sorted(hop.left.after, key=lambda s: s.number), hop.right
    else:
        near, own = sorted(hop.right.before, key=lambda s: s.number), hop.left
    return abs(2 * near.index(own) - len(near) + 1)
