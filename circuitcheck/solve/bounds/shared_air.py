"""Temperatures that can occur together: wires in one zone share its air.

The box of resistances takes every wire as its own variable. What a corner of it is worth is seen
by putting each zone as a whole into its coldest or hottest air. A wire that the corner wants
long and hot is then warmed by the corner's own current on top; one that it wants cold has just been
switched on. A wire through several zones lies in whichever of them suits the corner.
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping

import numpy as np

from circuitcheck.circuit.netlist import WINDINGS, Branch, Network
from circuitcheck.model.tolerance_band import Band
from circuitcheck.solve.bounds.box import Box, FloatArray
from circuitcheck.solve.bounds.corner_search import EndArray

MOST_ZONES = 3
"""With more zones than these only all cold and all hot are tried."""


class SharedAir:
    """The zones of a network and what their air makes of its branches.

    `air_c` gives each zone's air; without it only all cold and all hot are known.
    """

    def __init__(self, network: Network, box: Box, air_c: Mapping[str, Band] | None) -> None:
        self.box, branches = box, network.branches
        self.lower_c = np.array([b.ambient_c.lower for b in branches])
        self.upper_c = np.array([b.ambient_c.upper for b in branches])
        self.rise_k_per_a2 = np.array([_rise_k_per_a2(b) for b in branches])[:, None]
        names = sorted({zone for branch in branches for zone in branch.zones})
        self.mixed: list[tuple[FloatArray, FloatArray]] = []
        if air_c is not None and 1 < len(names) <= MOST_ZONES:
            for count in range(1, len(names)):
                for hot in itertools.combinations(names, count):
                    at = {
                        zone: air_c[zone].upper if zone in hot else air_c[zone].lower
                        for zone in names
                    }
                    self.mixed.append(self._mixed(network, at))

    def _mixed(self, network: Network, at: Mapping[str, float]) -> tuple[FloatArray, FloatArray]:
        """Coolest and warmest air of each branch with each zone at one temperature."""
        coolest, warmest = self.lower_c.copy(), self.upper_c.copy()
        for number, branch in enumerate(network.branches):
            passed = [at[zone] for zone in branch.zones]
            if passed:
                coolest[number], warmest[number] = min(passed), max(passed)
        return coolest, warmest

    def uniform(self, ends: EndArray, branch_a: FloatArray) -> list[FloatArray]:
        """Temperatures (m, k) with all air cold, then hot, at corners and their currents."""
        return [
            self._warmed(ends, branch_a, self.lower_c, self.lower_c),
            self._warmed(ends, branch_a, self.upper_c, self.upper_c),
        ]

    def by_zone(self, ends: EndArray, branch_a: FloatArray) -> list[FloatArray]:
        """Temperatures (m, k) with some zones cold and the others hot, every way there is."""
        return [self._warmed(ends, branch_a, *air) for air in self.mixed]

    def _warmed(
        self, ends: EndArray, branch_a: FloatArray, coolest_c: FloatArray, warmest_c: FloatArray
    ) -> FloatArray:
        with np.errstate(invalid="ignore"):  # nothing flows in a branch of unknown heating
            rise = np.nan_to_num(self.rise_k_per_a2 * branch_a**2, posinf=np.inf)
        hot = np.minimum(warmest_c[:, None] + rise, self.box.temperature_c[2][:, None])
        hot = np.maximum(hot, warmest_c[:, None])
        return np.where(ends > 0, hot, coolest_c[:, None])


def _rise_k_per_a2(branch: Branch) -> float:
    """Own heating; without limit for a wire of which it is not known, up to the end of its box."""
    if branch.role in WINDINGS:
        return 0.0  # a cold winding is as cold as its zone; a soaked one is given outright
    return np.inf if branch.heating_k_per_a2 is None else branch.heating_k_per_a2
