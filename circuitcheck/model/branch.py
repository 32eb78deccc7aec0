"""Branches: how the wires run together from breakout to breakout, and what is fitted to the run."""

from __future__ import annotations

from circuitcheck.model.tolerance_band import Band
from circuitcheck.record import record

COVERINGS = (
    "split conduit",
    "conduit",
    "braided sleeve",
    "PVC sleeve",
    "heat-shrink tube",
    "spiral wrap",
    "tape",
    "none",
)
"""What is drawn or wound over a bundle."""


@record
class Covering:
    """Sleeve or conduit over a bundle: one of COVERINGS; `size_m` is its inside diameter."""

    kind: str
    size_m: float | None = None


@record
class Clips:
    """Where a branch is held: at equal steps, or at distances from its `from` end. [m]"""

    every_m: float | None = None
    at_m: tuple[float, ...] = ()


NO_CLIPS = Clips()


@record
class Grommet:
    """Where a branch passes a panel, by its distance from the `from` end; `hole_m` the hole."""

    at_m: float
    panel: str
    hole_m: float | None = None


@record
class Inline:
    """A part that sits on a branch, by its distance from the `from` end; None: not measured."""

    part: str
    at_m: float | None


@record
class Branch:
    """A run of wires that lie together, between two places.

    A place is a part (`GRIP`), a half of a connector (`X1.plug`) or a breakout, whose name no part
    bears. `length_m` is None where it is not measured. `covering` is None where the file does
    not say. `assumed` is True for one that no file gives and that is taken from the zones.
    """

    name: str
    start: str
    end: str
    length_m: Band | None
    zone: str
    covering: Covering | None = None
    clips: Clips = NO_CLIPS
    grommets: tuple[Grommet, ...] = ()
    inline: tuple[Inline, ...] = ()
    assumed: bool = False

    @property
    def clip_places_m(self) -> tuple[float, ...]:
        """Distances of the clips from the `from` end; the ends themselves hold none. [m]"""
        if self.clips.every_m is None or self.length_m is None:
            return self.clips.at_m
        steps = int(self.length_m.nominal / self.clips.every_m + 1e-9)
        places = [self.clips.every_m * k for k in range(1, steps + 1)]
        return tuple(place for place in places if place < self.length_m.nominal - 1e-9)


@record
class Slack:
    """What a wire is cut longer than it lies: a share of its length, and a piece at each end.

    The usual figures are common practice, no source: room to end a wire anew at least once, and
    for the bends that a tape along the run does not follow.
    """

    share: float = 0.03
    each_end_m: float = 0.05
    stated: bool = False

    def cut_m(self, lies_m: float) -> float:
        """Return the length to cut for a wire that lies along `lies_m`. [m]"""
        return lies_m * (1.0 + self.share) + 2.0 * self.each_end_m


USUAL_SLACK = Slack()
"""What is taken where the file says nothing of slack."""
