"""How hot the windings of a sound circuit get by their use, for faults that show only then.

    T by `solve/heat/coil_heat.py`:  highest supply, hottest air, longest press of [use]

The voltage at each winding is the most that any switch position puts on it, every other value
nominal: a little milder than the certified bound that the checks take.
"""

from __future__ import annotations

import numpy as np

from circuitcheck.faults.faulted_circuits import FaultedCircuits
from circuitcheck.faults.full_network import FullNetwork
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.reading import Situation
from circuitcheck.model.relay import Relay
from circuitcheck.solve.heat.coil_heat import coil_heat
from circuitcheck.solve.heat.windings import windings
from circuitcheck.solve.solution import Range


def soaked_c(full: FullNetwork) -> dict[str, float]:
    """Return the hottest temperature of each winding whose heat path is known [degC], by branch.

    Left out are relays, which [use] does not describe, and pull and hold coils, which pull in
    before their windings are hot.
    """
    some = [
        w
        for w in windings(full.harness)
        if not isinstance(full.harness.parts[w.owner], PullHoldCoil | Relay)
    ]
    if not some:
        return {}
    supply_v = full.harness.conditions.running_v().upper
    most = np.zeros(len(some))
    for position in full.positions.values():
        if position.key == "cranking" or not any(w.owner in full.asked(position) for w in some):
            continue
        situation = Situation(position.name, engine="running", supply_v=supply_v)
        circuits = FaultedCircuits(full.harness, full.library, (), situation, 1, full=full)
        amps = np.abs(circuits.currents_a([w.branch for w in some])[0, :, 0])
        rows = [full.branch_of[w.branch] for w in some]
        most = np.maximum(most, amps * circuits.draws.resistance_ohm[rows, 0])
    found = {}
    for winding, volts in zip(some, most.tolist(), strict=True):
        air_c = full.harness.zone_of(winding.zone).ambient_c
        across = Range(volts, volts, volts)
        heat = coil_heat(winding, air_c, full.harness.use, across, "")
        if heat.judged and volts > 0.0:
            found[winding.branch] = heat.temperature_c.upper
    return found
