"""Column 0: battery, and for each supply tap the machine's own fuse, wire and key contact.

The battery stands upright at the foot, the upstream conductors run up from its plus post, each
tap at the right of a dashed outline: in the machine, as described.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from circuitcheck.drawing import symbols
from circuitcheck.drawing.geometry import (
    CONDUCTOR_MM,
    Box,
    Figure,
    Lettering,
    Point,
    Stroke,
    box_around,
)
from circuitcheck.drawing.layout_heading import (
    NAME_LETTERS,
    heading,
    heading_above,
    heading_width,
)
from circuitcheck.drawing.layout_lanes import Slot
from circuitcheck.drawing.layout_upstream import (
    GROUP_BELOW_MM,
    STEP_MM,
    present_load,
    rise_mm,
    upstream_figure,
)
from circuitcheck.drawing.marks import Notes
from circuitcheck.drawing.strokes import turned
from circuitcheck.drawing.text_size import TEXT_MM, printable, shortened, wrapped
from circuitcheck.model.battery import Battery
from circuitcheck.model.supply_tap import SupplyTap

OUTLINE_TITLE = ("in the machine,", "as described")
_TEXT_X_MM = 4.0
_TEXT_MM = 38.0
_RAIL_X_MM = -17.0
BATTERY_MM = 27.5


@dataclass
class SupplyDrawing:
    """What column 0 adds to the drawing, about x = 0 on the upstream conductor."""

    figures: list[Figure] = field(default_factory=list)
    outlines: list[Box] = field(default_factory=list)
    titles: list[Lettering] = field(default_factory=list)
    conductors: list[tuple[int, Stroke]] = field(default_factory=list)
    dots: list[tuple[float, float]] = field(default_factory=list)
    ports: dict[int, float] = field(default_factory=dict)

    @property
    def box(self) -> Box:
        """All the room that the column takes."""
        boxes = [f.box for f in self.figures] + self.outlines + [t.box for t in self.titles]
        boxes += [stroke.box for _, stroke in self.conductors]
        return box_around(boxes) if boxes else Box(0.0, 0.0, 0.0, 0.0)


def supply_room(slot: Slot, notes: Notes) -> tuple[float, float]:
    """Return the room above and below the row of one slot of column 0. [mm]"""
    node = slot.node
    if node is None:
        return 0.6, 0.6
    if node.kind == "supply tap":
        rise = rise_mm(node.part) if isinstance(node.part, SupplyTap) else 10.5
        return rise + 2 * STEP_MM + 1.0, GROUP_BELOW_MM + 2.0
    if node.kind == "battery plus":
        return 4.0, BATTERY_MM / 2.0
    if node.kind == "battery minus":
        return BATTERY_MM / 2.0, 3.0
    return 4.0, 4.0


def draw_supply(slots: Sequence[Slot], notes: Notes) -> SupplyDrawing:
    """Return the figures of column 0; rows of its slots must be set."""
    drawing = SupplyDrawing()
    plus = {
        s.node.part.name: s
        for s in slots
        if s.node and s.node.part and s.node.kind == "battery plus"
    }
    taps = [s for s in slots if s.node and s.node.kind == "supply tap"]
    for slot in taps:
        if slot.node and isinstance(slot.node.part, SupplyTap):
            _tap(drawing, slot, slot.node.part, notes)
    _feeds(drawing, taps, plus)
    minus = {
        s.node.part.name: s
        for s in slots
        if s.node and s.node.part and s.node.kind == "battery minus"
    }
    for name, slot in plus.items():
        if slot.node and isinstance(slot.node.part, Battery):
            _battery(drawing, slot, minus[name], slot.node.part, notes)
    return drawing


def _tap(drawing: SupplyDrawing, slot: Slot, tap: SupplyTap, notes: Notes) -> None:
    row = slot.row
    strokes, letterings = upstream_figure(tap, notes)
    texts = present_load(tap)
    wide = heading_width(tap.name, shortened(tap.name, NAME_LETTERS), notes) + 2.0
    right = max([wide, *(t.box.right for t in letterings + texts)]) + 2.0
    left = min(s.box.left for s in strokes) - 2.0
    outline = Box(left, row - rise_mm(tap), right, row + GROUP_BELOW_MM - 2.0)
    body = Box(left + 0.5, row + 9.0, right - 0.5, row + GROUP_BELOW_MM - 4.0)
    strokes.append(Stroke(((0.0, 0.0), (right, 0.0)), CONDUCTOR_MM))
    if texts:
        strokes.append(Stroke(((0.0, 0.0), (0.0, -6.5)), CONDUCTOR_MM))
        strokes += [s.moved(0.0, -6.5) for s in symbols.branch_arrow().strokes]
        strokes += symbols.joint().strokes
    drawing.figures.append(
        Figure(
            tap.name,
            body,
            tuple(s.moved(0.0, row) for s in strokes),
            tuple(t.moved(0.0, row) for t in letterings + texts),
            printable(f"upstream of {tap.name}: in the machine, as described"),
        )
    )
    mark = symbols.supply_tap()
    name = shortened(tap.name, NAME_LETTERS)
    foot = row + 1.2 + heading_above(tap.name, notes)
    signs, names = heading(tap.name, name, right - 1.5, foot, notes, "end")
    strokes = [s.moved(right, row) for s in mark.strokes] + signs
    drawing.figures.append(
        Figure(
            tap.name,
            mark.body.moved(right, row),
            tuple(strokes),
            tuple(names),
            printable(f"supply tap {tap.name}"),
        )
    )
    reach = right + 2.0
    _conductor(drawing, slot, (right + 1.3, row), (reach, row))
    drawing.ports[slot.number] = reach
    drawing.outlines.append(outline)
    for index, line in enumerate(reversed(OUTLINE_TITLE)):
        y = outline.top - 1.0 - index * STEP_MM
        drawing.titles.append(Lettering(outline.left, y, line))


def _feeds(drawing: SupplyDrawing, taps: Sequence[Slot], plus: Mapping[str, Slot]) -> None:
    """Conductors from the plus post up to the foot of each group; upper ones run at the left."""
    straight, railed = False, []
    post: Slot | None = None
    for slot in sorted(taps, key=lambda tap: tap.row):
        if slot.node is None or not isinstance(slot.node.part, SupplyTap):
            continue
        foot = slot.row + GROUP_BELOW_MM
        source = slot.node.part.upstream.source
        found = plus.get(source.part) if source.name == "+" else None
        if found is None:
            drawing.figures.append(_foreign_source(slot.node.part.name, str(source), foot))
        elif any(other.row > slot.row for other in taps):
            post = found
            railed.append(foot)
            rail = ((_RAIL_X_MM, foot), (_RAIL_X_MM, post.row), (0.0, post.row))
            _conductor(drawing, post, (0.0, foot), *rail)
        else:
            post, straight = found, True
            _conductor(drawing, post, (0.0, foot), (0.0, post.row))
    drawing.dots += [(_RAIL_X_MM, foot) for foot in railed[1:]]
    if post is not None:
        wired = bool(post.node and post.node.after)
        if straight + bool(railed) + wired >= 2:
            drawing.dots.append((0.0, post.row))


def _foreign_source(tap: str, source: str, foot: float) -> Figure:
    """The open end of a conductor that comes from something outside the drawing."""
    end = symbols.open_end()
    text = Lettering(2.0, foot + 1.2, shortened(f"from {source}", 18))
    strokes = tuple(s.moved(0.0, foot) for s in end.strokes)
    return Figure(tap, end.body.moved(0.0, foot), strokes, (text,))


def _battery(
    drawing: SupplyDrawing, plus: Slot, minus: Slot, battery: Battery, notes: Notes
) -> None:
    symbol = turned(symbols.battery())
    middle = (plus.row + minus.row) / 2.0
    lines = wrapped(shortened(battery.type, 40), _TEXT_MM)[:2]
    top = middle - (len(lines) * STEP_MM) / 2.0 + TEXT_MM / 2.0
    signs, names = heading(
        battery.name, shortened(battery.name, NAME_LETTERS), 7.0, top, notes, "start"
    )
    letterings = [
        *names,
        Lettering(-4.2, middle - 3.4, "+", "end"),
        Lettering(-4.2, middle + 5.4, "−", "end"),
    ]
    letterings += [
        Lettering(7.0, top + STEP_MM * (index + 1), line) for index, line in enumerate(lines)
    ]
    strokes = [s.moved(0.0, middle) for s in symbol.strokes]
    body = symbol.body.moved(0.0, middle)
    drawing.figures.append(
        Figure(
            battery.name,
            body,
            (*strokes, *signs),
            tuple(letterings),
            printable(f"battery {battery.name}"),
        )
    )
    has_feed = any(stroke.points[-1] == (0.0, plus.row) for _, stroke in drawing.conductors)
    wired = bool(plus.node and plus.node.after)
    reach = 7.0
    first = plus.row if has_feed or wired else middle + symbol.left
    _conductor(drawing, plus, (0.0, first), (0.0, middle + symbol.left))
    foot = (0.0, middle + symbol.right)
    _conductor(drawing, minus, foot, (0.0, minus.row), (reach, minus.row))
    drawing.ports[minus.number] = reach
    if wired:
        _conductor(drawing, plus, (0.0, plus.row), (reach, plus.row))
        drawing.ports[plus.number] = reach


def _conductor(drawing: SupplyDrawing, slot: Slot, *points: Point) -> None:
    drawing.conductors.append((slot.number, Stroke(points, CONDUCTOR_MM)))
