"""What decides which contacts carry: relays, cut-outs and fuses, and how they start out."""

from __future__ import annotations

from collections.abc import Mapping

from circuitcheck.faults.situation_network import Effects, SituationNetwork
from circuitcheck.model.fuse import Fuse
from circuitcheck.model.relay import Relay
from circuitcheck.model.supply_tap import SupplyTap
from circuitcheck.record import record


@record
class State:
    """Relays that have operated, pull windings that are cut out, fuses that have opened."""

    operated: frozenset[str] = frozenset()
    cut_out: frozenset[str] = frozenset()
    opened: frozenset[str] = frozenset()


def fuse_ratings(network: SituationNetwork) -> Mapping[str, float]:
    """Return the rated current of each fuse by the name of its branch [A]."""
    harness = network.full.harness
    out = {fuse.name: fuse.row.rating_a for fuse in harness.of_kind(Fuse)}
    for tap in harness.of_kind(SupplyTap):
        if tap.upstream.fuse is not None:
            out[f"{tap.name}/fuse"] = tap.upstream.fuse.rating_a
    return out


def starts_operated(effects: Effects, relay: Relay, held: frozenset[str]) -> bool:
    """Return whether a relay starts out operated."""
    return effects.stuck.get(relay.name, relay.name in held)
