"""Rows as they are followed along a tree, each kept until a cut changes it."""

from __future__ import annotations

from collections.abc import Container, Iterator
from dataclasses import dataclass, field

from circuitcheck.drawing.routing.content import Content
from circuitcheck.drawing.routing.places import PlaceLook, place_look
from circuitcheck.drawing.routing.rows import Row
from circuitcheck.drawing.routing.runs import RunLook, look_of
from circuitcheck.drawing.routing.tree import Node, Run

Leaving = tuple[Node, tuple[Run, Node]]
_RowKey = tuple[int, bool | None, str]


@dataclass
class Looks:
    """How branches and places look, worked out once: a tree is set many times till it fits."""

    content: Content
    _runs: dict[tuple[str, bool, bool, str], RunLook] = field(default_factory=dict)
    _places: dict[tuple[str, str, str, int, int], PlaceLook] = field(default_factory=dict)

    def run(self, run: Run, zone_line: str) -> RunLook:
        """Return how a branch looks; `zone_line` names the band where one begins."""
        key = (run.branch.name if run.branch else "", run.forward, run.cut, zone_line)
        if key not in self._runs:
            self._runs[key] = look_of(run, self.content, zone_line)
        return self._runs[key]

    def place(self, node: Node, up: int, down: int) -> PlaceLook:
        """Return how a place looks; `up` and `down` runs leave it aside."""
        key = (node.place, node.reference, node.mark, up, down)
        if key not in self._places:
            self._places[key] = place_look(node, self.content, up, down)
        return self._places[key]


@dataclass
class FollowedRows:
    """The rows of trees that are being cut; `mm_per_m` is their scale where lettering lets it."""

    looks: Looks
    mm_per_m: float
    _kept: dict[_RowKey, Row] = field(default_factory=dict)
    # By the place after the first run, the side, and the zone that the row leaves.
    _through: dict[int, list[_RowKey]] = field(default_factory=dict)
    # Rows through each place.

    def first(self, root: Node) -> Row:
        """Return the first row of a tree, the longest way from its root."""
        return self._row((id(root), None, ""), Row(), root, "")

    def sides(
        self, row: Row, side: bool | None, gone: Container[int] = ()
    ) -> Iterator[tuple[Row, float, float, bool]]:
        """Yield the rows that leave a row, from the right, the outermost last; none off `gone`.

        Each with where it starts, how far below the row's line, and its side, True upward.
        """
        for index in range(len(row.nodes) - 1, -1, -1):
            node, place = row.nodes[index], row.places[index]
            if node is None or place is None or id(node) in gone:
                continue
            for k in range(len(node.runs) - 2, -1, -1):
                upward = k < place.up
                turned = upward if side is None else side
                pair, zone = node.runs[k], row.zones[index]
                new = Row(leaves=(node, pair))
                leaving = self._row((id(pair[1]), turned, zone), new, None, zone)
                yield leaving, row.xs[index] + place.drop_x(k), place.drop_y(upward), turned

    def forget(self, place: Node) -> None:
        """Follow the rows through a place anew: it was cut there."""
        for key in self._through.pop(id(place), ()):
            self._kept.pop(key, None)

    def _row(self, key: _RowKey, new: Row, root: Node | None, zone: str) -> Row:
        if key not in self._kept:
            self._follow(new, root, key[1], zone)
            self._kept[key] = new
            for node in new.nodes:
                self._through.setdefault(id(node), []).append(key)
        return self._kept[key]

    def _follow(self, row: Row, root: Node | None, side: bool | None, zone: str) -> None:
        """Follow the straight way from a place, or along the run by which a row leaves another."""
        node, turn = root, False
        if row.leaves is not None:
            row.nodes.append(None)
            row.places.append(None)
            row.zones.append("")
            node, zone = self._run(row, row.leaves[1], zone)
        while node is not None:
            aside = max(0, len(node.runs) - 1)
            up, down = _shared(aside, side, turn)
            turn = turn != (aside % 2 == 1)
            row.nodes.append(node)
            row.places.append(self.looks.place(node, up, down))
            here, node, before = node, None, zone
            if here.runs:
                node, zone = self._run(row, here.runs[-1], zone)
            row.zones.append(before or zone)

    def _run(self, row: Row, pair: tuple[Run, Node], zone: str) -> tuple[Node, str]:
        """Add a run to a row; its zone is named where it is another one than before."""
        run, node = pair
        now = run.branch.zone if run.branch and not run.cut else zone
        line = self.looks.content.zone_words(now) if now != zone else ""
        row.runs.append(self.looks.run(run, line))
        return node, now


def _shared(aside: int, side: bool | None, turn: bool) -> tuple[int, int]:
    """Return how many runs leave upward and downward; on the first row they take turns."""
    if side is not None:
        return (aside, 0) if side else (0, aside)
    less, more = aside // 2, aside - aside // 2
    return (more, less) if turn else (less, more)
