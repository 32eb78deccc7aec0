"""What one short to a frame would work: a coil switched on its return side.

Where a switch stands between a coil and the frame (low-side switching), the wire from the coil to
the switch is a return that the switch completes. Chafed through on the frame, it completes the
coil's circuit without the switch, and no fuse opens, for the coil limits the current.
"""

from __future__ import annotations

from collections.abc import Mapping

from circuitcheck.circuit.asked_for import asked_loads, fed_nodes
from circuitcheck.circuit.netlist import Network


def worked_by_short_to_frame(network: Network) -> Mapping[str, frozenset[str]]:
    """Return, by terminal, the loads that a short from it to battery minus works.

    Loads are named as in `asked_loads`: those the position does not ask for, but would with the
    short. Terminals that the feed reaches are left out: a short there is a dead short, which a
    fuse opens. Terminals whose short works nothing are left out too. The frame is taken as
    bonded to battery minus. Relay contacts stay as they are; a relay's coil is named itself.
    """
    asked, fed = asked_loads(network), fed_nodes(network)
    worked = {}
    for name, node in network.node_of.items():
        # A name with a slash is an inner node of a part, not a place that can chafe.
        if "/" in name or node in fed or node == network.reference:
            continue
        added = asked_loads(network, shorted=node) - asked
        if added:
            worked[name] = added
    return worked
