"""Another place to take the power from."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from circuitcheck.checks.check import Case
from circuitcheck.checks.finding import Finding
from circuitcheck.errors import LibraryError
from circuitcheck.model.supply_tap import SupplyTap
from circuitcheck.model.tolerance_band import Band
from circuitcheck.sizing.change import Change, Ladder, with_part


def ladders(case: Case, finding: Finding) -> Iterator[Ladder]:
    """Yield a tap that feeds nothing else, then taps behind larger fuses, in the same wiring."""
    for tap in case.harness.of_kind(SupplyTap):
        up = tap.upstream
        if up.present_load_a is not None and up.present_load_a.upper > 0.0:
            words = f"a tap that feeds nothing else (now {up.present_load_a.upper:g} A)"
            alone = replace(up, present_load_a=Band.exact(0.0))
            change = Change(words, with_part(case.harness, replace(tap, upstream=alone)))
            yield Ladder("a tap that feeds nothing else", (change,))
        if up.fuse is None:
            continue
        try:
            ratings = case.library.fuse_ratings(up.fuse.style)
        except LibraryError:
            continue  # a style of the file's own has no other ratings to try
        steps = tuple(
            _behind(case, tap, rating_a) for rating_a in ratings if rating_a > up.fuse.rating_a
        )
        if steps:
            yield Ladder("a tap behind a larger fuse", steps)


def _behind(case: Case, tap: SupplyTap, rating_a: float) -> Change:
    now = tap.upstream.fuse
    assert now is not None
    row = case.library.fuse(now.style, rating_a)
    other = replace(tap, upstream=replace(tap.upstream, fuse=row))
    return Change(
        f"a tap behind a {rating_a:g} A fuse of the machine (now {now.rating_a:g} A)",
        with_part(case.harness, other),
    )
