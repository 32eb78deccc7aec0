"""How hot each coil of a harness gets over all switch positions, before any pull-in is asked for.

Its voltage is bounded with every winding anywhere between cold and as hot as the whole supply
could make it, and every wire up to where its heating is cut off: wider than what can happen.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np

from circuitcheck.circuit.netlist import Network
from circuitcheck.circuit.positions import Position
from circuitcheck.model.harness import Harness
from circuitcheck.model.solenoid_coil import SolenoidCoil
from circuitcheck.model.tolerance_band import Band
from circuitcheck.solve import bounds
from circuitcheck.solve.box import open_box
from circuitcheck.solve.coil_heat import coil_heat
from circuitcheck.solve.network_ranges import NetworkRanges
from circuitcheck.solve.solution import CoilHeat, Range

LEAST_COIL_V = 1e-6
"""A coil with less than a microvolt is not energised."""


def soak_coils(
    harness: Harness,
    positions: Sequence[Position],
    networks: Mapping[Position, Network],
    shapes: Mapping[Position, bounds.Network],
    supply: Mapping[Position, Band],
) -> dict[str, CoilHeat]:
    """Return the heat of each coil by its duty, by coil name.

    From the highest voltage that any position but cranking puts on it, down to the lowest that it
    is worked with.
    """
    most = {coil.name: Range(0.0, 0.0, 0.0) for coil in harness.coils}
    least = {coil.name: math.inf for coil in harness.coils}
    where = dict.fromkeys(most, "no position")
    # Positions alike in their contacts may differ in supply: a tap that is live with the key off.
    seen: set[tuple[bounds.Network, Band]] = set()
    first = _hottest_there_is(harness)
    for position in positions:
        network, shape = networks[position], shapes[position]
        alike = (shape, supply[position])
        if not network.live or position.key == "cranking" or alike in seen:
            continue
        seen.add(alike)
        glowing = np.full(len(network.branches), np.inf)
        widest = NetworkRanges(network, shape, open_box(network, first, glowing), supply[position])
        pairs = [_ends(network, coil) for coil in harness.coils]
        for coil, found in zip(harness.coils, widest.between(pairs), strict=True):
            volts = found.range
            if abs(volts.nominal) < LEAST_COIL_V or math.isnan(volts.nominal):
                continue
            least[coil.name] = min(least[coil.name], volts.smallest())
            if volts.largest() > most[coil.name].largest():
                most[coil.name], where[coil.name] = volts, position.name
    return {
        coil.name: coil_heat(
            coil,
            harness.zone_of(coil.zone).ambient_c,
            harness.use,
            _on_range(most[coil.name], least[coil.name]),
            where[coil.name],
        )
        for coil in harness.coils
    }


def _on_range(most: Range, least_v: float) -> Range:
    lower = min(least_v, abs(most.nominal))
    return Range(lower, abs(most.nominal), most.largest(), most.gap, most.method)


def _hottest_there_is(harness: Harness) -> dict[str, CoilHeat]:
    """Heat of each coil with the whole supply across it: wider than any position can make it."""
    supply = harness.conditions.running_v()
    found = {}
    for coil in harness.coils:
        ambient = harness.zone_of(coil.zone).ambient_c
        volts = Range(0.0, supply.nominal, supply.upper)
        found[coil.name] = coil_heat(coil, ambient, harness.use, volts, "whole supply")
    return found


def _ends(network: Network, coil: SolenoidCoil) -> tuple[int, int]:
    branch = network.branches[network.branch_of[coil.name]]
    return branch.start, branch.end
