"""The box of resistances of a network: lower, nominal and upper end of every branch.

    R = R20 (234.5 + T) / 254.5 + R_contact

Copper's temperature law (IEC 60228, factor 254.5 / (234.5 + T) turned round) for what is metal,
nothing for contacts.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from circuitcheck.circuit.netlist import WINDINGS, Branch, Network
from circuitcheck.formulas.wire_resistance import COPPER_ZERO_C
from circuitcheck.model.tolerance_band import Band
from circuitcheck.record import record
from circuitcheck.solve.solution import CoilHeat

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.intp]

HOTTEST_WIRE_C = 250.0
"""Where the heating of a wire is cut off: the fuse or the insulation has ended it by then."""

LEAST_OHM = 1e-6
"""No joint is better than a microohm; it also keeps every conductance finite."""


def copper_factor(temperature_c: FloatArray) -> FloatArray:
    """Return R(T) / R(20 degC) of copper: (234.5 + T) / 254.5."""
    return (COPPER_ZERO_C + temperature_c) / (COPPER_ZERO_C + 20.0)


@record
class Box:
    """Resistances and temperatures of all branches, each array of shape (3, branches).

    Rows are the lower, nominal and upper end. `copper_ohm` is the part at 20 degC that follows
    temperature, `contact_ohm` the part that does not.
    """

    copper_ohm: FloatArray
    contact_ohm: FloatArray
    temperature_c: FloatArray

    @cached_property
    def resistance_ohm(self) -> FloatArray:
        """Resistance at each end, shape (3, branches), never below LEAST_OHM."""
        return self.at(self.temperature_c)

    def at(self, temperature_c: FloatArray) -> FloatArray:
        """Return the resistances at other temperatures, broadcast against (3, branches)."""
        total = self.copper_ohm * copper_factor(temperature_c) + self.contact_ohm
        return np.maximum(total, LEAST_OHM)

    def warmed(self, temperature_c: FloatArray) -> Box:
        """Return the box with each upper end of temperature at least as given, (3, branches)."""
        warmed = self.temperature_c.copy()
        warmed[2] = np.maximum(warmed[2], temperature_c[2])
        return replace(self, temperature_c=warmed)

    def pinned(self, branch: int, resistance_ohm: float, temperature_c: float) -> Box:
        """Return the box with one branch held at one resistance and temperature."""
        copper, contact = self.copper_ohm.copy(), self.contact_ohm.copy()
        temperature = self.temperature_c.copy()
        copper[:, branch], contact[:, branch] = 0.0, resistance_ohm
        temperature[:, branch] = temperature_c
        return Box(copper, contact, temperature)

    def corner(self, rows: IntArray, temperature_c: FloatArray) -> FloatArray:
        """Return resistances with each branch at its own row but all at given temperatures.

        `rows` are 0, 1 or 2, shape (branches, corners).
        """
        copper = _chosen(self.copper_ohm, rows) * copper_factor(temperature_c)
        return np.maximum(copper + _chosen(self.contact_ohm, rows), LEAST_OHM)


def _chosen(ends: FloatArray, rows: IntArray) -> FloatArray:
    """Values at rows 0, 1 or 2 of ends (3, branches), as (branches, corners)."""
    lower, nominal, upper = ends[:, :, None]
    return np.asarray(np.where(rows == 2, upper, np.where(rows == 0, lower, nominal)))


def open_box(
    network: Network,
    heat: Mapping[str, CoilHeat] | None = None,
    highest_a: FloatArray | None = None,
) -> Box:
    """Return the box of a network.

    Without `heat` every coil is as cold as its zone (cold start); with it each coil is soaked.
    A wire is warmer than its air by its own heating at `highest_a` (branches,); without it, by
    the heating up to its insulation's limit, which is as hot as it may be.
    """
    copper = _rows([branch.resistance_20c_ohm for branch in network.branches])
    contact = _rows([branch.contact_ohm for branch in network.branches])
    temperature = _rows([branch.ambient_c for branch in network.branches])
    for number, branch in enumerate(network.branches):
        if branch.role in WINDINGS:
            if heat is not None:
                soaked = heat[branch.name]
                # The winding's own band at its temperature: tolerance and heat are one history.
                band = soaked.resistance_ohm
                copper[:, number] = 0.0
                contact[:, number] = (band.lower, band.nominal, band.upper)
                hot = soaked.temperature_c
                temperature[:, number] = (hot.lower, hot.nominal, hot.upper)
        elif branch.heating_k_per_a2 != 0.0:
            amps = None if highest_a is None else float(highest_a[number])
            temperature[2, number] = _hottest_c(branch, amps)
    return Box(copper, contact, temperature)


def _hottest_c(branch: Branch, highest_a: float | None) -> float:
    limit = branch.hottest_c if branch.hottest_c is not None else branch.ambient_c.upper
    if highest_a is None or branch.heating_k_per_a2 is None:
        return max(limit, branch.ambient_c.upper)
    rise = branch.heating_k_per_a2 * highest_a**2
    return min(branch.ambient_c.upper + rise, max(HOTTEST_WIRE_C, branch.ambient_c.upper))


def _rows(bands: list[Band]) -> FloatArray:
    values = [(band.lower, band.nominal, band.upper) for band in bands]
    return np.array(values, dtype=np.float64).reshape(-1, 3).T.copy()
