"""Ranges of switch positions in both coil states; positions alike in contacts share theirs."""

from __future__ import annotations

import numpy as np

from circuitcheck.circuit.netlist import PULLING
from circuitcheck.circuit.positions import Position
from circuitcheck.model.tolerance_band import Band
from circuitcheck.solve.bounds import bounds
from circuitcheck.solve.bounds.box import Box, FloatArray, open_box
from circuitcheck.solve.heat.soak import Placed, Soak
from circuitcheck.solve.network_ranges import NetworkRanges
from circuitcheck.solve.position_networks import PositionNetworks
from circuitcheck.solve.relays.relay_certificate import CoilLook
from circuitcheck.solve.solution import HEAT_SOAKED, Range

MOST_AT_ONCE = 120
"""Branches; beyond, what nobody asks for would cost more than asking twice."""


class PositionRanges:
    """Ranges of one harness, each worked out once, with windings as hot as the soak found.

    Without `gaps` it is not worked out how far their bounds may stand off.
    """

    def __init__(self, networks: PositionNetworks, soak: Soak, *, gaps: bool = True) -> None:
        self.networks, self.soak, self._gaps = networks, soak, gaps
        zones = networks.harness.zones
        self._air_c = {name: zone.ambient_c for name, zone in zones.items()}
        self._shared: dict[tuple[bounds.Network, Band, str], NetworkRanges] = {}

    def of(self, position: Position, coil_state: str, pull_state: str = PULLING) -> NetworkRanges:
        """Return the ranges of a position with its relays as they stand."""
        placed = self.networks.at(position, pull_state)
        key = (*placed.alike, coil_state)
        if key not in self._shared:
            self._shared[key] = self._ranges(placed, coil_state)
        return self._shared[key]

    def coil_look(self, position: Position, coil_state: str, coil: str) -> CoilLook:
        """Return what a relay's coil sees in a position with its relays as they stand."""
        network = self.networks.at(position).network
        number = network.branch_of[coil]
        branch = network.branches[number]
        if not network.live:
            return CoilLook(Range(0.0, 0.0, 0.0), branch.ambient_c)
        ranges = self.of(position, coil_state)
        across = ranges.between([(branch.start, branch.end)])[0].range
        lower, nominal, upper = ranges.box.temperature_c[:, number].tolist()
        return CoilLook(across, Band(lower, nominal, upper))

    def _ranges(self, placed: Placed, coil_state: str) -> NetworkRanges:
        shape, supply_v = placed.shape, placed.supply_v
        return NetworkRanges(
            placed.network,
            shape,
            lambda: self._heated(placed, coil_state),
            supply_v,
            air_c=self._air_c,
            at_once=_pays_at_once(placed),
            gaps=self._gaps,
        )

    def _heated(self, placed: Placed, coil_state: str) -> tuple[Box, NetworkRanges]:
        """Box with each wire as hot as its own largest current makes it, and the ranges it is from.

        The largest currents are sought with wires as hot as their insulation allows. A wire that
        they would heat beyond that makes the box too small: it is opened as far, until it holds.
        """
        network = placed.network
        heat = self.soak.heat if coil_state == HEAT_SOAKED else None
        widest = self.soak.widest.get(placed.alike)
        if widest is not None and heat is None:
            # cold windings are in the box of the soak, which lets wires glow
            return open_box(network, heat, _highest_a(widest)), widest
        box = open_box(network, heat)
        ranges = NetworkRanges(network, placed.shape, box, placed.supply_v, wider=widest)
        for _ in range(len(network.branches)):
            heated = open_box(network, heat, _highest_a(ranges))
            if not (heated.temperature_c[2] > box.temperature_c[2]).any():
                return heated, ranges
            box = box.warmed(heated.temperature_c)
            ranges = NetworkRanges(network, placed.shape, box, placed.supply_v)
        return box, ranges


def _pays_at_once(placed: Placed) -> bool:
    """Whether to work out all quantities together: quicker, unless each of them is a search."""
    if len(placed.network.branches) > MOST_AT_ONCE:
        return False
    return placed.shape.signs.driven.is_series_parallel or bool(placed.network.curves)


def _highest_a(ranges: NetworkRanges) -> FloatArray:
    """Largest current of each branch that heats itself."""
    network = ranges.network
    highest = np.zeros(len(network.branches))
    if not network.live:
        return highest
    heated = [n for n, b in enumerate(network.branches) if b.role in ("wire", "upstream wire")]
    highest[heated] = ranges.largest_currents(heated)
    return highest
