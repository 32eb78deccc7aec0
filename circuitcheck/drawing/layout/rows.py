"""Rows: how far down each slot lies, so that nothing in a layer overlaps and lines run straight.

Slots that one straight line can join are put in one block at one height; a block is only made
where it leaves every order from top to bottom possible. Then blocks are set as high as they go
and moved toward their neighbours within the room they have.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from itertools import combinations, pairwise

from circuitcheck.drawing.layout.lanes import GROUNDS, Hop, Lanes, Slot
from circuitcheck.drawing.layout.straight_lines import (
    BRANCH,
    Key,
    Layers,
    importance,
    key_of,
    straight_blocks,
)

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

Pads = Mapping[str, tuple[float, float]]
"""Room that the outline of a group needs above and below its slots. [mm]"""
_Below = tuple[int, int, float]
"""An upper block, a lower one, and how far at least this lies below that. [mm]"""


def set_rows(lanes: Lanes, pads: Pads) -> float:
    """Give every slot its row, and return how ill it reads, in millimetres of line.

    The topmost box of the drawing starts at 0.

    Tried with and without a branch of each joint running straight on, with and without wires
    running straight into studs; then small steps are taken out one by one while that helps.
    """
    settling = Settling(lanes, pads)
    hops = settling.hops
    branches = frozenset(key_of(hop) for hop in hops if importance(hop)[0] == BRANCH)
    at_studs = settling.at_studs
    tries = (frozenset[Key](), branches, at_studs, branches | at_studs)
    settled = [(settling.rows(lanes.layers, bent), bent) for bent in tries]
    (cost, rows), bent = min(settled, key=lambda pair: pair[0][0])
    steps = sorted(
        (h for h in hops if key_of(h) in bent and 0 < _rise(h, rows) < _STEP_MM),
        key=lambda h: (_rise(h, rows), h.edge.number),
    )
    for hop in steps[:_STEPS_TRIED]:
        other_cost, other = settling.rows(lanes.layers, bent - {key_of(hop)})
        if other_cost < cost:
            cost, rows, bent = other_cost, other, bent - {key_of(hop)}
    for layer in lanes.layers:
        for slot in layer:
            slot.row = rows[slot.number]
    return cost


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
        self.by_importance = [
            [key_of(hop) for hop in sorted(gap, key=importance)] for gap in lanes.hops
        ]
        self.at_studs = frozenset(key_of(hop) for hop in self.hops if _is_wire_at_stud(hop))
        self.bundled = _bundled(lanes.layers)
        self.apart: dict[Key, float] = {}

    def quick_rows(self, layers: Layers) -> tuple[float, dict[int, float]]:
        """Return cost and rows of one plain try; to compare orders by. Sets nothing."""
        return self.rows(layers, self.at_studs)

    def rows(self, layers: Layers, bent: frozenset[Key]) -> tuple[float, dict[int, float]]:
        """Return cost and rows when no straight line is asked for at the hops of `bent`."""
        block_of = straight_blocks(layers, self.by_importance, bent)
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
                rules.append((block_of[pair[0]], block_of[pair[1]], self.apart[pair]))
        return rules


def apart_mm(upper: Slot, lower: Slot, pads: Pads) -> float:
    """Return the least distance between the rows of two slots, one under the other. [mm]"""
    needed = upper.below + lower.above + CLEARANCE_MM
    if upper.group != lower.group:
        needed += pads.get(upper.group, (0.0, 0.0))[1] + pads.get(lower.group, (0.0, 0.0))[0]
    return math.ceil(needed / GRID_MM - 1e-9) * GRID_MM


def _from_top(blocks: Sequence[int], rules: Sequence[_Below]) -> list[int]:
    waiting = dict.fromkeys(blocks, 0)
    lowers: dict[int, list[int]] = {block: [] for block in blocks}
    for upper, lower, _ in rules:
        waiting[lower] += 1
        lowers[upper].append(lower)
    order = [block for block in blocks if not waiting[block]]
    for block in order:  # grows on the way
        for lower in lowers[block]:
            waiting[lower] -= 1
            if not waiting[lower]:
                order.append(lower)
    return order


def _as_high_as_possible(order: Sequence[int], rules: Sequence[_Below]) -> dict[int, float]:
    onward: dict[int, list[tuple[int, float]]] = {block: [] for block in order}
    for upper, lower, apart in rules:
        onward[upper].append((lower, apart))
    rows = dict.fromkeys(order, 0.0)
    for block in order:
        row = rows[block]
        for lower, apart in onward[block]:
            rows[lower] = max(rows[lower], row + apart)
    return rows


def _bundled(layers: Layers) -> list[Key]:
    """Pairs of slots that are drawn as one symbol, such as both ends of a relay's coil."""
    bundles: dict[tuple[str, str], list[int]] = {}
    for slot in (slot for layer in layers for slot in layer):
        if slot.node is not None and slot.node.bundle:
            bundles.setdefault((slot.group, slot.node.bundle), []).append(slot.number)
    return [pair for slots in bundles.values() for pair in combinations(slots, 2)]


def _neighbours(
    hops: Sequence[Hop], bundled: Sequence[Key], block_of: Mapping[int, int]
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
    """Move each block to the median of its neighbours as far as the blocks around it allow.

    A block stays where it is until one that it depends on has moved.
    """
    up: dict[int, list[tuple[int, float]]] = {block: [] for block in order}
    down: dict[int, list[tuple[int, float]]] = {block: [] for block in order}
    for upper, lower, apart in rules:
        down[upper].append((lower, apart))
        up[lower].append((upper, apart))
    lowest = max(rows.values(), default=0.0)
    movable = [block for block in order if near[block]]
    due = set(movable)
    still = 0
    for turn in range(_PULLS):
        moved = False
        for block in reversed(movable) if turn % 2 == 0 else movable:
            if block not in due:
                continue
            due.discard(block)
            wanted = sorted([rows[n] for n in near[block]])
            row = wanted[(len(wanted) - 1) // 2]
            least = max([rows[upper] + apart for upper, apart in up[block]], default=0.0)
            most = min([rows[lower] - apart for lower, apart in down[block]], default=lowest)
            row = min(max(row, least), most)
            if least <= most and row != rows[block]:
                rows[block] = row
                moved = True
                due.update(near[block])
                due.update(beside for beside, _ in (*up[block], *down[block]))
        still = 0 if moved else still + 1
        if still == 2:
            return
