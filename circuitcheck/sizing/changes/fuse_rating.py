"""Another rating of a fuse of the same style."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from circuitcheck.checks.check import Case
from circuitcheck.checks.finding import Finding
from circuitcheck.errors import LibraryError
from circuitcheck.model.fuse import Fuse
from circuitcheck.sizing.change import Change, Ladder, with_part


def larger(case: Case, finding: Finding) -> Iterator[Ladder]:
    """Yield the larger ratings of the fuse that the finding is about."""
    for fuse, ratings in _fuses(case, finding):
        if fuse.name == finding.subject:
            yield from _ladder(case, fuse, "larger", [a for a in ratings if a > fuse.row.rating_a])


def smaller(case: Case, finding: Finding) -> Iterator[Ladder]:
    """Yield the smaller ratings of the fuse that the finding is about; of each fuse for a wire."""
    for fuse, ratings in _fuses(case, finding):
        lower = [a for a in reversed(ratings) if a < fuse.row.rating_a]
        yield from _ladder(case, fuse, "smaller", lower)


def _fuses(case: Case, finding: Finding) -> Iterator[tuple[Fuse, tuple[float, ...]]]:
    part = case.harness.parts.get(finding.subject)
    for fuse in (part,) if isinstance(part, Fuse) else case.harness.of_kind(Fuse):
        try:
            yield fuse, case.library.fuse_ratings(fuse.row.style)
        except LibraryError:
            continue  # a style of the file's own has no other ratings to try


def _ladder(case: Case, fuse: Fuse, way: str, ratings: Sequence[float]) -> Iterator[Ladder]:
    if ratings:
        steps = tuple(_change(case, fuse, rating_a) for rating_a in ratings)
        yield Ladder(f"{fuse.name} with a {way} rating", steps)


def _change(case: Case, fuse: Fuse, rating_a: float) -> Change:
    row = case.library.fuse(fuse.row.style, rating_a)
    other = replace(fuse, row=row, element_ohm=row.resistance_ohm)
    return Change(
        f"{fuse.name} as {rating_a:g} A fuse (was {fuse.row.rating_a:g} A)",
        with_part(case.harness, other),
    )
