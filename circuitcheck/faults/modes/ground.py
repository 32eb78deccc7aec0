"""Ground studs and frames: a bond missing or poor."""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.faults.fault import Fault
from circuitcheck.faults.modes.context import FaultContext, Words, poor_joint
from circuitcheck.model.ground import Frame, GroundStud


def faults(part: Frame | GroundStud, context: FaultContext) -> Iterator[Fault]:
    """Yield the bond of a stud to its frame, or of a frame to each other, open and poor."""
    drop_v = context.limit("ground_drop_v")
    if isinstance(part, GroundStud):
        words = Words(
            f"stud {part.name} on {part.frame}: paint, rust, a loose nut",
            f"take {part.name} apart, scrape to bright metal, tighten and grease",
            f"with the loads on, less than {drop_v:g} V from {part.name} to {part.frame}",
        )
        yield from poor_joint(part.name, part.name, words, what="ground")
        return
    for bond in part.bonds:
        words = Words(
            f"between {part.name} and {bond.to} ({bond.by})",
            f"fit or renew a strap from {part.name} to {bond.to}",
            f"with the loads on, less than {drop_v:g} V from {part.name} to {bond.to}",
        )
        branch, what = f"{part.name}/bond to {bond.to}", f"bond to {bond.to}"
        yield from poor_joint(part.name, branch, words, what=what, other=bond.to)
