"""Rows: how far down each slot lies, so that nothing in a layer overlaps and lines run straight.

Slots that one straight line can join are put in one block at one height; a block is only made
where it leaves every order from top to bottom possible. Then blocks are set as high as they go
and moved toward their neighbours within the room they have.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Mapping, Sequence
from itertools import combinations, pairwise

from circuitcheck.drawing.layout.lanes import GROUNDS, Hop, Lanes, Slot
from circuitcheck.record import record

GRID_MM = 1.25
"""Half the module of IEC 60617; every row lies on it, so that two rows are one or clearly apart."""
CLEARANCE_MM = 0.9
_PULLS = 12
_BEND_MM = 6.0
_STEP_MM = 6.0
_SMALL_STEP_MM = 10.0
_STEPS_TRIED = 12
_METAL_WEIGHT = 3
_BUNDLE_WEIGHT = 2
_GROUND_WEIGHT = 0.5
_METAL, _INNER, _ALONE, _BRANCH = range(4)

_Key = tuple[int, int]

Pads = Mapping[str, tuple[float, float]]
"""Room that the outline of a group needs above and below its slots. [mm]"""
Layers = Sequence[Sequence[Slot]]


@record
class _Below:
    """Slot block `lower` lies at least `apart` below block `upper`."""

    upper: int
    lower: int
    apart: float


def set_rows(lanes: Lanes, pads: Pads) -> float:
    """Give every slot its row, and return how ill it reads, in millimetres of line.

    The topmost box of the drawing starts at 0.

    Tried with and without a branch of each joint running straight on, with and without wires
    running straight into studs; then small steps are taken out one by one while that helps.
    """
    settling = Settling(lanes, pads)
    hops = settling.hops
    branches = frozenset(_key(hop) for hop in hops if _importance(hop)[0] == _BRANCH)
    at_studs = settling.at_studs
    tries = (frozenset[_Key](), branches, at_studs, branches | at_studs)
    settled = [(settling.rows(lanes.layers, bent), bent) for bent in tries]
    (cost, rows), bent = min(settled, key=lambda pair: pair[0][0])
    steps = sorted(
        (h for h in hops if _key(h) in bent and 0 < _rise(h, rows) < _STEP_MM),
        key=lambda h: (_rise(h, rows), h.edge.number),
    )
    for hop in steps[:_STEPS_TRIED]:
        other_cost, other = settling.rows(lanes.layers, bent - {_key(hop)})
        if other_cost < cost:
            cost, rows, bent = other_cost, other, bent - {_key(hop)}
    for layer in lanes.layers:
        for slot in layer:
            slot.row = rows[slot.number]
    return cost


def _key(hop: Hop) -> _Key:
    return hop.left.number, hop.right.number


def _rise(hop: Hop, rows: Mapping[int, float]) -> float:
    return abs(rows[hop.left.number] - rows[hop.right.number])


def _is_wire_at_stud(hop: Hop) -> bool:
    """A stud stays down at its frame; its wires come down to it."""
    nodes = [slot.node for slot in (hop.left, hop.right) if slot.node is not None]
    return not hop.edge.metal and any(node.kind == "ground stud" for node in nodes)


def _cost(hops: Sequence[Hop], layers: Layers, rows: Mapping[int, float]) -> float:
    """Length of upright lines, bends as a reader weighs them, stretched groups, raised grounds."""
    cost = 0.0
    for hop in hops:
        rise = _rise(hop, rows)
        if rise:
            small = _SMALL_STEP_MM if rise < _STEP_MM else 0.0
            cost += (rise + _BEND_MM + small) * (_METAL_WEIGHT if hop.edge.metal else 1)
    lowest = max(rows.values(), default=0.0)
    spans: dict[str, list[float]] = {}
    for layer in layers:
        for slot in layer:
            spans.setdefault(slot.group, []).append(rows[slot.number])
            if slot.node is not None and slot.node.kind in GROUNDS:
                cost += _GROUND_WEIGHT * (lowest - rows[slot.number])
    return cost + sum(max(span) - min(span) for span in spans.values())


class Settling:
    """Rows for any order of the same slots; what the order does not change is worked out once."""

    def __init__(self, lanes: Lanes, pads: Pads):
        self.pads = pads
        self.hops = [hop for gap in lanes.hops for hop in gap]
        self.by_importance = [sorted(gap, key=_importance) for gap in lanes.hops]
        self.at_studs = frozenset(_key(hop) for hop in self.hops if _is_wire_at_stud(hop))
        self.bundled = _bundled(lanes.layers)
        self.apart: dict[_Key, float] = {}

    def quick_rows(self, layers: Layers) -> tuple[float, dict[int, float]]:
        """Return cost and rows of one plain try; to compare orders by. Sets nothing."""
        return self.rows(layers, self.at_studs)

    def rows(self, layers: Layers, bent: frozenset[_Key]) -> tuple[float, dict[int, float]]:
        """Return cost and rows when no straight line is asked for at the hops of `bent`."""
        block_of = _blocks(layers, self.by_importance, bent)
        rules = self._rules(layers, block_of)
        order = _from_top(sorted(set(block_of.values())), rules)
        rows = _as_high_as_possible(order, rules)
        _pull(rows, order, rules, _neighbours(self.hops, self.bundled, block_of))
        lift = min(
            rows[block_of[slot.number]] - slot.above - self.pads.get(slot.group, (0.0, 0.0))[0]
            for layer in layers
            for slot in layer
        )
        settled = {number: rows[block] - lift for number, block in block_of.items()}
        return _cost(self.hops, layers, settled), settled

    def _rules(self, layers: Layers, block_of: Mapping[int, int]) -> list[_Below]:
        rules = []
        for layer in layers:
            for upper, lower in pairwise(layer):
                pair = upper.number, lower.number
                if pair not in self.apart:
                    self.apart[pair] = apart_mm(upper, lower, self.pads)
                rules.append(_Below(block_of[pair[0]], block_of[pair[1]], self.apart[pair]))
        return rules


def apart_mm(upper: Slot, lower: Slot, pads: Pads) -> float:
    """Return the least distance between the rows of two slots, one under the other. [mm]"""
    needed = upper.below + lower.above + CLEARANCE_MM
    if upper.group != lower.group:
        needed += pads.get(upper.group, (0.0, 0.0))[1] + pads.get(lower.group, (0.0, 0.0))[0]
    return math.ceil(needed / GRID_MM - 1e-9) * GRID_MM


def _blocks(
    layers: Layers, by_importance: Sequence[Sequence[Hop]], bent: frozenset[_Key]
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
        for hop in gap:
            if _key(hop) in bent:
                continue
            ends = place[hop.left.number], place[hop.right.number]
            at = bisect_left(straight, ends)
            if _leaves_order(ends, straight[max(0, at - 1) : at + 1]):
                straight.insert(at, ends)
                block[hop.right.number] = block[hop.left.number]
    return block


def _leaves_order(ends: tuple[int, int], beside: Sequence[tuple[int, int]]) -> bool:
    """Return whether a line neither crosses its neighbours nor starts or ends where they do."""
    return all((ends[0] - left) * (ends[1] - right) > 0 for left, right in beside)


def _importance(hop: Hop) -> tuple[int, int, int, int]:
    """Metal and inner pieces of long lines first, then lone lines, branches last."""
    inner = hop.left.node is None and hop.right.node is None
    branches = max(len(hop.left.after), len(hop.right.before))
    if hop.edge.metal:
        kind = _METAL
    elif inner:
        kind = _INNER
    else:
        kind = _ALONE if branches == 1 else _BRANCH
    place = _branch_place(hop)
    return kind, branches, place, hop.edge.number


def _branch_place(hop: Hop) -> int:
    """Of several branches the middle one goes straight on."""
    if len(hop.left.after) > 1:
        near, own = sorted(hop.left.after, key=lambda s: s.number), hop.right
    else:
        near, own = sorted(hop.right.before, key=lambda s: s.number), hop.left
    return abs(2 * near.index(own) - len(near) + 1)


def _from_top(blocks: Sequence[int], rules: Sequence[_Below]) -> list[int]:
    waiting = dict.fromkeys(blocks, 0)
    lowers: dict[int, list[int]] = {block: [] for block in blocks}
    for rule in rules:
        waiting[rule.lower] += 1
        lowers[rule.upper].append(rule.lower)
    ready = [block for block in blocks if not waiting[block]]
    order = []
    while ready:
        block = ready.pop(0)
        order.append(block)
        for lower in lowers[block]:
            waiting[lower] -= 1
            if not waiting[lower]:
                ready.append(lower)
    return order


def _as_high_as_possible(order: Sequence[int], rules: Sequence[_Below]) -> dict[int, float]:
    onward: dict[int, list[_Below]] = {block: [] for block in order}
    for rule in rules:
        onward[rule.upper].append(rule)
    rows = dict.fromkeys(order, 0.0)
    for block in order:
        for rule in onward[block]:
            rows[rule.lower] = max(rows[rule.lower], rows[block] + rule.apart)
    return rows


def _bundled(layers: Layers) -> list[_Key]:
    """Pairs of slots that are drawn as one symbol, such as both ends of a relay's coil."""
    bundles: dict[tuple[str, str], list[int]] = {}
    for slot in (slot for layer in layers for slot in layer):
        if slot.node is not None and slot.node.bundle:
            bundles.setdefault((slot.group, slot.node.bundle), []).append(slot.number)
    return [pair for slots in bundles.values() for pair in combinations(slots, 2)]


def _neighbours(
    hops: Sequence[Hop], bundled: Sequence[_Key], block_of: Mapping[int, int]
) -> dict[int, list[int]]:
    """Return the blocks that each block is drawn to, the more often the stronger."""
    near: dict[int, list[int]] = {block: [] for block in block_of.values()}
    for pair in bundled:
        first, second = block_of[pair[0]], block_of[pair[1]]
        near[first] += [second] * _BUNDLE_WEIGHT
        near[second] += [first] * _BUNDLE_WEIGHT
    for hop in hops:
        first, second = block_of[hop.left.number], block_of[hop.right.number]
        if first != second:
            weight = _METAL_WEIGHT if hop.edge.metal else 1
            near[first] += [second] * weight
            near[second] += [first] * weight
    return near


def _pull(
    rows: dict[int, float],
    order: Sequence[int],
    rules: Sequence[_Below],
    near: Mapping[int, Sequence[int]],
) -> None:
    """Move each block to the median of its neighbours as far as the blocks around it allow."""
    up: dict[int, list[tuple[int, float]]] = {block: [] for block in order}
    down: dict[int, list[tuple[int, float]]] = {block: [] for block in order}
    for rule in rules:
        down[rule.upper].append((rule.lower, rule.apart))
        up[rule.lower].append((rule.upper, rule.apart))
    lowest = max(rows.values(), default=0.0)
    movable = [block for block in order if near[block]]
    still = 0
    for turn in range(_PULLS):
        moved = False
        for block in reversed(movable) if turn % 2 == 0 else movable:
            wanted = sorted([rows[n] for n in near[block]])
            row = wanted[(len(wanted) - 1) // 2]
            least = max([rows[upper] + apart for upper, apart in up[block]], default=0.0)
            most = min([rows[lower] - apart for lower, apart in down[block]], default=lowest)
            row = min(max(row, least), most)
            if least <= most and row != rows[block]:
                rows[block] = row
                moved = True
        still = 0 if moved else still + 1
        if still == 2:
            return
