"""The order of slots within each layer, from top to bottom, with few crossings.

Sweeps by the mean place of the neighbours (barycentre; Sugiyama, Tagawa and Toda 1981), then
exchange of neighbours while that takes crossings away. Slots of one group stay together.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right, insort
from collections.abc import Sequence

from circuitcheck.drawing.layout_lanes import GROUNDS, Hop, Lanes, Slot

_SWEEPS = 12
_EXCHANGE_ROUNDS = 20

Order = list[list[list[Slot]]]
"""Layers of groups of slots."""


def arrangements(lanes: Lanes) -> list[list[list[Slot]]]:
    """Return the orders found with the fewest crossings, each once, returns lowest first."""
    found: dict[tuple[int, ...], tuple[int, int, list[list[Slot]]]] = {}
    for start in (_feed_over_return(lanes), _walked(lanes)):
        for sweeps in (range(0), range(_SWEEPS), range(1, _SWEEPS)):
            order = grouped(start)
            _sweep(order, lanes, sweeps)
            _exchange(order, lanes)
            flat = [[slot for group in layer for slot in group] for layer in order]
            numbers = tuple(slot.number for layer in flat for slot in layer)
            found[numbers] = (crossings_in(flat, lanes), returns_above(flat), flat)
    fewest = min(crossings for crossings, _, _ in found.values())
    alike = sorted((c for c in found.values() if c[0] == fewest), key=lambda c: c[1])
    return [layers for _, _, layers in alike]


def returns_above(layers: Sequence[Sequence[Slot]]) -> int:
    """Count, layer by layer, the pairs in which a line of the return lies over one of the feed."""
    count = 0
    for layer in layers:
        above = 0
        for slot in layer:
            if _is_return(slot):
                above += 1
            else:
                count += above
    return count


def _is_ground(slot: Slot) -> bool:
    node = slot.node or (slot.edge.end if slot.edge else None)
    return node is not None and node.kind in GROUNDS


def _is_return(slot: Slot) -> bool:
    node = slot.node or (slot.edge.start if slot.edge else None)
    return node.on_return if node else False


def crossings_in(layers: Sequence[Sequence[Slot]], lanes: Lanes) -> int:
    """Count the crossings of lines in all gaps, and of the turns at the coils."""
    place = _places(layers)
    return sum(_gap_crossings(gap, place) for gap in lanes.hops) + _turn_crossings(lanes, place)


def _places(layers: Sequence[Sequence[Slot]]) -> dict[int, int]:
    return {slot.number: index for layer in layers for index, slot in enumerate(layer)}


def _gap_crossings(hops: Sequence[Hop], place: dict[int, int]) -> int:
    ends = sorted((place[hop.left.number], place[hop.right.number]) for hop in hops)
    passed: list[int] = []
    crossings = 0
    for _, right in ends:
        crossings += len(passed) - bisect_right(passed, right)
        insort(passed, right)
    return crossings


def _turn_crossings(lanes: Lanes, place: dict[int, int]) -> int:
    spans = sorted(
        tuple(sorted((place[coil.number], place[back.number]))) for coil, back in lanes.turns
    )
    return sum(
        first[0] < second[0] < first[1] < second[1]
        for index, first in enumerate(spans)
        for second in spans[index + 1 :]
    )


def _feed_over_return(lanes: Lanes) -> list[list[Slot]]:
    """File order, everything of the feed above everything of the return, grounds lowest.

    At the coils the returns lie in reverse, so that their turns nest.
    """

    layers = [sorted(layer, key=lambda s: (_is_return(s), _is_ground(s))) for layer in lanes.layers]
    layers[0].sort(key=_at_supply)
    coils = {back.number: layers[-1].index(coil) for coil, back in lanes.turns}
    layers[-1].sort(key=lambda slot: (slot.number in coils, -coils.get(slot.number, 0)))
    return layers


def _walked(lanes: Lanes) -> list[list[Slot]]:
    """Order of discovery on a walk from the supply, top to bottom, then from the return."""
    roots = sorted(lanes.layers[0], key=_at_supply)
    roots += [slot for layer in lanes.layers[1:] for slot in layer if not slot.before]
    met: dict[int, Slot] = {}
    ahead = list(reversed(roots))
    while ahead:
        slot = ahead.pop()
        if slot.number not in met:
            met[slot.number] = slot
            ahead.extend(reversed(slot.after))
    rank = {number: index for index, number in enumerate(met)}
    return [sorted(layer, key=lambda slot: rank[slot.number]) for layer in lanes.layers]


def _at_supply(slot: Slot) -> int:
    """Taps on top, then the battery with its plus post over its minus post."""
    kinds = ("supply tap", "battery plus", "battery minus")
    return kinds.index(slot.node.kind) if slot.node and slot.node.kind in kinds else 0


def grouped(layers: Sequence[Sequence[Slot]]) -> Order:
    """Return the layers with the slots of each group put together."""
    order: Order = []
    for layer in layers:
        groups: dict[str, list[Slot]] = {}
        for slot in layer:
            groups.setdefault(slot.group, []).append(slot)
        order.append(list(groups.values()))
    return order


def _sweep(order: Order, lanes: Lanes, sweeps: range) -> None:
    """Sweep to and fro, even numbers to the right, odd ones to the left; the best order stays."""
    best = [[list(group) for group in layer] for layer in order]
    fewest = _count(order, lanes)
    for sweep in sweeps:
        forward = sweep % 2 == 0
        span = range(1, len(order)) if forward else range(len(order) - 2, 0, -1)
        for index in span:
            _by_barycentre(order, index, forward, lanes)
        crossings = _count(order, lanes)
        if crossings < fewest:
            fewest = crossings
            best = [[list(group) for group in layer] for layer in order]
    order[:] = best


def _count(order: Order, lanes: Lanes) -> int:
    return crossings_in([[slot for group in layer for slot in group] for layer in order], lanes)


def _by_barycentre(order: Order, index: int, forward: bool, lanes: Lanes) -> None:
    near = order[index - 1] if forward else order[index + 1]
    flat = [slot for group in near for slot in group]
    place = {slot.number: at for at, slot in enumerate(flat)}
    own = [slot for group in order[index] for slot in group]
    stay = {slot.number: at * len(flat) / len(own) for at, slot in enumerate(own)}
    partner = {back.number: coil.number for coil, back in lanes.turns}

    def mean(slot: Slot) -> float:
        near_slots = slot.before if forward else slot.after
        if not near_slots:
            return stay[slot.number]
        return sum(place[n.number] for n in near_slots) / len(near_slots)

    for group in order[index]:
        if not _is_fixed(group):
            group.sort(key=lambda slot: (mean(slot), -stay.get(partner.get(slot.number, -1), 0.0)))
    order[index].sort(key=lambda group: sum(map(mean, group)) / len(group))


def _is_fixed(group: Sequence[Slot]) -> bool:
    """Contacts worked by one button stay in file order, so that its link runs straight."""
    buttons = [slot.node.contact.button for slot in group if slot.node and slot.node.contact]
    return len(set(buttons)) < len(buttons)


def _exchange(order: Order, lanes: Lanes) -> None:
    for _ in range(_EXCHANGE_ROUNDS):
        gained = 0
        for index in range(1, len(order)):
            gained += _exchange_groups(order, index, lanes)
            for group in order[index]:
                if not _is_fixed(group):
                    gained += _exchange_slots(group, order, lanes)
        if not gained:
            return


def _exchange_groups(order: Order, index: int, lanes: Lanes) -> int:
    layer = order[index]
    gained = 0
    for at in range(len(layer) - 1):
        before = pair_crossings(layer[at], layer[at + 1], order, lanes)
        after = pair_crossings(layer[at + 1], layer[at], order, lanes)
        if after < before:
            layer[at], layer[at + 1] = layer[at + 1], layer[at]
            gained += before - after
    return gained


def _exchange_slots(group: list[Slot], order: Order, lanes: Lanes) -> int:
    gained = 0
    for at in range(len(group) - 1):
        before = pair_crossings([group[at]], [group[at + 1]], order, lanes)
        after = pair_crossings([group[at + 1]], [group[at]], order, lanes)
        if after < before:
            group[at], group[at + 1] = group[at + 1], group[at]
            gained += before - after
    return gained


def pair_crossings(upper: Sequence[Slot], lower: Sequence[Slot], order: Order, lanes: Lanes) -> int:
    """Return the crossings between the lines of two neighbours when `upper` stands on top."""
    layer = upper[0].layer
    crossings = 0
    for step, side in ((-1, "before"), (1, "after")):
        if not 0 <= layer + step < len(order):
            continue
        flat = [slot for group in order[layer + step] for slot in group]
        place = {slot.number: at for at, slot in enumerate(flat)}
        tops = [place[n.number] for slot in upper for n in getattr(slot, side)]
        bottoms = sorted(place[n.number] for slot in lower for n in getattr(slot, side))
        crossings += sum(bisect_left(bottoms, top) for top in tops)
    if lanes.turns and layer == len(order) - 1:
        crossings += _turns_when(upper, lower, order, lanes)
    return crossings


def _turns_when(upper: Sequence[Slot], lower: Sequence[Slot], order: Order, lanes: Lanes) -> int:
    flat: list[Slot] = []
    placed = {slot.number for slot in (*upper, *lower)}
    for group in order[-1]:
        for slot in group:
            if slot.number not in placed:
                flat.append(slot)
            elif not any(s.number in placed for s in flat):
                flat.extend((*upper, *lower))
    return _turn_crossings(lanes, {slot.number: at for at, slot in enumerate(flat)})
