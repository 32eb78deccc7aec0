"""The places that branches join: boxes of parts and connector halves, breakouts, references."""

from __future__ import annotations

from dataclasses import replace
from functools import cached_property

from circuitcheck.drawing.geometry import LINE_MM, THIN_MM, Box, Figure, Lettering, Stroke
from circuitcheck.drawing.routing.content import Content
from circuitcheck.drawing.routing.tree import Node
from circuitcheck.drawing.strokes import arc, filled, hollow, rectangle
from circuitcheck.drawing.symbols.feeding import failing_sign
from circuitcheck.drawing.text_size import TEXT_MM, printable, text_width_mm, wrapped
from circuitcheck.model.assumed_branches import is_named
from circuitcheck.record import record

DROP_MM = 6.0
"""From one run off a place to the next."""
_WIDEST_MM = 42.0
_STEP_MM = 4.3
_PAD_MM = 1.8
_DOT_MM = 1.5
_UNDER_SIGN_MM = 0.9
_MARK_MM = 3.2
_MARK_WIDE_MM = 16.4


@record
class PlaceLook:
    """A place about its left end on y = 0: what is written, and how many runs leave it aside."""

    place: str
    lines: tuple[str, ...]
    boxed: bool
    up: int = 0
    down: int = 0
    sign: int | None = None
    title: str = ""
    mark: str = ""

    @cached_property
    def width(self) -> float:
        """Room along the row. [mm]"""
        if self.mark:
            return _MARK_WIDE_MM
        drops = (self.up + self.down) * DROP_MM
        words = max((text_width_mm(line) for line in self.lines), default=0.0)
        if self.boxed:
            signed = text_width_mm(self.lines[0]) + self._sign_wide if self.lines else 0.0
            return max(drops + 2.0, words + 2 * _PAD_MM, signed + 2 * _PAD_MM)
        if not self.lines and not drops:
            return 0.0
        label = self.up * DROP_MM + words + 2.0 if self.lines else 0.0
        return max(drops, label)

    @property
    def _sign_wide(self) -> float:
        return 0.0 if self.sign is None else failing_sign(len(str(self.sign))).body.width + 1.0

    @cached_property
    def above_mm(self) -> float:
        """How far it rises above the bundle."""
        if self.mark:
            return _MARK_MM
        if self.boxed:
            return self._half
        return _DOT_MM + 1.6 + TEXT_MM + 1.0 if self.lines else _DOT_MM

    @cached_property
    def below_mm(self) -> float:
        """How far it hangs below the bundle."""
        if self.mark:
            return _MARK_MM + 2.0 + TEXT_MM
        return self._half if self.boxed else _DOT_MM

    @property
    def _half(self) -> float:
        signed = 3.4 + _UNDER_SIGN_MM if self.sign is not None else 0.0
        return (len(self.lines) * _STEP_MM + signed + 2.4) / 2.0

    def drop_x(self, index: int) -> float:
        """Return where the run number `index` leaves, those upward counted first. [mm]"""
        return DROP_MM / 2.0 + index * DROP_MM

    @property
    def dots_x(self) -> list[float]:
        """Where the dots of a breakout stand. [mm]"""
        return [self.drop_x(k) for k in range(self.up + self.down)] or [self.width / 2.0]

    def drop_y(self, upward: bool) -> float:
        """Return where a run leaves, above or below the bundle. [mm]"""
        if not self.boxed:
            return 0.0
        return -self._half if upward else self._half

    def drawn(self, x: float) -> tuple[Figure, ...]:
        """Return the figures of the place with its left end at x."""
        if self.mark:
            return (reference_mark(self.mark, x + _MARK_WIDE_MM / 2.0),)
        if self.boxed:
            return (self._box(x),)
        if not self.lines and not self.up and not self.down:
            return ()
        return (self._breakout(x),)

    def _box(self, x: float) -> Figure:
        half, middle = self._half, x + self.width / 2.0
        strokes = [replace(rectangle(x, -half, x + self.width, half), width_mm=LINE_MM)]
        letterings: list[Lettering] = []
        y = -half + 1.2 + TEXT_MM + 0.4 + (3.4 if self.sign is not None else 0.0)
        for index, line in enumerate(self.lines):
            if index == 0 and self.sign is not None:
                symbol = failing_sign(len(str(self.sign)))
                left = middle - (self._sign_wide + text_width_mm(line)) / 2.0
                at = left + symbol.body.width / 2.0
                strokes += [stroke.moved(at, y + 0.6) for stroke in symbol.strokes]
                letterings.append(Lettering(at, y, str(self.sign), "middle"))
                letterings.append(Lettering(left + self._sign_wide, y, line))
                y += _UNDER_SIGN_MM
            else:
                letterings.append(Lettering(middle, y, line, "middle"))
            y += _STEP_MM
        body = Box(x, -half, x + self.width, half)
        return Figure(self.place, body, tuple(strokes), tuple(letterings), self.title)

    def _breakout(self, x: float) -> Figure:
        """A breakout: a dot where each run leaves, its name above, right of the runs upward."""
        dots = [filled(*arc(x + at, 0.0, _DOT_MM, 0.0, 345.0)) for at in self.dots_x]
        left = x + self.up * DROP_MM + 1.0
        texts = [Lettering(left, -_DOT_MM - 1.6, line) for line in self.lines]
        # Runs leave through it: only its line must stay clear of other symbols.
        body = Box(x, 0.0, x + self.width, 0.0)
        return Figure(self.place, body, tuple(dots), tuple(texts), self.title)


def place_look(node: Node, content: Content, up: int, down: int) -> PlaceLook:
    """Return how a place looks; `up` and `down` runs leave it aside."""
    place = node.place
    if node.mark:
        return PlaceLook(place, (), False, mark=node.mark)
    if node.reference:
        return PlaceLook(place, (node.reference,), True, 0, 0, None, printable(node.reference))
    part = content.harness.parts.get(place.partition(".")[0])
    if part is None:
        lines = tuple(content.place_lines(place))
        title = f"breakout {place}" if is_named(place) else ""
        return PlaceLook(place, lines, False, up, down, None, title)
    lines = tuple(
        piece for line in content.place_lines(place) for piece in wrapped(line, _WIDEST_MM)
    )
    sign = content.notes.get(part.name)
    return PlaceLook(place, lines, True, up, down, sign, printable(f"{part.kind} {place}"))


def reference_mark(letter: str, x: float) -> Figure:
    """Return the circle by which the drawing goes on elsewhere; `with_sheet` adds where."""
    circle = replace(hollow(*arc(x, 0.0, _MARK_MM, 0.0, 345.0)), width_mm=THIN_MM)
    leads = tuple(
        Stroke(((x + a, 0.0), (x + b, 0.0)), LINE_MM)
        for a, b in ((-_MARK_WIDE_MM / 2.0, -_MARK_MM), (_MARK_MM, _MARK_WIDE_MM / 2.0))
    )
    text = Lettering(x, TEXT_MM / 2.0, letter, "middle")
    # With the room in which the sheet may be told.
    half = _MARK_WIDE_MM / 2.0
    body = Box(x - half, -_MARK_MM, x + half, _MARK_MM + 2.0 + TEXT_MM)
    return Figure(mark_name(letter), body, (circle, *leads), (text,), f"goes on at {letter}")


def mark_name(letter: str) -> str:
    """Return the owner's name of both circles of one letter."""
    return f"mark {letter}"


def with_sheet(figure: Figure, sheet: int) -> Figure:
    """Return a reference circle that says on which sheet the drawing goes on."""
    foot = figure.body.bottom - 1.0
    middle = (figure.body.left + figure.body.right) / 2.0
    said = Lettering(middle, foot, f"sheet {sheet}", "middle")
    return replace(figure, letterings=(*figure.letterings, said))
