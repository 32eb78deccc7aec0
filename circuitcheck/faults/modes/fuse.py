"""Fuses: blown, poor in their clips, of another rating than the file says."""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.faults.fault import BLOWN, WRONG_FUSE, AddedOhm, Fault, FuseRated
from circuitcheck.faults.modes.context import FaultContext, Words, high_resistance
from circuitcheck.model.fuse import Fuse

NEIGHBOURS = (-1, 1, 2)
"""Ratings that somebody may have put in instead, by their place in the series."""


def faults(part: Fuse, context: FaultContext) -> Iterator[Fault]:
    """Yield the faults of one fuse and its holder."""
    name, rating_a, style = part.name, part.row.rating_a, part.row.style
    drop_v = context.limit("connection_drop_v")
    blown = Words(
        f"fuse {name}, {rating_a:g} A {style}",
        f"find what blew it before a new one of {rating_a:g} A goes in",
        f"a new fuse {name} stays whole with every button worked",
    )
    yield blown.fault(f"{name} blown", name, BLOWN, AddedOhm(name))
    words = Words(
        f"the holder of {name}: its clips and crimps",
        f"clean or replace the holder of {name}",
        f"with its load on, less than {2 * drop_v:g} V from {name}.line to {name}.load, and the "
        "holder stays cold",
    )
    yield from high_resistance(name, name, words)
    ratings = context.library.fuse_ratings(style)
    if rating_a not in ratings:
        return
    here = ratings.index(rating_a)
    for step in NEIGHBOURS:
        if 0 <= here + step < len(ratings):
            yield _wrong(part, ratings[here + step], context)


def _wrong(part: Fuse, rating_a: float, context: FaultContext) -> Fault:
    name, severity = part.name, f"{rating_a:g} A instead of {part.row.rating_a:g} A"
    words = Words(
        f"fuse {name}",
        f"put in a fuse of {part.row.rating_a:g} A {part.row.style}",
        f"{name} is marked {part.row.rating_a:g} A",
    )
    row = context.library.fuse(part.row.style, rating_a)
    ohm = row.resistance_ohm.plus(part.clip_ohm).plus(part.clip_ohm)
    return words.fault(f"{name} wrong fuse, {severity}", name, WRONG_FUSE,
                       FuseRated(name, rating_a, ohm), severity=severity)  # fmt: skip
