"""A metallic path through a wire or part, whatever the buttons do."""

from __future__ import annotations

from circuitcheck.record import record


@record
class Link:
    """A metallic path through a wire or part. `fuse` is True where it opens on too much current.

    `owner` is the wire or part; a switch contact counts as a link whether open or closed.
    """

    start: str
    end: str
    owner: str
    fuse: bool = False
