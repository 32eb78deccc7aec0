"""The two corners of a switching action, each a machine that can exist.

    strongest   most current: windings as cold as their zone, lowest resistance and inductance,
                wires cold, contacts new, highest supply
    weakest     least left for a coil: lowest supply, wires hot and contacts aged, windings as hot
                as their use makes them but of the lowest resistance for that, so that each pulls
                the shared feed down most; highest inductance

At the weakest corner the current of a winding stands lowest against its pull-in current: both go
with the same R20, so only the voltage counts, and that falls with every load that takes more.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from circuitcheck.circuit.netlist import LOADS, WINDINGS, Network
from circuitcheck.formulas.wire_resistance import resistance_at_ohm
from circuitcheck.model.tolerance_band import Band
from circuitcheck.record import record
from circuitcheck.solve.bounds.box import HOTTEST_WIRE_C, LEAST_OHM, copper_factor, open_box
from circuitcheck.solve.solution import CoilHeat
from circuitcheck.transient.waveform import FloatArray
from circuitcheck.units import text

STRONGEST = "cold coils, highest supply"
WEAKEST = "hot coils, lowest supply"
CORNERS = (STRONGEST, WEAKEST)


@record
class Corner:
    """One of CORNERS for a harness; `heat` tells how hot each winding gets by its use.

    Raises ValueError for another name.
    """

    name: str
    heat: Mapping[str, CoilHeat]

    def __post_init__(self) -> None:
        if self.name not in CORNERS:
            raise ValueError(f"corner {self.name!r} is none of {', '.join(CORNERS)}")

    @property
    def is_strongest(self) -> bool:
        """Whether it is the corner of most current."""
        return self.name == STRONGEST

    def supply_v(self, band: Band) -> float:
        """Return the supply at the battery posts [V]."""
        return band.upper if self.is_strongest else band.lower

    def least(self, band: Band) -> float:
        """Return the end of a load's band that takes most: its lower end at either corner."""
        return band.lower

    def in_line(self, band: Band) -> float:
        """Return the end of what current passes on its way: new, or aged and hot."""
        return band.lower if self.is_strongest else band.upper

    def inductance_h(self, band: Band) -> float:
        """Return the end of an inductance: the current rises fastest, or slowest."""
        return band.lower if self.is_strongest else band.upper

    def time_s(self, band: Band) -> float:
        """Return the end of a time: earliest, so that peaks fall together, or latest."""
        return band.lower if self.is_strongest else band.upper

    def resistance_ohm(self, network: Network, highest_a: FloatArray) -> FloatArray:
        """Return the resistance of every branch, (branches,). [ohm]

        Hot wires are as warm as the hottest air and `highest_a` (branches,) make them.
        """
        found = BranchEnds(network).at(self, highest_a[:, None])[:, 0]
        for number in [] if self.is_strongest else network.numbers_of(WINDINGS).tolist():
            branch = network.branches[number]
            found[number] = self.winding_ohm(
                branch.name, branch.resistance_20c_ohm, branch.ambient_c.lower
            )
        return found

    def winding_ohm(self, name: str, resistance_20c_ohm: Band, coldest_c: float) -> float:
        """Return the resistance of a winding of least resistance, cold or soaked by its use [ohm].

        `coldest_c` is the lowest air of its zone.
        """
        winding_c = coldest_c if self.is_strongest else self.heat[name].temperature_c.upper
        return resistance_at_ohm(resistance_20c_ohm.lower, winding_c)

    def words(self, supply_v: float) -> tuple[str, ...]:
        """Return the conditions in words."""
        supply = text(supply_v, "V")
        if self.is_strongest:
            return (
                f"supply {supply}, the highest",
                "coils as cold as their zone, of least resistance and inductance",
                "wires cold, contacts new",
            )
        return (
            f"supply {supply}, the lowest",
            "coils heat-soaked by their use, of least resistance and most inductance",
            "wires hot, contacts aged",
        )


class BranchEnds:
    """Resistances of a network's branches (m,) at the corners, for many currents side by side."""

    def __init__(self, network: Network) -> None:
        self.box = open_box(network)
        self._is_load = np.array([b.role in LOADS for b in network.branches], dtype=bool)
        # Where the heating of a wire is not known, it is as warm as its insulation may be.
        heats = [bool(branch.heating_k_per_a2) for branch in network.branches]
        self._heats = np.array(heats, dtype=bool)
        known = [b.heating_k_per_a2 for b in network.branches if b.heating_k_per_a2]
        self._k_per_a2 = np.array(known, dtype=np.float64)[:, None]
        air_c = np.array([branch.ambient_c.upper for branch in network.branches])
        self._air_c = air_c[self._heats, None]

    def at(self, corner: Corner, highest_a: FloatArray) -> FloatArray:
        """Return the resistances (m, b), windings of least resistance as warm as their air. [ohm]

        Hot wires are as warm as the hottest air and `highest_a` (m, b) make them.
        """
        lower, _, upper = self.box.resistance_ohm
        ends = np.where(corner.is_strongest | self._is_load, lower, upper)
        found = np.repeat(ends[:, None], highest_a.shape[1], axis=1)
        if corner.is_strongest or not self._heats.any():
            return found
        warmed_c = self._air_c + self._k_per_a2 * highest_a[self._heats] ** 2
        hottest_c = np.minimum(warmed_c, np.maximum(HOTTEST_WIRE_C, self._air_c))
        copper_ohm = self.box.copper_ohm[2, self._heats, None] * copper_factor(hottest_c)
        hot_ohm = copper_ohm + self.box.contact_ohm[2, self._heats, None]
        found[self._heats] = np.maximum(hot_ohm, LEAST_OHM)
        return found
