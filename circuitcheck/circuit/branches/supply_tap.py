"""Supply tap: the machine's fuse, wire and key contact before it, and what it feeds besides."""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.circuit.branches.context import BranchContext
from circuitcheck.circuit.link import Link
from circuitcheck.circuit.netlist import Element
from circuitcheck.circuit.wire_branch import conductor_branch
from circuitcheck.model.harness import Harness
from circuitcheck.model.supply_tap import SupplyTap
from circuitcheck.model.tolerance_band import Band

OPEN_LOAD_OHM = 1e6
"""The machine's other consumers, all switched off: as good as open beside milliohms."""


def tap_is_live(tap: SupplyTap, key: str) -> bool:
    """Return whether a tap carries voltage in a key state.

    `unknown` counts as live: the unknown tap is taken as the one that can do harm.
    """
    if key == "cranking":
        return tap.upstream.cranking != "off"
    if key == "key off":
        return tap.upstream.key != "on"
    return True


def branches(part: SupplyTap, context: BranchContext) -> Iterator[Element]:
    """Yield upstream fuse, wire and closed key contact, then the present load."""
    up, name, node = part.upstream, part.name, context.node
    ends = [node(up.source), node(f"{name}/fuse load"), node(f"{name}/key"), node(name)]
    element = up.clip_ohm
    if up.fuse is not None:
        element = up.fuse.resistance_ohm.plus(up.clip_ohm).plus(up.clip_ohm)
    yield context.contact(f"{name}/fuse", "upstream fuse", name, (ends[0], ends[1]), element)
    yield conductor_branch(
        context.harness,
        context.library,
        name=f"{name}/wire",
        owner=name,
        role="upstream wire",
        ends=(ends[1], ends[2]),
        conductor=up.conductor,
        insulation=up.insulation,
        length_m=up.length_m,
        route=(up.zone,),
        bundled=1,
        contact_ohm=context.harness.battery.post_contact_ohm,
    )
    if tap_is_live(part, context.position.key):
        key_ends = (ends[2], ends[3])
        yield context.contact(
            f"{name}/key contact", "key contact", name, key_ends, up.key_contact_ohm
        )
    load_a = up.present_load_a
    if load_a is not None and load_a.upper > 0:
        ohm = context.harness.system_v / load_a.upper
        # The lower end is the load at its statement, the upper all its consumers switched off.
        band = Band(ohm, ohm, OPEN_LOAD_OHM)
        pair = (ends[3], context.reference)
        yield context.contact(f"{name}/present load", "present load", name, pair, band)


def links(part: SupplyTap, harness: Harness) -> Iterator[Link]:
    """Yield the path from where the tap is fed to the tap."""
    fused = part.upstream.fuse is not None
    yield Link(str(part.upstream.source), part.name, part.name, fuse=fused)
