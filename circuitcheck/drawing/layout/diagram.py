"""From rooms to places: where layers and gaps lie, then figures, outlines, loops and lines."""

from __future__ import annotations

from collections.abc import Callable

from circuitcheck.drawing.geometry import Box, Figure, Stroke
from circuitcheck.drawing.layout.graph import Edge, Node
from circuitcheck.drawing.layout.lanes import Lanes, Slot
from circuitcheck.drawing.layout.least_room import LEAST_GAP_MM, least_in, least_placed, most_placed
from circuitcheck.drawing.layout.lines import ONE_TERMINAL, Places, lines_and_dots
from circuitcheck.drawing.layout.page import JOINT, Drawn, Line, Outline
from circuitcheck.drawing.layout.room import Room
from circuitcheck.drawing.layout.rows import set_rows
from circuitcheck.drawing.layout.sleeves import lane_figure, loop_figure
from circuitcheck.drawing.layout.supply import SupplyDrawing, draw_supply
from circuitcheck.drawing.layout.tracks import TRACK_MM, route_gap
from circuitcheck.drawing.marks import Notes
from circuitcheck.drawing.symbols.feeding import open_end
from circuitcheck.model.terminal import Terminal

MOST_LABEL_LINES = 3
"""On so many lines a wire's label is narrowest."""
Placed = tuple[Room, SupplyDrawing, Places]


def drawn_from(lanes: Lanes, notes: Notes, label_lines: int) -> Drawn:
    """Return the diagram of ordered lanes; a wire's label stands on so many lines."""
    return _drawn_at(placed(lanes, notes, label_lines), lanes, notes)


def drawn_where(
    holds: Callable[[Box], bool], lanes: Lanes, notes: Notes, label_lines: int
) -> Drawn | None:
    """Return the diagram where it has room; None as soon as it is certain that it has not."""
    room = Room(lanes, notes, label_lines)
    if not holds(least_in(room)):
        return None
    at = _placed_in(room)
    if not holds(least_placed(lanes, at[2])):
        return None
    drawn = _drawn_at(at, lanes, notes)
    return drawn if holds(drawn.box) else None


def room_where(holds: Callable[[Box], bool], lanes: Lanes, notes: Notes) -> Box | None:
    """Return a box no smaller than the diagram where it has room; None where it has not.

    Labels stand on as many lines as there are at the most. Drawn only where that decides.
    """
    room = Room(lanes, notes, MOST_LABEL_LINES)
    if not holds(least_in(room)):
        return None
    at = _placed_in(room)
    if not holds(least_placed(lanes, at[2])):
        return None
    most = most_placed(room, at[1].box, at[2])
    if holds(most):
        return most
    drawn = _drawn_at(at, lanes, notes).box
    return drawn if holds(drawn) else None


def _drawn_at(at: Placed, lanes: Lanes, notes: Notes) -> Drawn:
    room, supply, places = at
    lines, dots = lines_and_dots(lanes, places, notes)
    shift = places.right[0] - supply.box.right
    figures = [figure.moved(shift, 0.0) for figure in supply.figures]
    lines += [
        _own_line(slot, stroke.moved(shift, 0.0), live) for slot, stroke, live in supply.conductors
    ]
    dots += [(x + shift, y) for x, y in supply.dots]
    outlines = [Outline("", box.moved(shift, 0.0), dashed=True) for box in supply.outlines]
    if outlines:
        titles = tuple(title.moved(shift, 0.0) for title in supply.titles)
        outlines[0] = Outline("", outlines[0].box, (), titles, dashed=True)
    for index, layer in enumerate(lanes.layers):
        for slot in layer:
            if slot.number in room.texts:
                figures.append(_lane(slot, room, places))
            elif slot.number in room.pieces:
                piece = room.pieces[slot.number]
                figures.append(piece.figure.moved(places.middle[index], slot.row))
    for block in room.blocks.values():
        x = places.middle[block.slots[0].layer]
        figures += [figure.moved(x, 0.0) for figure in block.figures()]
        outline = block.outline()
        outlines += [outline.moved(x, 0.0)] if outline is not None else []
    figures += _open_ends(lanes, places)
    figures = [figure for figure in figures if figure.strokes or figure.letterings]
    return Drawn(
        tuple(lines), tuple(dots), tuple(figures), tuple(outlines), tuple(_loops(room, places))
    )


def placed(lanes: Lanes, notes: Notes, label_lines: int) -> Placed:
    """Return how much room everything takes and where it stands; sets the rows of the slots."""
    return _placed_in(Room(lanes, notes, label_lines))


def _placed_in(room: Room) -> Placed:
    lanes = room.lanes
    set_rows(lanes, room.pads)
    supply = draw_supply(lanes, room.notes)
    return room, supply, _places(lanes, room, supply)


def _places(lanes: Lanes, room: Room, supply: SupplyDrawing) -> Places:
    gaps = [route_gap(hops) for hops in lanes.hops]
    left, middle, right = [0.0], [0.0], [supply.box.width]
    for index, gap in enumerate(gaps, start=1):
        start = right[-1] + (TRACK_MM * (gap.tracks + 1) if gap.tracks else LEAST_GAP_MM)
        west, east = room.west_east(index)
        left.append(start)
        middle.append(start + west)
        right.append(start + west + east)
    ports = {}
    shift = right[0] - supply.box.right
    for number, x in supply.ports.items():
        ports[number] = (x + shift, x + shift)
    for block in room.blocks.values():
        for slot, node in zip(block.slots, block.nodes, strict=True):
            x, (west, east) = middle[slot.layer], block.ports(node)
            ports[slot.number] = (x + west, x + east)
    for number, piece in room.pieces.items():
        slot = room.slot_of[number]
        x = middle[slot.layer]
        ports[number] = (x + piece.left, x + piece.right)
    return Places(left, middle, right, gaps, ports, _turn_tracks(lanes, right[-1]))


def _turn_tracks(lanes: Lanes, right: float) -> dict[int, float]:
    """Place of the upright from each load to its return, the shortest nearest, by return slot."""
    turns = sorted(lanes.turns, key=lambda t: (abs(t[1].row - t[0].row), t[0].row))
    track_of: list[tuple[Slot, Slot, int]] = []
    for coil, back in turns:
        top, bottom = sorted((coil.row, back.row))
        crossed = [
            track + 1
            for other_coil, other_back, track in track_of
            if min(other_coil.row, other_back.row) < bottom + 1.0
            and top - 1.0 < max(other_coil.row, other_back.row)
        ]
        track_of.append((coil, back, max(crossed, default=0)))
    return {back.number: right + TRACK_MM * (track + 1) for _, back, track in track_of}


def _own_line(slot: int, stroke: Stroke, live: bool) -> Line:
    return Line("", JOINT, frozenset({f"{slot} right"}), stroke.points, live=live)


def _lane(slot: Slot, room: Room, places: Places) -> Figure:
    box = Box(places.left[slot.layer], -0.5, places.right[slot.layer], 0.5)
    return lane_figure(slot, room.texts[slot.number], box).moved(0.0, slot.row)


def _open_ends(lanes: Lanes, places: Places) -> list[Figure]:
    """A small open circle at every terminal on which no wire lands."""
    wired = {
        (side, terminal)
        for layer in lanes.layers
        for slot in layer
        if slot.node
        for side, terminal, edges in _sides(slot.node)
        if edges and terminal
    }
    figures = []
    for slot in (slot for layer in lanes.layers for slot in layer):
        if slot.node is None or slot.node.kind in (*ONE_TERMINAL, "battery plus", "battery minus"):
            continue
        for side, terminal, _ in _sides(slot.node):
            if terminal is None or (side, terminal) in wired:
                continue
            wired.add((side, terminal))
            x = places.ports[slot.number][side]
            figures.append(_open_end(terminal.part, x, 1 if side else -1, slot.row))
        if slot.node.far is not None and slot.node.back is None:
            figures.append(_open_end("", places.ports[slot.number][1], 1, slot.row))
    return figures


def _open_end(owner: str, x: float, outward: int, row: float) -> Figure:
    end = open_end()
    middle = x + outward * end.right
    strokes = tuple(stroke.moved(middle, row) for stroke in end.strokes)
    return Figure(owner, end.body.moved(middle, row), strokes)


def _sides(node: Node) -> tuple[tuple[int, Terminal | None, list[Edge]], ...]:
    return (0, node.left, node.before), (1, node.right, node.after)


def _loops(room: Room, places: Places) -> list[Figure]:
    loops = []
    for slots in room.loops.values():
        rows = [slot.row for slot in slots]
        x = places.left[slots[0].layer] + room.texts[slots[0].number].loop_at
        loops.append(loop_figure(slots[0].loop, x, min(rows), max(rows)))
    return loops
