"""Column 0: what is in the machine, as described: the battery and all that feeds the taps.

A dashed outline holds it together; the taps lie on its right side. The battery stands at the foot.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from circuitcheck.drawing.geometry import (
    CONDUCTOR_MM,
    LIVE_MM,
    Box,
    Figure,
    Lettering,
    Point,
    Stroke,
    box_around,
)
from circuitcheck.drawing.layout.heading import NAME_LETTERS, heading, heading_above
from circuitcheck.drawing.layout.lanes import Lanes, Slot
from circuitcheck.drawing.layout.upstream import STEP_MM, UpstreamDrawing, tap_stands_live, upstream
from circuitcheck.drawing.marks import Notes
from circuitcheck.drawing.strokes import turned
from circuitcheck.drawing.symbols import feeding
from circuitcheck.drawing.text_size import TEXT_MM, printable, shortened, text_width_mm, wrapped
from circuitcheck.model.battery import Battery
from circuitcheck.model.supply_tap import SupplyTap

OUTLINE_TITLE = ("in the machine,", "as described")
BATTERY_MM = 22.5
_TEXT_X_MM, _TEXT_MM = 7.0, 27.0
_REACH_MM = 2.0
_OUTLINE_MM = 1.5
_FOREIGN_MM = 3.0
"""Room below what feeds a tap, where the name of a source outside the drawing stands."""
_TITLE_MM = 2.0 * STEP_MM + 1.4


@dataclass
class SupplyDrawing:
    """What column 0 adds to the drawing, about x = 0 on the rail up from the battery.

    `conductors` are the number of a slot, a stroke of what it stands for, and whether that is live.
    """

    figures: list[Figure] = field(default_factory=list)
    outlines: list[Box] = field(default_factory=list)
    titles: list[Lettering] = field(default_factory=list)
    conductors: list[tuple[int, Stroke, bool]] = field(default_factory=list)
    dots: list[tuple[float, float]] = field(default_factory=list)
    ports: dict[int, float] = field(default_factory=dict)

    @property
    def box(self) -> Box:
        """All the room that the column takes."""
        boxes = [f.box for f in self.figures] + self.outlines + [t.box for t in self.titles]
        boxes += [stroke.box for _, stroke, _ in self.conductors]
        return box_around(boxes) if boxes else Box(0.0, 0.0, 0.0, 0.0)

    def conductor(self, slot: Slot, *points: Point, live: bool) -> None:
        """Add a conductor that belongs to what `slot` stands for."""
        self.conductors.append((slot.number, Stroke(points, CONDUCTOR_MM), live))


def supply_room(slot: Slot, lanes: Lanes, notes: Notes) -> tuple[float, float]:
    """Return the room above and below the row of one of the slots of column 0. [mm]"""
    node, slots = slot.node, lanes.layers[0]
    if node is None:
        return 0.6, 0.6
    if isinstance(node.part, SupplyTap):
        drawn = _upstream(node.part, lanes, notes)
        title = _TITLE_MM if slot is _taps(slots)[0] else 0.0
        fed_here = node.part.upstream.source.part in _posts(slots, "battery plus")
        return drawn.rise + title, drawn.drop + (0.0 if fed_here else _FOREIGN_MM)
    if node.kind == "battery plus":
        return 3.0, BATTERY_MM / 2.0
    if node.kind == "battery minus":
        return BATTERY_MM / 2.0, 3.0
    return 4.0, 4.0


def _upstream(tap: SupplyTap, lanes: Lanes, notes: Notes) -> UpstreamDrawing:
    """Return what feeds the tap, upright where it is the only one."""
    key = "upstream", tap.name
    if key not in lanes.drawn:
        lanes.drawn[key] = upstream(tap, notes, upright=len(_taps(lanes.layers[0])) == 1)
    drawing: UpstreamDrawing = lanes.drawn[key]
    return drawing


def draw_supply(lanes: Lanes, notes: Notes) -> SupplyDrawing:
    """Return the figures of column 0; rows of its slots must be set."""
    return _Machine(lanes, notes).drawn()


def least_supply_width_mm(lanes: Lanes, notes: Notes) -> float:
    """Return a width no larger than that of column 0, on whatever rows its slots stand."""
    machine = _Machine(lanes, notes)
    if not machine.groups:
        return machine.drawn().box.width
    left = min(0.0, *(group.body.left for _, _, group in machine.groups))
    return machine.right + _REACH_MM + _OUTLINE_MM - left


def _taps(slots: Sequence[Slot]) -> list[Slot]:
    return [s for s in slots if s.node and isinstance(s.node.part, SupplyTap)]


def _posts(slots: Sequence[Slot], kind: str) -> dict[str, Slot]:
    return {s.node.part.name: s for s in slots if s.node and s.node.part and s.node.kind == kind}


class _Machine:
    """Draws taps, batteries and what joins them; one use only."""

    def __init__(self, lanes: Lanes, notes: Notes):
        self.notes, slots = notes, lanes.layers[0]
        self.plus, self.minus = _posts(slots, "battery plus"), _posts(slots, "battery minus")
        taps = [(s, s.node.part) for s in _taps(slots) if s.node]
        self.groups = [
            (slot, tap, _upstream(tap, lanes, notes))
            for slot, tap in taps
            if isinstance(tap, SupplyTap)
        ]
        self.drawing = SupplyDrawing()
        self.texts = {name: self._battery_text(slot) for name, slot in self.plus.items()}
        self.feeding = {
            tap.upstream.source.part
            for _, tap, _ in self.groups
            if tap.upstream.source.name == "+" and tap.upstream.source.part in self.plus
        }
        wide = [group.right for _, _, group in self.groups]
        wide += [t.box.right + 2.0 for name in self.feeding for t in self.texts[name][1]]
        self.right = max(wide, default=_TEXT_X_MM)

    def drawn(self) -> SupplyDrawing:
        """Return the whole column."""
        for slot, tap, group in self.groups:
            self._tap(slot, tap, group)
        self._rails()
        for name, slot in self.plus.items():
            self._battery(slot, self.minus[name])
        self._outline()
        return self.drawing

    def _tap(self, slot: Slot, tap: SupplyTap, group: UpstreamDrawing) -> None:
        drawing, row, right = self.drawing, slot.row, self.right
        live = tap_stands_live(tap, self.notes)
        longer = Stroke(((group.right, 0.0), (right, 0.0)), LIVE_MM if live else CONDUCTOR_MM)
        drawing.figures.append(
            Figure(
                tap.name,
                group.body.moved(0.0, row),
                tuple(s.moved(0.0, row) for s in (*group.strokes, longer)),
                tuple(t.moved(0.0, row) for t in group.letterings),
                printable(f"upstream of {tap.name}: in the machine, as described"),
            )
        )
        mark = feeding.supply_tap()
        foot = row + 1.2 + heading_above(tap.name, self.notes) if group.name_below else row - 1.4
        name = shortened(tap.name, NAME_LETTERS)
        signs, names = heading(tap.name, name, right - 1.5, foot, self.notes, "end")
        drawing.figures.append(
            Figure(
                tap.name,
                mark.body.moved(right, row),
                (*mark.moved(right, row), *signs),
                tuple(names),
                printable(f"supply tap {tap.name}"),
            )
        )
        reach = right + _REACH_MM
        drawing.conductor(slot, (right + mark.right, row), (reach, row), live=live)
        drawing.ports[slot.number] = reach

    def _rails(self) -> None:
        """Conductors from the plus posts up to what feeds each tap."""
        ends: dict[str, list[Point]] = {}
        for slot, tap, group in self.groups:
            x, y = group.fed_at[0], slot.row + group.fed_at[1]
            source = tap.upstream.source
            if source.part in self.feeding and source.name == "+":
                ends.setdefault(source.part, []).append((x, y))
            else:
                self.drawing.figures.append(_foreign_source(tap.name, str(source), x, y))
        live = self.notes.values is not None
        for name, points in ends.items():
            post = self.plus[name]
            first, *others = sorted(points, key=lambda point: point[1])
            self.drawing.conductor(post, first, *_corner(first), (0.0, post.row), live=live)
            for point in others:
                self.drawing.conductor(post, point, (0.0, point[1]), live=live)
                self.drawing.dots.append((0.0, point[1]))
            if post.node and post.node.after:
                self.drawing.dots.append((0.0, post.row))

    def _battery_text(self, plus: Slot) -> tuple[list[Stroke], list[Lettering]]:
        """Return name and type beside a battery whose middle lies at y = 0."""
        battery = plus.node.part if plus.node else None
        if not isinstance(battery, Battery):
            raise TypeError(f"slot {plus.number} is no battery")
        lines = _type_lines(battery.type)
        top = TEXT_MM / 2.0 - (len(lines) * STEP_MM) / 2.0
        name = shortened(battery.name, NAME_LETTERS)
        signs, letterings = heading(battery.name, name, _TEXT_X_MM, top, self.notes, "start")
        letterings += [
            Lettering(_TEXT_X_MM, top + STEP_MM * (index + 1), line)
            for index, line in enumerate(lines)
        ]
        return signs, letterings

    def _battery(self, plus: Slot, minus: Slot) -> None:
        drawing, name = self.drawing, _name(plus)
        symbol = turned(feeding.battery())
        middle = (plus.row + minus.row) / 2.0
        signs, texts = self.texts[name]
        letterings = [
            *(text.moved(0.0, middle) for text in texts),
            Lettering(-4.2, middle - 3.4, "+", "end"),
            Lettering(-4.2, middle + 5.4, "−", "end"),
        ]
        strokes = (*symbol.moved(0.0, middle), *(sign.moved(0.0, middle) for sign in signs))
        body, title = symbol.body.moved(0.0, middle), printable(f"battery {name}")
        drawing.figures.append(Figure(name, body, strokes, tuple(letterings), title))
        reach = self.right + _REACH_MM if name in self.feeding else _TEXT_X_MM
        wired = bool(plus.node and plus.node.after)
        top = (0.0, middle + symbol.left)
        live = self.notes.values is not None
        if wired or name in self.feeding:
            drawing.conductor(plus, (0.0, plus.row), top, live=live)
        if wired:
            drawing.conductor(plus, (0.0, plus.row), (reach, plus.row), live=live)
            drawing.ports[plus.number] = reach
        foot = (0.0, middle + symbol.right)
        returns = _has_live_wire(minus, self.notes)
        drawing.conductor(minus, foot, (0.0, minus.row), (reach, minus.row), live=returns)
        drawing.ports[minus.number] = reach

    def _outline(self) -> None:
        """Round the taps with what feeds them, and the battery where it feeds one."""
        if not self.groups:
            return
        boxes = [f.box for f in self.drawing.figures if f.owner not in self.plus]
        boxes += [f.box for f in self.drawing.figures if f.owner in self.feeding]
        rows = [self.minus[name].row for name in self.feeding]
        inner = box_around(boxes)
        top = min(slot.row - group.rise for slot, _, group in self.groups)
        bottom = max([inner.bottom, *rows]) + 2.0
        outline = Box(min(inner.left, 0.0) - _OUTLINE_MM, top, self.right, bottom)
        self.drawing.outlines.append(outline)
        for index, line in enumerate(reversed(OUTLINE_TITLE)):
            y = outline.top - 1.0 - index * STEP_MM
            self.drawing.titles.append(Lettering(outline.left, y, line))


def _type_lines(said: str) -> list[str]:
    """Return a battery's type on one line, or broken, at its comma if that does."""
    head, comma, tail = shortened(said, 40).partition(", ")
    lines = [head + comma.strip(), tail] if tail else [head]
    if max(text_width_mm(line) for line in lines) > _TEXT_MM:
        lines = wrapped(shortened(said, 40), _TEXT_MM)
    return lines if len(lines) <= 2 else [lines[0], shortened(" ".join(lines[1:]), 14)]


def _has_live_wire(slot: Slot, notes: Notes) -> bool:
    near = (*slot.node.before, *slot.node.after) if slot.node else ()
    values = notes.values
    return values is not None and any(e.wire and values.is_live_wire(e.wire.name) for e in near)


def _name(slot: Slot) -> str:
    return slot.node.part.name if slot.node and slot.node.part else ""


def _corner(end: Point) -> tuple[Point, ...]:
    return () if end[0] == 0.0 else ((0.0, end[1]),)


def _foreign_source(tap: str, source: str, x: float, y: float) -> Figure:
    """The open end of a conductor that comes from something outside the drawing."""
    end = feeding.open_end()
    text = Lettering(x - 1.5, y - 7.2, shortened(f"from {source}", 14))
    if x == 0.0:
        text = Lettering(2.0, y + 2.2, shortened(f"from {source}", 18))
    return Figure(tap, end.body.moved(x, y), end.moved(x, y), (text,))
