"""Which kinds of change bear on which check, in ascending order of effort."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

from circuitcheck.checks.check import Case
from circuitcheck.checks.finding import Finding
from circuitcheck.sizing.change import Growing, Ladder
from circuitcheck.sizing.changes import (
    contact_family,
    fuse_rating,
    insulation,
    interlock,
    larger_wire,
    other_tap,
    pull_cut_out,
    suppression,
    tap_to_fuse,
    wire_out,
)

Ladders = Callable[[Case, Finding], Iterator[Ladder | Growing]]

KINDS: Mapping[str, tuple[Ladders, ...]] = {
    "wiring complete and protected": (wire_out.ladders,),
    "fuse continuous load": (fuse_rating.larger, interlock.ladders),
    "fuse protects wire": (fuse_rating.smaller, larger_wire.ladders, insulation.ladders),
    "dead short cleared": (fuse_rating.smaller, larger_wire.ladders, insulation.ladders),
    "unprotected length": (fuse_rating.smaller, larger_wire.ladders),
    "overload region": (fuse_rating.smaller, larger_wire.ladders, insulation.ladders),
    "fuse near source": (tap_to_fuse.ladders,),
    "wire ampacity": (larger_wire.ladders, insulation.ladders, interlock.ladders),
    "voltage drop": (larger_wire.ladders, interlock.ladders),
    "drop of each element": (
        larger_wire.ladders,
        fuse_rating.larger,
        contact_family.ladders,
        interlock.ladders,
    ),
    "coil pull-in": (larger_wire.ladders, interlock.ladders),
    "held coil dips": (larger_wire.ladders, interlock.ladders),
    "relay coil": (larger_wire.ladders, interlock.ladders),
    "pull and hold voltage": (larger_wire.ladders, interlock.ladders),
    "plunger seats": (larger_wire.ladders, interlock.ladders),
    "coil temperature": (pull_cut_out.ladders,),
    "pull winding left on": (pull_cut_out.ladders,),
    "inrush against fuse": (fuse_rating.larger, interlock.ladders),
    "nuisance opening": (fuse_rating.larger, interlock.ladders),
    "fuse ageing": (fuse_rating.larger,),
    "tap capacity": (interlock.ladders, other_tap.ladders),
    "selectivity of fuses in series": (fuse_rating.smaller, other_tap.ladders),
    "switch rating": (interlock.ladders,),
    "connector rating": (contact_family.ladders, interlock.ladders),
    "wire fit": (contact_family.ladders,),
    "ground path": (larger_wire.ladders, interlock.ladders),
    "suppression": (suppression.ladders,),
    "suppression rating": (suppression.ladders,),
    "release time": (suppression.quicker,),
    "suppressor in repeated use": (suppression.ladders, suppression.quicker),
    "switch-off peak": (suppression.quicker,),
}
"""By name of the check. A check that is not listed has no change that a builder could make."""


def ladders_for(case: Case, finding: Finding) -> Iterator[Growing]:
    """Yield the ladders of each kind that bears on a finding's check, least effort first."""
    for kind in KINDS.get(finding.check, ()):
        for found in kind(case, finding):
            yield Growing((found,)) if isinstance(found, Ladder) else found
