"""Branches taken from the zones where a file gives none: a trunk from zone to zone, runs off it.

Each harness between connectors stands for itself. In each zone it has a breakout, from which every
part is reached; the breakouts are joined where wires pass from zone to zone. A splice lies on the
run of the part that most of its wires go to. Nothing of it is measured.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from circuitcheck.model.branch import Branch, Inline
from circuitcheck.model.diode import Diode
from circuitcheck.model.fuse import Fuse
from circuitcheck.model.harness import Harness
from circuitcheck.model.resistor import Resistor
from circuitcheck.model.splice import Splice
from circuitcheck.model.ways import place_of
from circuitcheck.model.wire import Wire

_IN_LINE = (Fuse, Splice, Diode, Resistor)
_MOST_RUNS, _EACH = 5, 2
"""More runs than the first leave a breakout in a row of them, so many to each."""
_MOST_ON_A_RUN = 3
_CHAIN = 2
"""A part that only so many others hang on is reached from one of them, not from the breakout."""


def branches_of(harness: Harness) -> tuple[Branch, ...]:
    """Return the branches of the file, else those assumed from zones."""
    return tuple(harness.branches.values()) or assumed_branches(harness)


def assumed_branches(harness: Harness) -> tuple[Branch, ...]:
    """Return branches that join the ends of every wire, without lengths."""
    made: list[Branch] = []
    for wires in _groups(harness):
        made += _Group(harness, wires, len(made)).branches()
    return tuple(made)


def is_named(place: str) -> bool:
    """Return whether a place is a part or a breakout that the file names."""
    return not place.startswith("~")


def _groups(harness: Harness) -> list[list[Wire]]:
    """Return the wires in groups that share no place, in file order."""
    root: dict[str, str] = {}
    for wire in harness.wires.values():
        first, second = (place_of(end, harness.parts) for end in (wire.start, wire.end))
        root[_root(root, first)] = _root(root, second)
    groups: dict[str, list[Wire]] = {}
    for wire in harness.wires.values():
        groups.setdefault(_root(root, place_of(wire.start, harness.parts)), []).append(wire)
    return list(groups.values())


def _root(root: dict[str, str], place: str) -> str:
    """Return what stands for all that hangs together with a place; paths are made short."""
    while root.setdefault(place, place) != place:
        root[place] = root.setdefault(root[place], root[place])
        place = root[place]
    return place


@dataclass
class _Group:
    """One group of wires on the way to branches; `edges` are pairs of places with their zone."""

    harness: Harness
    wires: list[Wire]
    before: int
    edges: list[tuple[str, str, str]] = field(default_factory=list)

    def branches(self) -> list[Branch]:
        """Return the branches of the group."""
        near, zone_of = self._neighbours(), self._zones()
        splices = self._chains(near, zone_of)
        for place in near:
            if place not in splices:
                self.edges.append((self._hub(zone_of[place]), place, zone_of[place]))
        for first, second in _spanning(self._passages(zone_of.values())):
            border = self._hub(f"{first}|{second}")
            self.edges += [(self._hub(first), border, first), (border, self._hub(second), second)]
        self._straighten()
        self._comb()
        on = self._inline(splices, near)
        return [
            Branch(
                name=f"~{self.before + index}",
                start=start,
                end=end,
                length_m=None,
                zone=zone,
                inline=tuple(Inline(part, None) for part in on.get(index, ())),
                assumed=True,
            )
            for index, (start, end, zone) in enumerate(self.edges, start=1)
        ]

    def _neighbours(self) -> dict[str, Counter[str]]:
        near: dict[str, Counter[str]] = {}
        for wire in self.wires:
            first, second = (place_of(end, self.harness.parts) for end in (wire.start, wire.end))
            near.setdefault(first, Counter())[second] += 1
            near.setdefault(second, Counter())[first] += 1
        return near

    def _zones(self) -> dict[str, str]:
        """Return the zone of each place: that in which most of its wires end."""
        seen: dict[str, Counter[str]] = {}
        for wire in self.wires:
            for end, zone in ((wire.start, wire.route[0]), (wire.end, wire.route[-1])):
                seen.setdefault(place_of(end, self.harness.parts), Counter())[zone] += 1
        return {place: zones.most_common(1)[0][0] for place, zones in seen.items()}

    def _chains(self, near: dict[str, Counter[str]], zone_of: dict[str, str]) -> set[str]:
        """Reach a part from the one other part it is wired to; returns the splices left over.

        Places so reached leave `near`.
        """
        count = {place: len(others) for place, others in near.items()}
        waiting = list(near)
        while waiting:
            place = waiting.pop(0)
            others = [other for other in near.get(place, ()) if other in near]
            if len(others) != 1 or len(near) < _CHAIN + 1:
                continue
            other = others[0]
            if zone_of[place] != zone_of[other] or count[other] > _CHAIN:
                continue
            self.edges.append((other, place, zone_of[place]))
            del near[place]
            waiting.append(other)
        parts = self.harness.parts
        ends = {end for edge in self.edges for end in edge[:2]}
        return {
            place
            for place in near
            if isinstance(parts.get(place), _IN_LINE) and place not in ends and len(near) > _CHAIN
        }

    def _passages(self, zones: Iterable[str]) -> Counter[tuple[str, str]]:
        """Count the wires from zone to zone; zones apart are joined to the first."""
        passed: Counter[tuple[str, str]] = Counter()
        every = list(dict.fromkeys(zones))
        for wire in self.wires:
            for first, second in zip(wire.route, wire.route[1:], strict=False):
                if first != second and (second, first) in passed:
                    passed[second, first] += 1
                elif first != second:
                    passed[first, second] += 1
        for zone in every[1:]:
            passed[every[0], zone] += 0
        return passed

    def _straighten(self) -> None:
        """Take out breakouts at which only two runs of one zone meet, and runs to nowhere."""
        changed = True
        while changed:
            changed = False
            ends = Counter(end for edge in self.edges for end in edge[:2])
            for hub in [end for end in ends if not is_named(end)]:
                at = [edge for edge in self.edges if hub in edge[:2]]
                joins = len(at) == 2 and at[0][2] == at[1][2]
                if len(at) > 1 and not joins:
                    continue
                for edge in at:
                    self.edges.remove(edge)
                if joins:
                    first, second = (e[0] if e[1] == hub else e[1] for e in at)
                    self.edges.append((first, second, at[0][2]))
                changed = True
                break

    def _comb(self) -> None:
        """Put a row of breakouts in place of one that many runs leave, a few runs to each."""
        hubs = dict.fromkeys(end for e in self.edges for end in e[:2] if not is_named(end))
        for hub in hubs:
            at = [edge for edge in self.edges if hub in edge[:2]]
            if len(at) <= _MOST_RUNS:
                continue
            zone = hub.partition(":")[2]
            aside = [edge for edge in at if all(is_named(end) for end in edge[:2] if end != hub)]
            onward = [edge for edge in at if edge not in aside]
            aside.sort(key=lambda edge: self._order(edge[0] if edge[1] == hub else edge[1]))
            groups = [aside[k : k + _EACH] for k in range(0, len(aside), _EACH)] or [[]]
            for index, edge in enumerate(onward):
                groups[(index * (len(groups) - 1)) // max(len(onward) - 1, 1)].append(edge)
            for index, group in enumerate(groups):
                tooth = f"{hub}~{index}"
                for edge in group:
                    self.edges.remove(edge)
                    ends = [tooth if end == hub else end for end in edge[:2]]
                    self.edges.append((ends[0], ends[1], edge[2]))
                if index:
                    self.edges.append((f"{hub}~{index - 1}", tooth, zone))

    def _order(self, place: str) -> int:
        """Return the first wire that lands at a place, by its number in the file."""
        order = {name: k for k, name in enumerate(self.harness.wires)}
        return min(
            (
                order[wire.name]
                for wire in self.wires
                for end in (wire.start, wire.end)
                if place_of(end, self.harness.parts) == place
            ),
            default=0,
        )

    def _inline(
        self, splices: set[str], near: dict[str, Counter[str]]
    ) -> dict[int, tuple[str, ...]]:
        """Return the parts that lie on each run, by the run's number."""
        on: dict[int, tuple[str, ...]] = {}
        runs = [k for k, edge in enumerate(self.edges) if not all(map(is_named, edge[:2]))]
        for splice in [place for place in near if place in splices]:
            free = [k for k in runs if len(on.get(k + 1, ())) < _MOST_ON_A_RUN]
            best = max(
                free or runs or range(len(self.edges)),
                key=lambda k: (max(near[splice][end] for end in self.edges[k][:2]), -k),
                default=None,
            )
            if best is not None:
                on[best + 1] = (*on.get(best + 1, ()), splice)
        return on

    def _hub(self, zone: str) -> str:
        """Return the name of the group's breakout in a zone."""
        return f"~{self.before}:{zone}"


def _spanning(passed: Counter[tuple[str, str]]) -> Iterator[tuple[str, str]]:
    """Yield the passages of a tree over the zones, those of most wires first (Kruskal)."""
    root: dict[str, str] = {}
    for (first, second), _ in sorted(passed.items(), key=lambda item: -item[1]):
        if _root(root, first) != _root(root, second):
            root[_root(root, first)] = _root(root, second)
            yield first, second
