"""Which of two fuses in series opens first, by the bands of their opening times.

Shared ground of the check on selectivity; it judges nothing itself.
"""

from __future__ import annotations

from circuitcheck.checks.check import Case
from circuitcheck.checks.fuses.fuse_ahead import FittedFuse
from circuitcheck.checks.worst_current import worst_current
from circuitcheck.formulas.fuse_clearing import clearing_time_s
from circuitcheck.model.library import FuseRow, Library
from circuitcheck.model.supply_tap import SupplyTap
from circuitcheck.transient.heat.fuse_rating import rerated_a


def loads_beside_a(case: Case, fuse: FittedFuse) -> float:
    """Return what a fuse already carries while a short behind it draws its own current [A].

    The present load of a tap; of a fuse with a part of its own, its largest steady current.
    """
    part = case.harness.parts[fuse.owner]
    if isinstance(part, SupplyTap):
        load_a = part.upstream.present_load_a
        return load_a.upper if load_a is not None else 0.0
    worst = worst_current(case, fuse.branch)
    return worst.current_a if worst is not None else 0.0


def proved_up_to_a(
    library: Library,
    behind: tuple[FittedFuse, FuseRow],
    ahead: tuple[FittedFuse, FuseRow],
    beside_a: float,
) -> float:
    """Return the highest short up to which the fuse ahead is sure to hold longer [A].

    The sure holding time falls at the listed points only and the clearing time of the fuse behind
    falls all the way: just above a listed point is where it can first go wrong. Raises
    LibraryError where a table has no row.
    """
    band, slow = (library.fuse_opening_band(row.style) for row in (ahead[1], behind[1]))
    hot_a = rerated_a(library, ahead[1], ahead[0].ambient_c.upper)
    cold_a = rerated_a(library, behind[1], behind[0].ambient_c.lower)
    held_above = (*band.min_s[1:], 0.0)
    for percent, held_s in zip(band.percents, held_above, strict=True):
        short_a = hot_a * percent / 100.0 - beside_a
        if short_a <= 0.0 or clearing_time_s(short_a, cold_a, slow.percents, slow.max_s) >= held_s:
            return max(short_a, 0.0)
    raise AssertionError("nothing is held above the last listed point")
