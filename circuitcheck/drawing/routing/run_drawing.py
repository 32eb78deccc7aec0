"""One branch drawn from left to right along y = 0: the bundle in pieces between its symbols."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from circuitcheck.drawing.geometry import THIN_MM, Box, Figure, Lettering, Stroke
from circuitcheck.drawing.layout.page import WIRE, Line
from circuitcheck.drawing.routing.drawn import Bundle
from circuitcheck.drawing.routing.fitted import clip, covered
from circuitcheck.drawing.routing.runs import (
    DIMENSION_MM,
    FIGURE_MM,
    GAP_MM,
    SIDE_MM,
    SIGN_MM,
    STEP_MM,
    OnRun,
    RunLook,
)
from circuitcheck.drawing.routing.signs import failing_signs, sign_width
from circuitcheck.drawing.symbols.feeding import failing_sign
from circuitcheck.drawing.text_size import printable, text_width_mm
from circuitcheck.record import record

_CLIP_MM = 2.1
"""From the end of a piece of bundle to the middle of a clip on it, at the least."""


@record
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
    clips = _clear_of(look.on, places, [_along(scale, share) for share in look.clips], left, right)
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
    # Where a row begins there is no place on the left, only a corner.
    name = ends[1].partition(".")[0]
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
        edge = x + one.width / 2.0 + GAP_MM
    edge = right
    for index in range(len(on) - 1, -1, -1):
        places[index] = min(places[index], edge - on[index].width / 2.0)
        edge = places[index] - on[index].width / 2.0 - GAP_MM
    return places


def _along(scale: Sequence[tuple[float, float]], share: float) -> float:
    """Return where a share of the length lies, between the places that are fixed."""
    for (low, x0), (high, x1) in pairwise(scale):
        if share <= high and high > low:
            return x0 + (x1 - x0) * max(0.0, share - low) / (high - low)
    return scale[-1][1]


def _clear_of(
    on: Sequence[OnRun], places: Sequence[float], clips: Sequence[float], left: float, right: float
) -> list[float]:
    """Return the places of clips, moved beside a symbol where they would fall on it."""
    starts = [left, *(x + one.symbol.right for one, x in zip(on, places, strict=True))]
    stops = [*(x + one.symbol.left for one, x in zip(on, places, strict=True)), right]
    rooms = [(a + _CLIP_MM, b - _CLIP_MM) for a, b in zip(starts, stops, strict=True)]
    rooms = [room for room in rooms if room[0] <= room[1]]
    moved = []
    for x in clips:
        nearest = min((min(max(x, a), b) for a, b in rooms), key=lambda y: abs(y - x), default=x)
        moved.append(nearest)
    return moved


def _dressed(look: RunLook, start: float, stop: float, clips: Sequence[float]) -> list[Figure]:
    """Return covering and clips of one piece of the bundle, as one figure."""
    branch = look.run.branch
    half = look.thickness_mm / 2.0
    room = (start + 1.2, stop - 1.2)
    strokes: list[Stroke] = []
    if branch and branch.covering and branch.covering.kind != "none" and room[1] - room[0] > 3.0:
        strokes += covered(branch.covering.kind, *room, half + 0.9)
    for x in clips:
        if start < x < stop:
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
        wide = sign_width(one.sign)
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
        strokes.append(Stroke(((ends[0], DIMENSION_MM), (ends[1], DIMENSION_MM)), THIN_MM))
        strokes += [
            Stroke(((x - 0.8, DIMENSION_MM + 0.8), (x + 0.8, DIMENSION_MM - 0.8)), THIN_MM)
            for x in ends
        ]
        letterings.append(Lettering(middle, FIGURE_MM, look.dimension, "middle"))
    for line in look.lines:
        letterings.append(Lettering(middle, y, line, "middle"))
        y += STEP_MM
    for index, failing in enumerate(look.sign_lines):
        signs, words = failing_signs(failing, middle, y + 3.2 + index * SIGN_MM)
        strokes += signs
        letterings += words
    name = look.run.branch.name if look.run.branch else ""
    body = Box(left + 0.5, DIMENSION_MM - 0.1, right - 0.5, DIMENSION_MM + 0.1)
    return Figure(name, body, tuple(strokes), tuple(letterings), look.title)
