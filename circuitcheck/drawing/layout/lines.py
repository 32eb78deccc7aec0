"""Conductors as polylines: each wire from terminal to terminal, and the dots where they join."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import pairwise

from circuitcheck.drawing.geometry import Point
from circuitcheck.drawing.layout.graph import Edge
from circuitcheck.drawing.layout.lanes import Hop, Lanes, Slot
from circuitcheck.drawing.layout.page import JOINT, METAL, WIRE, Line
from circuitcheck.drawing.layout.tracks import TRACK_MM, Gap, Upright, slot_at
from circuitcheck.drawing.marks import Notes
from circuitcheck.drawing.text_size import printable
from circuitcheck.record import record

ONE_TERMINAL = ("splice", "ground stud", "frame", "joint")


@record
class Places:
    """Left edge, middle and right edge of each layer; ports by slot; uprights by return slot."""

    left: list[float]
    middle: list[float]
    right: list[float]
    gaps: list[Gap]
    ports: Mapping[int, tuple[float, float]]
    turns: Mapping[int, float]

    def upright_x(self, gap: int, upright: Upright) -> float:
        """Return where an upright stands in its gap."""
        return self.right[gap] + TRACK_MM * (upright.track + 1)


def lines_and_dots(lanes: Lanes, places: Places, notes: Notes) -> tuple[list[Line], list[Point]]:
    """Return all conductors between the symbols, and the dots of their joints."""
    router = _Router(lanes, places)
    hops_of: dict[int, list[Hop]] = {}
    for gap in lanes.hops:
        for hop in gap:
            hops_of.setdefault(hop.edge.number, []).append(hop)
    lines = []
    for hops in hops_of.values():
        edge = hops[0].edge
        owner = edge.wire.name if edge.wire else ""
        # What joins two frames is drawn as a conductor: the metal ends where it begins.
        kind = WIRE if edge.wire else METAL if edge.metal and edge.bond is None else JOINT
        net = frozenset({_right_net(hops[0].left), _left_net(hops[-1].right)})
        points = _without_idle(router.points(hops))
        fails = notes.get(owner) is not None
        lines.append(Line(owner, kind, net, points, fails, _title(edge, notes), _live(edge, notes)))
    dots = []
    for index, routed in enumerate(places.gaps):
        for upright in _mains(routed):
            if len(upright.hops) > 1:
                for piece in router.shared(index, upright):
                    lines += _by_current(piece, upright, notes)
                dots += router.dots(index, upright)
    return lines, dots


def _title(edge: Edge, notes: Notes) -> str:
    if edge.wire is None:
        return ""
    said = f"wire {edge.wire.name}: {edge.wire.start} to {edge.wire.end}"
    if notes.values is not None:
        value = notes.values.wires[edge.wire.name]
        live = "live" if value.is_live else "dead"
        said += f", {live}, {value.current}, {value.start_v} at start, {value.end_v} at end"
    return printable(said)


def _live(edge: Edge, notes: Notes) -> bool:
    if notes.values is None or edge.metal:
        return False
    if edge.wire is not None:
        return notes.values.is_live_wire(edge.wire.name)
    # A plain line joins one terminal to one of its wires, or to several of them.
    beside = [near for node in (edge.start, edge.end) for near in (*node.before, *node.after)]
    return any(near.wire and notes.values.is_live_wire(near.wire.name) for near in beside)


def _by_current(piece: Line, upright: Upright, notes: Notes) -> list[Line]:
    """Return a shared piece of line with what of it is live as lines of their own.

    The lead to the node is live with any of the lines it gathers. A section of the upright is live
    where a live line joins it on the side away from the node; without a lead, on both sides.
    """
    rows = _rows_of(upright)
    live_rows = [y for hop, y in rows if _live(hop.edge, notes)]
    if len(live_rows) in (0, len(rows)) or not _is_upright(piece):
        return [replace(piece, live=bool(live_rows))]
    leads = upright.left if upright.key[0] == "left" else upright.right
    node = None if _ends_here(slot_at(upright)) else leads[0]
    x, (top, bottom) = piece.points[0][0], sorted(y for _, y in piece.points)
    joins = [y for _, y in rows] if node is None else [node, *(y for _, y in rows)]
    stops = {top, bottom, *(y for y in joins if top < y < bottom)}
    sections: list[tuple[float, float, bool]] = []
    for above, below in pairwise(sorted(stops)):
        over, under = min(live_rows) <= above, max(live_rows) >= below
        live = (over and under) if node is None else over if below <= node else under
        joined = bool(sections) and sections[-1][2] == live
        sections.append((sections.pop()[0] if joined else above, below, live))
    return [
        replace(piece, points=((x, above), (x, below)), live=live)
        for above, below, live in sections
    ]


def _rows_of(upright: Upright) -> list[tuple[Hop, float]]:
    """Return the lines that an upright gathers, and the rows on which they leave it."""
    at_left = upright.key[0] == "left"
    return [(hop, hop.right.row if at_left else hop.left.row) for hop in upright.hops]


def _is_upright(piece: Line) -> bool:
    return len(piece.points) == 2 and piece.points[0][0] == piece.points[1][0]


def _right_net(slot: Slot) -> str:
    alike = slot.node is not None and slot.node.kind in ONE_TERMINAL
    return f"{slot.number}" if alike else f"{slot.number} right"


def _left_net(slot: Slot) -> str:
    alike = slot.node is not None and slot.node.kind in ONE_TERMINAL
    return f"{slot.number}" if alike else f"{slot.number} left"


def _mains(gap: Gap) -> list[Upright]:
    """The uprights that keep the lanes; a second upright toward the node is left out."""
    by_key: dict[tuple[str, int], list[Upright]] = {}
    for upright in gap.uprights:
        by_key.setdefault(upright.key, []).append(upright)
    mains = []
    for key, pair in by_key.items():
        after_second = [u for u in pair if (u.comes_after is not None) == (key[0] == "left")]
        mains.append(pair[0] if len(pair) == 1 else after_second[0])
    return mains


class _Router:
    """Looks up the upright of each hop."""

    def __init__(self, lanes: Lanes, places: Places):
        self.places = places
        self.main: dict[tuple[int, int, int], Upright] = {}
        self.second: dict[int, Upright] = {}
        self.load_of = {back.number: load for load, back in lanes.turns}
        for gap in places.gaps:
            for upright in _mains(gap):
                for hop in upright.hops:
                    self.main[_key(hop)] = upright
                for other in gap.uprights:
                    if other is not upright and other.key == upright.key:
                        self.second[id(upright)] = other

    def points(self, hops: Sequence[Hop]) -> list[Point]:
        """Return the bends of one edge's own piece, from its start to its end."""
        points = [self._start(hops[0].left)]
        for hop in hops:
            upright = self.main.get(_key(hop))
            gap = hop.left.layer
            if upright is None:
                continue
            x = self.places.upright_x(gap, upright)
            if len(upright.hops) == 1:
                points += self._bend(gap, upright, hop, x)
            elif upright.key[0] == "left":
                points = [(x, hop.right.row)]
            else:
                return [*points, (x, hop.left.row)]
        return [*points, *self._end(hops[-1].right)]

    def _bend(self, gap: int, upright: Upright, hop: Hop, x: float) -> list[Point]:
        second = self.second.get(id(upright))
        if second is None:
            return [(x, hop.left.row), (x, hop.right.row)]
        x2 = self.places.upright_x(gap, second)
        if upright.key[0] == "left":
            y = upright.left[0]
            return [(x2, hop.left.row), (x2, y), (x, y), (x, hop.right.row)]
        y = upright.right[0]
        return [(x, hop.left.row), (x, y), (x2, y), (x2, hop.right.row)]

    def shared(self, gap: int, upright: Upright) -> list[Line]:
        """Return the pieces that all edges of one upright share: to the node, and up and down."""
        x = self.places.upright_x(gap, upright)
        slot = slot_at(upright)
        at_left = upright.key[0] == "left"
        second = self.second.get(id(upright))
        lead: list[Point] = [self._start(slot)] if at_left else list(reversed(self._end(slot)))
        if second is not None:
            x2 = self.places.upright_x(gap, second)
            y = (upright.left if at_left else upright.right)[0]
            lead += [(x2, slot.row), (x2, y), (x, y)]
        else:
            lead.append((x, slot.row))
        if _ends_here(slot):
            lead = []
        metal = slot.node is not None and slot.node.kind == "frame"
        kind = METAL if metal or all(hop.edge.metal for hop in upright.hops) else JOINT
        net = frozenset({_right_net(slot) if at_left else _left_net(slot)})
        owner = slot.node.part.name if slot.node and slot.node.part else ""
        pieces = [_without_idle(lead), ((x, upright.top), (x, upright.bottom))]
        return [Line(owner, kind, net, piece) for piece in pieces if len(piece) > 1]

    def dots(self, gap: int, upright: Upright) -> list[Point]:
        """Return the places on an upright where three or more directions meet."""
        x = self.places.upright_x(gap, upright)
        at_left = upright.key[0] == "left"
        lanes = {row for _, row in _rows_of(upright)}
        lead = (upright.left if at_left else upright.right)[0]
        dots = []
        for y in sorted({*lanes, lead}):
            goes_on = y == lead and not _ends_here(slot_at(upright))
            ways = (y > upright.top) + (y < upright.bottom) + (y in lanes) + goes_on
            if ways >= 3:
                dots.append((x, y))
        return dots

    def _start(self, slot: Slot) -> Point:
        return self.places.ports[slot.number][1], slot.row

    def _end(self, slot: Slot) -> list[Point]:
        """The way from the gap to the left side of a node; round to the far side of a load."""
        turn = self.places.turns.get(slot.number)
        if turn is None:
            return [(self.places.ports[slot.number][0], slot.row)]
        load = self.load_of[slot.number]
        return [(turn, slot.row), (turn, load.row), (self.places.ports[load.number][1], load.row)]


def _ends_here(slot: Slot) -> bool:
    """A joint without symbol and with wires on one side only is nothing but its upright."""
    node = slot.node
    return (
        node is not None and node.kind in ("joint", "splice") and not (node.before and node.after)
    )


def _key(hop: Hop) -> tuple[int, int, int]:
    return hop.edge.number, hop.left.number, hop.right.number


def _without_idle(points: Sequence[Point]) -> tuple[Point, ...]:
    """Return the polyline without repeated points and points on a straight piece."""
    kept: list[Point] = []
    for point in points:
        if kept and kept[-1] == point:
            continue
        if len(kept) > 1 and (
            kept[-2][0] == kept[-1][0] == point[0] or kept[-2][1] == kept[-1][1] == point[1]
        ):
            kept[-1] = point
        else:
            kept.append(point)
    return tuple(kept)
