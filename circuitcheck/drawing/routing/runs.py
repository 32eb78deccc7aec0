"""One branch on paper, from left to right along y = 0: how wide it has to be, and its figures.

Above the bundle stands what sits on it, at its place; below it the dimension and what it is made
of. Distances along it are in proportion, but give way where lettering needs the room.
"""

from __future__ import annotations

from functools import cached_property

from circuitcheck.drawing.routing.content import MM, Content
from circuitcheck.drawing.routing.fitted import grommet, inline_symbol
from circuitcheck.drawing.routing.signs import sign_width, signs_width
from circuitcheck.drawing.routing.tree import Run
from circuitcheck.drawing.strokes import Symbol
from circuitcheck.drawing.text_size import printable, text_width_mm
from circuitcheck.model.branch import Branch
from circuitcheck.record import record

STEP_MM = 3.8
SIDE_MM = 2.0
"""Clear length at both ends of a branch."""
GAP_MM = 2.5
DIMENSION_MM = 8.0
FIGURE_MM = 7.1
FIRST_MM = 12.0
SIGN_MM, _SIGNS_WIDE_MM = 6.8, 52.0
MATE_MM = 5.0
LEAST_MM = 22.0


@record
class OnRun:
    """A symbol on the bundle with its lettering above; `share` is its place, 0 to 1."""

    symbol: Symbol
    lines: tuple[str, ...]
    share: float
    owner: str
    sign: int | None = None

    @cached_property
    def width(self) -> float:
        """Room along the bundle. [mm]"""
        words = max((text_width_mm(line) for line in self.lines), default=0.0)
        if self.sign is not None:
            words = max(words, text_width_mm(self.lines[0]) + sign_width(self.sign))
        return max(words, self.symbol.body.width + 2.0)

    @cached_property
    def height(self) -> float:
        """How far the lettering rises above the bundle. [mm]"""
        extra = 4.3 if self.sign is not None else 0.0
        return -self.symbol.body.top + 1.0 + len(self.lines) * STEP_MM + extra


@record
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

    @cached_property
    def sign_lines(self) -> tuple[tuple[tuple[str, int], ...], ...]:
        """The wires that fail with their signs, in lines."""
        lines: list[list[tuple[str, int]]] = []
        for sign in self.signs:
            if not lines or signs_width([*lines[-1], sign]) > _SIGNS_WIDE_MM:
                lines.append([])
            lines[-1].append(sign)
        return tuple(map(tuple, lines))

    @cached_property
    def least_mm(self) -> float:
        """Least length on paper."""
        if self.run.branch is None or self.run.cut:
            return MATE_MM
        words = [text_width_mm(line) for line in (*self.lines, self.dimension, self.zone_line)]
        words += [signs_width(line) for line in self.sign_lines]
        above = sum(one.width + GAP_MM for one in self.on)
        return max(LEAST_MM, 2 * SIDE_MM + max(words), 2 * SIDE_MM + above)

    @cached_property
    def above_mm(self) -> float:
        """How far it rises above the bundle."""
        if self.run.branch is None or self.run.cut:
            return 2.0
        return max((one.height for one in self.on), default=0.0) + 2.6

    @cached_property
    def below_mm(self) -> float:
        """How far it hangs below the bundle."""
        if self.run.branch is None or self.run.cut:
            return 2.0
        signs = SIGN_MM * len(self.sign_lines)
        return self.first_mm + max(len(self.lines) - 1, 0) * STEP_MM + 1.4 + signs

    @property
    def first_mm(self) -> float:
        """Base line of the first words below the bundle."""
        return FIRST_MM if self.dimension else FIRST_MM - STEP_MM - 1.6


def look_of(run: Run, content: Content, zone_line: str) -> RunLook:
    """Return how a branch looks; `zone_line` names the band where one begins."""
    branch = run.branch
    if branch is None:
        return RunLook(run)
    size = content.diameter_m(branch)
    # No thicker than the dots of breakouts and splices, which would not be seen.
    thick = min(2.2, max(0.8, 0.5 + 0.11 * size * MM)) if size else 1.0
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
