"""Slots in their order from top to bottom, and how many crossings that order makes."""

from __future__ import annotations

from bisect import bisect_left, bisect_right, insort
from collections.abc import Mapping, Sequence
from itertools import permutations, product

from circuitcheck.drawing.layout.lanes import Hop, Lanes, Slot
from circuitcheck.drawing.layout.parts import WINDINGS

Group = list[Slot]
_Turn = tuple[Slot, Slot]


class Order:
    """Layers of groups of slots, and the place of each slot in its layer."""

    def __init__(self, layers: Sequence[Sequence[Slot]], lanes: Lanes):
        self.lanes = lanes
        self.layers = [_grouped(layer) for layer in layers]
        self.place: dict[int, int] = {}
        self._ways: dict[tuple[int, str], list[Group] | None] = {}
        self.load_of = {back.number: load.number for load, back in lanes.turns}
        self.turns_at: dict[int, list[_Turn]] = {}
        for turn in lanes.turns:
            for slot in turn:
                self.turns_at.setdefault(slot.number, []).append(turn)
        for index in range(len(self.layers)):
            self.number(index)

    def number(self, index: int) -> None:
        """Count the places of one layer anew."""
        slots = (slot for group in self.layers[index] for slot in group)
        self.place.update((slot.number, at) for at, slot in enumerate(slots))

    def flat(self) -> list[list[Slot]]:
        """Return the layers without their groups."""
        return [[slot for group in layer for slot in group] for layer in self.layers]

    def state(self) -> tuple[int, ...]:
        """Return the numbers of the slots, layer by layer from top to bottom."""
        return tuple(slot.number for layer in self.layers for group in layer for slot in group)

    def ways(self, group: Group) -> list[Group] | None:
        """Return the orders in which the slots of one group can be drawn, as `possible_orders`."""
        key = group[0].layer, group[0].group
        if key not in self._ways:
            self._ways[key] = possible_orders(group)
        return self._ways[key]

    def copied(self) -> list[list[Group]]:
        """Return the layers, to be put back later."""
        return [[list(group) for group in layer] for layer in self.layers]

    def put_back(self, layers: list[list[Group]]) -> None:
        """Take layers that were copied before."""
        self.layers = layers
        for index in range(len(layers)):
            self.number(index)

    def crossings(self) -> int:
        """Count the crossings of lines in all gaps, and of the turns at the loads."""
        gaps = sum(_gap_crossings(gap, self.place) for gap in self.lanes.hops)
        return gaps + _turn_crossings(self.lanes.turns, self.place)

    def swap(self, layer: list[Group], at: int) -> None:
        """Exchange a group with the next one below."""
        first = self.place[layer[at][0].number]
        layer[at], layer[at + 1] = layer[at + 1], layer[at]
        self._count_from(first, (*layer[at], *layer[at + 1]))

    def rearrange(self, group: Group, slots: Sequence[Slot]) -> None:
        """Give the slots of one group another order."""
        first = self.place[group[0].number]
        group[:] = slots
        self._count_from(first, group)

    def _count_from(self, first: int, slots: Sequence[Slot]) -> None:
        self.place.update((slot.number, first + at) for at, slot in enumerate(slots))

    def pair_crossings(self, upper: Sequence[Slot], lower: Sequence[Slot]) -> int:
        """Return the crossings between the lines of two neighbours when `upper` stands on top."""
        place = self.place
        tops = [place[n.number] for slot in upper for n in slot.before]
        bottoms = [place[n.number] for slot in lower for n in slot.before]
        crossings = _inversions(tops, bottoms) if tops and bottoms else 0
        tops = [place[n.number] for slot in upper for n in slot.after]
        bottoms = [place[n.number] for slot in lower for n in slot.after]
        crossings += _inversions(tops, bottoms) if tops and bottoms else 0
        if self.turns_at and upper[0].layer == len(self.layers) - 1:
            crossings += self._turns_when(upper, lower)
        return crossings

    def _turns_when(self, upper: Sequence[Slot], lower: Sequence[Slot]) -> int:
        """Crossings of turns at one with turns at the other; only these can change."""
        of_upper, of_lower = (
            [turn for slot in slots for turn in self.turns_at.get(slot.number, ())]
            for slots in (upper, lower)
        )
        if not of_upper or not of_lower:
            return 0
        first = min(self.place[slot.number] for slot in (*upper, *lower))
        spans = {slot.number: first + at for at, slot in enumerate((*upper, *lower))}
        return sum(
            turn is not other and _cross(self._span(turn, spans), self._span(other, spans))
            for turn in of_upper
            for other in of_lower
        )

    def _span(self, turn: _Turn, moved: Mapping[int, int]) -> tuple[int, int]:
        ends = [moved.get(slot.number, self.place[slot.number]) for slot in turn]
        return min(ends), max(ends)


def _inversions(tops: list[int], bottoms: list[int]) -> int:
    """Count the pairs in which an end of the upper lines lies below one of the lower lines."""
    if len(tops) == 1 and len(bottoms) == 1:
        return int(tops[0] > bottoms[0])
    if max(tops) <= min(bottoms):
        return 0
    bottoms.sort()
    return sum(bisect_left(bottoms, top) for top in tops)


def _cross(first: tuple[int, int], second: tuple[int, int]) -> bool:
    return first[0] < second[0] < first[1] < second[1] or (
        second[0] < first[0] < second[1] < first[1]
    )


def _grouped(layer: Sequence[Slot]) -> list[Group]:
    """Return the slots of one layer with those of each group put together, in a possible order."""
    groups: dict[str, Group] = {}
    for slot in layer:
        groups.setdefault(slot.group, []).append(slot)
    return [(possible_orders(group) or [group])[0] for group in groups.values()]


def _gap_crossings(hops: Sequence[Hop], place: Mapping[int, int]) -> int:
    ends = sorted((place[hop.left.number], place[hop.right.number]) for hop in hops)
    passed: list[int] = []
    crossings = 0
    for _, right in ends:
        crossings += len(passed) - bisect_right(passed, right)
        insort(passed, right)
    return crossings


def _turn_crossings(turns: Sequence[_Turn], place: Mapping[int, int]) -> int:
    """Count the crossings of turns: of one that begins inside another and ends outside."""
    ends = sorted((place[a.number], place[b.number]) for a, b in turns)
    spans = sorted((min(pair), max(pair)) for pair in ends)
    open_ends: list[int] = []
    crossings = 0
    for start, end in spans:
        del open_ends[: bisect_right(open_ends, start)]
        crossings += bisect_left(open_ends, end)
        insort(open_ends, end)
    return crossings


def possible_orders(group: Sequence[Slot]) -> list[Group] | None:
    """Return the orders in which the slots of one group can be drawn; None where all can.

    Contacts worked by one button stay in file order, so that their link runs straight. The slots
    of one bundle stay beside each other, in their order or, turned over, in reverse.
    """
    nodes = [slot.node for slot in group if slot.node is not None]
    in_file_order = sorted(group, key=lambda slot: slot.number)
    buttons = [node.contact.button for node in nodes if node.contact]
    if len(set(buttons)) < len(buttons):
        return [in_file_order]
    bundles: dict[str, Group] = {}
    for slot in in_file_order:
        if slot.node is not None and slot.node.bundle:
            bundles.setdefault(slot.node.bundle, []).append(slot)
    if not bundles:
        return None
    ways = [[b, b[::-1]] if len(b) > 1 and turns_over(b) else [b] for b in bundles.values()]
    return [
        [slot for bundle in bundles_in_order for slot in bundle]
        for chosen in product(*ways)
        for bundles_in_order in permutations(chosen)
    ]


def turns_over(bundle: Sequence[Slot]) -> bool:
    """Return whether the slots of a bundle may stand in reverse."""
    return not any(slot.node is not None and slot.node.bundle == WINDINGS for slot in bundle)
