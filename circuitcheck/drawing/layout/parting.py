"""Which units go on which sheet: as few sheets and as few wires cut as can be had quickly.

Halved where the fewest wires are cut (a prefix of the walk from the supply, then improved by
moving single units, after Fiduccia and Mattheyses 1982), until each part fits; then parts that
fit on one sheet together are put together again, those with the most wires between them first.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from itertools import combinations
from typing import Protocol

from circuitcheck.drawing.layout.cutting import Units

Group = tuple[int, ...]
_Pair = tuple[float, int, Group, Group]
"""Two groups after how they tie together, negative, and how many wires end at them."""
_LEAST_SHARE = 0.15
"""Part of the whole that each of two parts has at the least: lower cuts fewer wires."""
_PASSES = 4
_JOINS_TRIED = 2


class Sheet(Protocol):
    """The sheet for which units are parted."""

    def fits(self, group: Group) -> bool:
        """Return whether units have room on it."""

    def may_fit(self, group: Group) -> bool:
        """Return the same, where that is clear without laying them out."""

    def leaves_room(self, first: Group, second: Group) -> bool:
        """Return whether two parts that fit may fit together, by what each of them takes."""

    def may_join(self, first: Group, second: Group) -> bool:
        """Return whether two parts that fit may fit together, told without laying them out."""


def parted(units: Units, sheet: Sheet) -> list[Group]:
    """Return the units by sheet, in the order of the walk; a unit alone need not fit."""
    rank = {unit: at for at, unit in enumerate(units.order)}
    parts = _joined(units, _halved(units, units.order, sheet.may_fit), sheet)
    groups = [group for part in parts for group in _halved(units, part, sheet.fits)]
    in_order = [tuple(sorted(group, key=rank.__getitem__)) for group in groups]
    return sorted(in_order, key=lambda group: rank[group[0]])


def _halved(units: Units, group: Group, fits: Callable[[Group], bool]) -> list[Group]:
    if len(group) == 1 or fits(group):
        return [group]
    first, second = _bisected(units, group)
    return [*_halved(units, first, fits), *_halved(units, second, fits)]


def _joined(units: Units, groups: list[Group], sheet: Sheet) -> list[Group]:
    groups = list(groups)

    def offered(pairs: Iterable[tuple[Group, Group]]) -> Iterator[_Pair]:
        for a, b in pairs:
            if sheet.leaves_room(a, b):
                yield -_between(units, a, b), sum(units.size[u] for u in (*a, *b)), a, b

    waiting = list(offered(combinations(groups, 2)))
    tries = _JOINS_TRIED * len(groups)
    while tries > 0 and waiting:
        tries -= 1
        best = min(waiting)
        _, _, first, second = best
        both = (*first, *second)
        if sheet.may_join(first, second) and sheet.fits(both):
            groups = [g for g in groups if g not in (first, second)] + [both]
            waiting = [p for p in waiting if not {p[2], p[3]} & {first, second}]
            waiting += offered((group, both) for group in groups[:-1])
        else:
            waiting.remove(best)
    return groups


def _between(units: Units, first: Group, second: Group) -> float:
    others = set(second)
    return sum(
        weight for unit in first for other, weight in units.ties[unit].items() if other in others
    )


def _bisected(units: Units, group: Group) -> tuple[Group, Group]:
    """Return two parts, neither less than a share of the whole where units allow that."""
    whole = sum(units.size[unit] for unit in group)
    inside = set(group)
    ties = {
        unit: {other: w for other, w in units.ties[unit].items() if other in inside}
        for unit in group
    }
    first = _best_prefix(group, ties, units.size, whole)
    for _ in range(_PASSES):
        moved = _improved(group, ties, units.size, whole, first)
        if moved == first:
            break
        first = moved
    return tuple(u for u in group if u in first), tuple(u for u in group if u not in first)


def _best_prefix(
    group: Group, ties: Mapping[int, Mapping[int, float]], size: Mapping[int, int], whole: int
) -> frozenset[int]:
    cut, so_far = 0.0, 0
    taken: set[int] = set()
    best = (float("inf"), 1)
    for count, unit in enumerate(group[:-1], start=1):
        taken.add(unit)
        so_far += size[unit]
        cut += sum(-w if other in taken else w for other, w in ties[unit].items())
        lacking = max(0.0, _LEAST_SHARE - min(so_far, whole - so_far) / whole)
        best = min(best, (cut + 1000.0 * lacking, count))
    return frozenset(group[: best[1]])


def _improved(
    group: Sequence[int],
    ties: Mapping[int, Mapping[int, float]],
    size: Mapping[int, int],
    whole: int,
    first: frozenset[int],
) -> frozenset[int]:
    """One pass: every unit moves once, best gain first; the best state on the way is kept."""
    side = {unit: unit in first for unit in group}
    gain = {
        unit: sum(w if side[other] != side[unit] else -w for other, w in ties[unit].items())
        for unit in group
    }
    weight = sum(size[unit] for unit in first)
    free = set(group)
    total, best, kept = 0.0, 0.0, first
    least = _LEAST_SHARE * whole
    while free:
        unit = _best_move(free, side, gain, size, weight, (least, whole - least))
        if unit is None:
            break
        weight += -size[unit] if side[unit] else size[unit]
        total += gain[unit]
        side[unit] = not side[unit]
        free.discard(unit)
        for other, w in ties[unit].items():
            gain[other] += -2.0 * w if side[other] == side[unit] else 2.0 * w
        if total > best + 1e-9:
            best, kept = total, frozenset(u for u in group if side[u])
    return kept


def _best_move(
    free: Iterable[int],
    side: Mapping[int, bool],
    gain: Mapping[int, float],
    size: Mapping[int, int],
    weight: int,
    allowed: tuple[float, float],
) -> int | None:
    """Return the unit with the best gain of those that leave the first part's size allowed."""
    best, most = None, 0.0
    least, largest = allowed
    for unit in free:
        gained = gain[unit]
        if best is None or gained > most or (gained == most and unit < best):
            moved = weight - size[unit] if side[unit] else weight + size[unit]
            if least <= moved <= largest:
                best, most = unit, gained
    return best
