"""A timer that takes the pull winding off once the plunger is in."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from circuitcheck.checks.check import Case
from circuitcheck.checks.finding import Finding
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.tolerance_band import Band
from circuitcheck.sizing.change import Change, Ladder, with_part
from circuitcheck.units import text

TIMER = "outside timer"


def ladders(case: Case, finding: Finding) -> Iterator[Ladder]:
    """Yield, for a pull and hold coil whose pull winding stays on, a timer that cuts it out."""
    # Cut out, a pull winding is not heated for long and its temperature no longer judged.
    if finding.quantity.endswith("temperature of the pull winding"):
        return
    part = case.harness.parts.get(finding.subject)
    if not isinstance(part, PullHoldCoil) or part.cut_out == "internal switch":
        return
    stands_s = part.longest_pull_s
    within = "" if stands_s is None else f" within {text(stands_s, 's')}"
    words = f"{part.name} with a timer that takes its pull winding off{within}"
    on_s = None if stands_s is None else Band.exact(stands_s)
    other = replace(part, cut_out=TIMER, pull_time_s=on_s)
    yield Ladder(words, (Change(words, with_part(case.harness, other)),))
