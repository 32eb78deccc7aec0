"""The table of branches: what lies in each, and what is fitted to it."""

from __future__ import annotations

from circuitcheck.drawing.layout.sleeves import length_text
from circuitcheck.drawing.routing.content import MM, Content
from circuitcheck.drawing.table_sheets import Table
from circuitcheck.model.assumed_branches import is_named
from circuitcheck.model.branch import Branch, Inline

COLUMNS = (
    "branch", "from", "to", "length", "zone", "wires", "Ø", "covering", "clips", "grommets",
    "in line",
)  # fmt: skip


def branch_table(content: Content) -> Table:
    """Return the table; an assumed branch has a number in place of a name."""
    rows = [_row(content, branch, k) for k, branch in enumerate(content.branches, start=1)]
    heading = "Branches assumed from zones" if content.is_assumed else "Branches"
    return Table(heading, COLUMNS, tuple(rows))


def _row(content: Content, branch: Branch, number: int) -> tuple[str, ...]:
    size = content.diameter_m(branch)
    covering = branch.covering
    return (
        f"({number})" if branch.assumed else branch.name,
        _place(branch.start),
        _place(branch.end),
        content.length_words(branch),
        branch.zone,
        " ".join(content.wires_of(branch)),
        "" if size is None else f"{size * MM:.1f} mm",
        "" if covering is None else _sized(covering.kind, covering.size_m),
        _clips(content, branch),
        "; ".join(
            f"{_sized(g.panel, g.hole_m)} at {length_text(g.at_m, content.notes)}"
            for g in branch.grommets
        ),
        ", ".join(_inline(content, one) for one in branch.inline),
    )


def _inline(content: Content, one: Inline) -> str:
    """Return a fuse or splice in the branch with its place."""
    at = "" if one.at_m is None else f" at {length_text(one.at_m, content.notes)}"
    return f"{one.part}{at}"


def _place(place: str) -> str:
    return (
        place if is_named(place) else "breakout in " + place.partition(":")[2].replace("|", " / ")
    )


def _sized(words: str, size_m: float | None) -> str:
    return words if size_m is None else f"{words} {size_m * MM:g} mm"


def _clips(content: Content, branch: Branch) -> str:
    """Return every place of a clip, for the man with the tape."""
    places = [length_text(place, content.notes) for place in branch.clip_places_m]
    if all(place.endswith(" m") for place in places[:-1]):
        places[:-1] = [place.removesuffix(" m") for place in places[:-1]]
    return ", ".join(places)
