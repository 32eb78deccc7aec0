"""The order of slots within each layer, from top to bottom, with few crossings.

Sweeps by the mean place of the neighbours (barycentre; Sugiyama, Tagawa and Toda 1981), then
exchange of neighbours while that takes crossings away. Slots of one group stay together.
"""

from __future__ import annotations

from collections.abc import Sequence

from circuitcheck.drawing.layout.crossings import Group, Order
from circuitcheck.drawing.layout.lanes import GROUNDS, Lanes, Slot

_SWEEPS = 12
_EXCHANGE_ROUNDS = 20


def arrangements(lanes: Lanes) -> list[list[list[Slot]]]:
    """Return the orders found with the fewest crossings, each once, returns lowest first."""
    found: dict[tuple[int, ...], tuple[int, int, list[list[Slot]]]] = {}
    swept: set[tuple[int, ...]] = set()
    for start in (_feed_over_return(lanes), _walked(lanes)):
        for sweeps in (range(0), range(_SWEEPS), range(1, _SWEEPS)):
            order = Order(start, lanes)
            _sweep(order, sweeps)
            if (state := order.state()) in swept:
                continue
            swept.add(state)
            _exchange(order)
            flat = order.flat()
            found.setdefault(order.state(), (order.crossings(), returns_above(flat), flat))
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


def _sweep(order: Order, sweeps: range) -> None:
    """Sweep to and fro, even numbers to the right, odd ones to the left; the best order stays.

    An order that was met before leads to nothing new, and below no crossing there is nothing.
    """
    best, fewest = order.copied(), order.crossings()
    met: set[tuple[bool, tuple[int, ...]]] = set()
    for sweep in sweeps:
        forward = sweep % 2 == 0
        if not fewest or (forward, order.state()) in met:
            break
        met.add((forward, order.state()))
        last = len(order.layers)
        for index in range(1, last) if forward else range(last - 2, 0, -1):
            _by_barycentre(order, index, forward)
        crossings = order.crossings()
        if crossings < fewest:
            best, fewest = order.copied(), crossings
    order.put_back(best)


def _by_barycentre(order: Order, index: int, forward: bool) -> None:
    layer = order.layers[index]
    near_count = sum(len(group) for group in order.layers[index - 1 if forward else index + 1])
    own = [slot for group in layer for slot in group]
    stay = {slot.number: at * near_count / len(own) for at, slot in enumerate(own)}

    place, means = order.place, {}
    for slot in own:
        near = [place[n.number] for n in (slot.before if forward else slot.after)]
        means[slot.number] = sum(near) / len(near) if near else stay[slot.number]
    for group in layer:
        if len(group) == 1:
            continue
        ways = order.ways(group)
        if ways is not None:
            group[:] = min(ways, key=lambda way: _disorder([means[s.number] for s in way]))
        else:
            group.sort(
                key=lambda slot: (
                    means[slot.number],
                    -stay.get(order.load_of.get(slot.number, -1), 0.0),
                )
            )
    layer.sort(key=lambda group: sum(means[slot.number] for slot in group) / len(group))
    order.number(index)


def _disorder(means: Sequence[float]) -> int:
    """Count the pairs that stand the wrong way round."""
    return sum(above > below for at, above in enumerate(means) for below in means[at + 1 :])


def _exchange(order: Order) -> None:
    """Exchange neighbours while that helps; a layer is looked at again if one beside it changed."""
    due = set(range(1, len(order.layers)))
    for _ in range(_EXCHANGE_ROUNDS):
        changed = set()
        for index in sorted(due):
            layer = order.layers[index]
            gained = _exchange_groups(order, layer)
            gained += sum(_exchange_slots(order, group) for group in layer if len(group) > 1)
            if gained:
                changed |= {index - 1, index, index + 1}
        due = changed & set(range(1, len(order.layers)))
        if not due:
            return


def _exchange_groups(order: Order, layer: list[Group]) -> int:
    gained = 0
    for at in range(len(layer) - 1):
        before = order.pair_crossings(layer[at], layer[at + 1])
        if before and (after := order.pair_crossings(layer[at + 1], layer[at])) < before:
            order.swap(layer, at)
            gained += before - after
    return gained


def _exchange_slots(order: Order, group: Group) -> int:
    ways = order.ways(group)
    if ways is not None:
        before = _inside(order, group)
        best = min(ways, key=lambda way: _inside(order, way))
        if (after := _inside(order, best)) < before:
            order.rearrange(group, best)
            return before - after
        return 0
    gained = 0
    for at in range(len(group) - 1):
        before = order.pair_crossings([group[at]], [group[at + 1]])
        if before and (after := order.pair_crossings([group[at + 1]], [group[at]])) < before:
            changed = [*group[:at], group[at + 1], group[at], *group[at + 2 :]]
            order.rearrange(group, changed)
            gained += before - after
    return gained


def _inside(order: Order, group: Sequence[Slot]) -> int:
    """Crossings between the lines of the slots of one group in this order."""
    return sum(
        order.pair_crossings([upper], [lower])
        for at, upper in enumerate(group)
        for lower in group[at + 1 :]
    )
