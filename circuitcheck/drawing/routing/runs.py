"""One branch on paper, from left to right along y = 0: how wide it has to be, and its figures.

Above the bundle stands what sits on it, at its place; below it the dimension and what it is made
of. Distances along it are in proportion, but give way where lettering needs the room.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from circuitcheck.drawing.geometry import THIN_MM, Box, Figure, Lettering, Stroke
from circuitcheck.drawing.layout.page import WIRE, Line
from circuitcheck.drawing.routing.content import MM, Content
from circuitcheck.drawing.routing.drawn import Bundle
from circuitcheck.drawing.routing.fitted import clip, covered, grommet, inline_symbol
from circuitcheck.drawing.routing.tree import Run
from circuitcheck.drawing.strokes import Symbol
from circuitcheck.drawing.symbols.feeding import failing_sign
from circuitcheck.drawing.text_size import printable, text_width_mm
from circuitcheck.model.branch import Branch

STEP_MM = 3.8
SIDE_MM = 2.0
"""Clear length at both ends of a branch."""
_GAP_MM = 2.5
_DIMENSION_MM = 8.0
_FIGURE_MM = 7.1
_FIRST_MM = 12.0
_SIGN_MM = 6.8
MATE_MM = 5.0
LEAST_MM = 22.0


@dataclass(frozen=True)
class OnRun:
    """A symbol on the bundle with its lettering above; `share` is its place, 0 to 1."""

    symbol: Symbol
    lines: tuple[str, ...]
    share: float
    owner: str
    sign: int | None = None

    @property
    def width(self) -> float:
        """Room along the bundle. [mm]"""
        words = max((text_width_mm(line) for line in self.lines), default=0.0)
        if self.sign is not None:
            words = max(words, text_width_mm(self.lines[0]) + _sign_width(self.sign))
        return max(words, self.symbol.body.width + 2.0)

    @property
    def height(self) -> float:
        """How far the lettering rises above the bundle. [mm]"""
        extra = 4.3 if self.sign is not None else 0.0
        return -self.symbol.body.top + 1.0 + len(self.lines) * STEP_MM + extra


@dataclass(frozen=True)
class RunLook:
    """A branch with all that is written and fitted, and the room that it needs."""

    run: Run
    lines: tuple[str, ...] = ()
    dimension: str = ""
    on: tuple[OnRun, ...] = ()
    clips: tuple[float, ...] = ()
    signs: tuple[tuple[str, int], ...] = ()
    thickness_mm: float = 1.0
    title: str = ""
    zone_line: str = ""

    @property
    def least_mm(self) -> float:
        """Least length on paper."""
        if self.run.branch is None or self.run.cut:
            return MATE_MM
        words = [text_width_mm(line) for line in (*self.lines, self.dimension, self.zone_line)]
        words.append(sum(_sign_width(n) + text_width_mm(w) + 2.0 for w, n in self.signs))
        above = sum(one.width + _GAP_MM for one in self.on)
        return max(LEAST_MM, 2 * SIDE_MM + max(words), 2 * SIDE_MM + above)

    @property
    def above_mm(self) -> float:
        """How far it rises above the bundle."""
        if self.run.branch is None or self.run.cut:
            return 2.0
        return max((one.height for one in self.on), default=0.0) + 2.6

    @property
    def below_mm(self) -> float:
        """How far it hangs below the bundle."""
        if self.run.branch is None or self.run.cut:
            return 2.0
        signs = _SIGN_MM if self.signs else 0.0
        return self.first_mm + max(len(self.lines) - 1, 0) * STEP_MM + 1.4 + signs

    @property
    def first_mm(self) -> float:
        """Base line of the first words below the bundle."""
        return _FIRST_MM if self.dimension else _FIRST_MM - STEP_MM - 1.6


def _sign_width(number: int) -> float:
    return failing_sign(len(str(number))).body.width + 1.0


def look_of(run: Run, content: Content, zone_line: str) -> RunLook:
    """Return how a branch looks; `zone_line` names the band where one begins."""
    branch = run.branch
    if branch is None:
        return RunLook(run)
    size = content.diameter_m(branch)
    thick = min(3.2, max(0.8, 0.5 + 0.14 * size * MM)) if size else 1.0
    said = "assumed branch" if branch.assumed else f"branch {branch.name}"
    wires = ", ".join(content.wires_of(branch)) or "no wire"
    title = printable(f"{said}, {branch.start} to {branch.end}: {wires}".replace("~", ""))
    if run.cut:
        return RunLook(run, thickness_mm=thick, title=f"{title}; drawn elsewhere")
    on, clips = _fittings(run, branch, content)
    return RunLook(
        run,
        tuple(content.branch_lines(branch)),
        content.length_words(branch),
        tuple(sorted(on, key=lambda one: one.share)),
        tuple(sorted(clips)),
        content.fails_in(branch),
        thick,
        title,
        zone_line,
    )


def _fittings(run: Run, branch: Branch, content: Content) -> tuple[list[OnRun], list[float]]:
    """Return what sits on a branch, and the places of its clips, as shares from the left."""
    length_m = branch.length_m.nominal if branch.length_m else None
    on = [
        OnRun(
            inline_symbol(content.harness.parts.get(one.part)),
            tuple(content.inline_lines(one, branch)),
            _share(one.at_m, length_m, k, len(branch.inline)),
            one.part,
            content.notes.get(one.part),
        )
        for k, one in enumerate(branch.inline)
    ]
    on += [
        OnRun(grommet(), tuple(content.grommet_lines(g)), _share(g.at_m, length_m, 0, 1), "")
        for g in branch.grommets
    ]
    clips = [_share(place, length_m, 0, 1) for place in branch.clip_places_m]
    if not run.forward:
        clips = [1.0 - share for share in clips]
        on = [OnRun(o.symbol, o.lines, 1.0 - o.share, o.owner, o.sign) for o in on]
    return on, clips


def _share(at_m: float | None, length_m: float | None, index: int, count: int) -> float:
    if at_m is None or not length_m:
        return (index + 1.0) / (count + 1.0)
    return min(1.0, at_m / length_m)


@dataclass(frozen=True)
class RunDrawn:
    """A branch drawn from `left` to `right`, with the bundle in pieces between its symbols."""

    bundles: tuple[Bundle, ...]
    figures: tuple[Figure, ...]


def drawn_run(look: RunLook, left: float, right: float, ends: tuple[str, str]) -> RunDrawn:
    """Return the figures of a branch along y = 0; `ends` name the places that it joins."""
    branch = look.run.branch
    if branch is None:
        return _mated(left, right, ends)
    if look.run.cut:
        line = Line(
            branch.name, WIRE, frozenset(ends), ((left, 0.0), (right, 0.0)), False, look.title
        )
        return RunDrawn((Bundle(line, look.thickness_mm),), ())
    places = _spread(look.on, left + SIDE_MM, right - SIDE_MM)
    scale = [
        (0.0, left),
        *((o.share, x) for o, x in zip(look.on, places, strict=True)),
        (1.0, right),
    ]
    clips = [_along(scale, share) for share in look.clips]
    figures: list[Figure] = []
    bundles: list[Bundle] = []
    start, joint = left, ends[0]
    for index, (one, x) in enumerate((*zip(look.on, places, strict=True), (None, right))):
        stop = right if one is None else x + one.symbol.left
        after = ends[1] if one is None else f"{branch.name}/{index}"
        net = frozenset((joint, after))
        line = Line(branch.name, WIRE, net, ((start, 0.0), (stop, 0.0)), False, look.title)
        bundles.append(Bundle(line, look.thickness_mm))
        figures += _dressed(look, start, stop, clips)
        if one is not None:
            figures.append(_symbol(one, x, branch.name))
            start, joint = x + one.symbol.right, after
    figures.append(_below(look, left, right))
    return RunDrawn(tuple(bundles), tuple(figures))


def _mated(left: float, right: float, ends: tuple[str, str]) -> RunDrawn:
    """Two halves plugged together: two short strokes between their boxes."""
    name = ends[0].partition(".")[0]
    strokes = tuple(Stroke(((left, y), (right, y)), THIN_MM) for y in (-1.5, 1.5))
    figure = Figure(name, Box(left + 0.1, -1.5, right - 0.1, 1.5), strokes, (), f"{name} mated")
    return RunDrawn((), (figure,))


def _spread(on: Sequence[OnRun], left: float, right: float) -> list[float]:
    """Return where symbols stand: in proportion, moved apart where lettering needs it."""
    places: list[float] = []
    edge = left
    for one in on:
        x = max(left + one.share * (right - left), edge + one.width / 2.0)
        places.append(x)
        edge = x + one.width / 2.0 + _GAP_MM
    edge = right
    for index in range(len(on) - 1, -1, -1):
        places[index] = min(places[index], edge - on[index].width / 2.0)
        edge = places[index] - on[index].width / 2.0 - _GAP_MM
    return places


def _along(scale: Sequence[tuple[float, float]], share: float) -> float:
    """Return where a share of the length lies, between the places that are fixed."""
    for (low, x0), (high, x1) in pairwise(scale):
        if share <= high and high > low:
            return x0 + (x1 - x0) * max(0.0, share - low) / (high - low)
    return scale[-1][1]


def _dressed(look: RunLook, start: float, stop: float, clips: Sequence[float]) -> list[Figure]:
    """Return covering and clips of one piece of the bundle, as one figure."""
    branch = look.run.branch
    half = look.thickness_mm / 2.0
    room = (start + 1.2, stop - 1.2)
    strokes: list[Stroke] = []
    if branch and branch.covering and branch.covering.kind != "none" and room[1] - room[0] > 3.0:
        strokes += covered(branch.covering.kind, *room, half + 0.9)
    for x in clips:
        if room[0] + 0.8 < x < room[1] - 0.8:
            strokes += clip(x, half)
    if not strokes or branch is None:
        return []
    body = Box(room[0], -half - 1.2, room[1], half + 1.2)
    return [Figure(branch.name, body, tuple(strokes))]


def _symbol(one: OnRun, x: float, branch: str) -> Figure:
    base = one.symbol.body.top - 1.0
    strokes = list(one.symbol.moved(x, 0.0))
    letterings = [
        Lettering(x, base - index * STEP_MM, line, "middle")
        for index, line in enumerate(reversed(one.lines))
    ]
    if one.sign is not None:
        letterings[-1] = replace(letterings[-1], y=letterings[-1].y - 0.9)
    if one.sign is not None:
        sign = failing_sign(len(str(one.sign)))
        wide = _sign_width(one.sign)
        first = letterings.pop()
        left = x - (wide + text_width_mm(first.text)) / 2.0
        middle = left + sign.body.width / 2.0
        strokes += [stroke.moved(middle, first.y + 0.6) for stroke in sign.strokes]
        letterings.append(Lettering(middle, first.y, str(one.sign), "middle"))
        letterings.append(Lettering(left + wide, first.y, first.text))
    title = f"{one.owner or 'grommet'} on {branch}".replace("~", "assumed branch ")
    body = one.symbol.body.moved(x, 0.0)
    return Figure(one.owner or branch, body, tuple(strokes), tuple(letterings), printable(title))


def _below(look: RunLook, left: float, right: float) -> Figure:
    """Return dimension and words below the bundle, in the middle of it."""
    middle = (left + right) / 2.0
    strokes: list[Stroke] = []
    letterings: list[Lettering] = []
    y = look.first_mm
    if look.dimension:
        ends = (left + 0.8, right - 0.8)
        strokes.append(Stroke(((ends[0], _DIMENSION_MM), (ends[1], _DIMENSION_MM)), THIN_MM))
        strokes += [
            Stroke(((x - 0.8, _DIMENSION_MM + 0.8), (x + 0.8, _DIMENSION_MM - 0.8)), THIN_MM)
            for x in ends
        ]
        letterings.append(Lettering(middle, _FIGURE_MM, look.dimension, "middle"))
    for line in look.lines:
        letterings.append(Lettering(middle, y, line, "middle"))
        y += STEP_MM
    signs, words = _signs(look, middle, y + 3.2)
    name = look.run.branch.name if look.run.branch else ""
    body = Box(left + 0.5, _DIMENSION_MM - 0.1, right - 0.5, _DIMENSION_MM + 0.1)
    return Figure(name, body, (*strokes, *signs), (*letterings, *words), look.title)


def _signs(look: RunLook, middle: float, y: float) -> tuple[list[Stroke], list[Lettering]]:
    """Return the signs of the wires that fail, each before its wire's name."""
    strokes: list[Stroke] = []
    letterings: list[Lettering] = []
    whole = sum(_sign_width(n) + text_width_mm(name) + 2.0 for name, n in look.signs) - 2.0
    x = middle - whole / 2.0
    for name, number in look.signs:
        sign = failing_sign(len(str(number)))
        at = x + sign.body.width / 2.0
        strokes += [stroke.moved(at, y + 0.6) for stroke in sign.strokes]
        letterings.append(Lettering(at, y, str(number), "middle"))
        x += _sign_width(number)
        letterings.append(Lettering(x, y, name))
        x += text_width_mm(name) + 2.0
    return strokes, letterings
