"""The fuse nearer to the tap."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from circuitcheck.checks.check import Case
from circuitcheck.checks.finding import Finding
from circuitcheck.model.fuse import Fuse
from circuitcheck.model.supply_tap import SupplyTap
from circuitcheck.model.tolerance_band import Band
from circuitcheck.model.wire import Wire
from circuitcheck.sizing.change import Change, Ladder, with_wires

DISTANCE = "fuse_distance_m"


def ladders(case: Case, finding: Finding) -> Iterator[Ladder]:
    """Yield, for each wire from a tap to a fuse, the fuse moved toward the tap.

    What the wire ahead of the fuse loses in length the wire behind it gains.
    """
    near_m = case.library.limit(DISTANCE).value
    for fuse in case.harness.of_kind(Fuse):
        ahead = _wire_at(case, f"{fuse.name}.line")
        behind = _wire_at(case, f"{fuse.name}.load")
        if ahead is None or behind is None:
            continue
        taps = _taps_at(case, ahead)
        if finding.subject not in (fuse.name, ahead.name, *taps) or not taps:
            continue
        if ahead.length_m.upper <= near_m:
            continue
        # Whole centimetres below the limit are what a tape measure gives.
        short_m = int(near_m * 100.0) / 100.0
        moved = ahead.length_m.upper - short_m
        words = (
            f"{fuse.name} within {short_m:g} m of the tap: {ahead.name} {short_m:g} m long "
            f"(was {ahead.length_m.nominal:g} m), {behind.name} longer by as much"
        )
        wires = (
            replace(ahead, length_m=Band.exact(short_m)),
            replace(behind, length_m=behind.length_m.plus(Band.exact(moved))),
        )
        yield Ladder(
            f"{fuse.name} nearer to the tap", (Change(words, with_wires(case.harness, wires)),)
        )


def _wire_at(case: Case, terminal: str) -> Wire | None:
    landed = [w for w in case.harness.wires.values() if terminal in (str(w.start), str(w.end))]
    return landed[0] if len(landed) == 1 else None


def _taps_at(case: Case, wire: Wire) -> list[str]:
    parts = (case.harness.parts[end.part] for end in (wire.start, wire.end))
    return [part.name for part in parts if isinstance(part, SupplyTap)]
