"""How hot an insulated wire gets in still air, for good and over time, and how long it stands it.

    C dT/dt = I^2 r (Z + T) / (Z + 20) - q(T)

r its resistance at 20 degC per metre, q what a metre sheds (conduction through the insulation,
convection and radiation), C what it stores. In a bundle each wire sheds f_b^2 as much, so that
its ampacity comes out f_b as large, as the factors of the ampacity tables say.

The time that a wire stands joins two limits, of which each is blind where the other sees:

    up to 5 s     no heat leaves it, up to the fault limit of its insulation
    above 5 s     from the temperature so reached it goes on by its heating curve, up to what its
                  insulation stands under overload, and for no longer (iso-6722, from memory)
    for good      its class

Errs low: thin wall, solid conductor, highest resistance. An independent balance and the ampacities
of din-vde-0298-4 agree within 15 %. Model-checked, not measured: no open measured data of the
heating of vehicle wire were found.
"""

from __future__ import annotations

import math
from dataclasses import field
from functools import lru_cache

import numpy as np

from circuitcheck.formulas.adiabatic import Metal, temperature_after_c, withstand_time_s
from circuitcheck.formulas.batch import require_above_zero, require_between
from circuitcheck.formulas.wire_heating import (
    HOTTEST_C,
    insulation_k_m_per_w,
    solid_diameter_m,
    stored_j_per_m_k,
    surface_loss_w_per_m,
)
from circuitcheck.record import record
from circuitcheck.transient.waveform import FloatArray, Waveform

ADIABATIC_S = 5.0
"""Where the two models join: up to here the adiabatic formula holds (iec-60364-5-54)."""
SLICES = 80
POINTS = 240


@record
class WireHeat:
    """One wire in the air of its zone.

    `resistance_20c_ohm_per_m` at its upper end; `outside_m` over the insulation; `resistivity`
    over that of copper, lower end; `bundle_factor` as for its ampacity. `class_c` and
    `short_circuit_c` are the limits of its insulation; `overload_k` above its class it stands for
    `overload_s`.
    """

    area_mm2: float
    resistance_20c_ohm_per_m: float
    outside_m: float
    air_c: float
    class_c: float
    short_circuit_c: float
    metal: Metal
    resistivity: float = 1.0
    bundle_factor: float = 1.0
    overload_k: float = field(kw_only=True)
    overload_s: float = field(kw_only=True)

    def __post_init__(self) -> None:
        require_above_zero("resistance_20c_ohm_per_m", self.resistance_20c_ohm_per_m)
        require_between("bundle_factor", self.bundle_factor, 0.01, 1.0)
        require_between("short_circuit_c", self.short_circuit_c, self.class_c, HOTTEST_C)

    @property
    def overload_c(self) -> float:
        """Limit of its insulation from 5 s to `overload_s` [degC]."""
        return min(self.class_c + self.overload_k, self.short_circuit_c)

    @property
    def stored_j_per_m_k(self) -> float:
        """What a metre stores per kelvin of its conductor [J/(m K)]."""
        return stored_j_per_m_k(self.area_mm2, self.outside_m, self.metal, self.resistivity)

    def loss_w_per_m(self, conductor_c: float) -> float:
        """Return what a metre sheds with its conductor at a temperature [W/m]."""
        self._require(conductor_c)
        return float(np.interp(conductor_c, *_losses(self._shedding))) * self.bundle_factor**2

    def carries_a(self, conductor_c: float) -> float:
        """Return the steady current that holds its conductor at a temperature [A].

        I = sqrt(q(T) / (r (Z + T) / (Z + 20))), 0 where the air is as warm.
        """
        return math.sqrt(self.loss_w_per_m(conductor_c) / self._ohm_per_m(conductor_c))

    def steady_c(self, current_a: float) -> float:
        """Return what its conductor settles at under a current, infinite above 400 degC."""
        if abs(current_a) >= self.carries_a(HOTTEST_C):
            return math.inf
        low, high = self.air_c, HOTTEST_C
        while high - low > 1e-6:
            middle = (low + high) / 2.0
            low, high = (middle, high) if self.carries_a(middle) < abs(current_a) else (low, middle)
        return high

    def heats_s(self, current_a: float, start_c: float, end_c: float) -> float:
        """Return how long a current takes from one temperature to another by the heating curve.

            t = integral of C dT / (I^2 r(T) - q(T))

        Infinite where it never gets there. The sum over slices is a little too short.
        """
        self._require(start_c)
        self._require(end_c)
        if end_c <= start_c:
            return 0.0
        middles = start_c + (end_c - start_c) * (np.arange(SLICES) + 0.5) / SLICES
        gained = current_a**2 * self._ohm_per_m(middles)
        left = gained - np.interp(middles, *_losses(self._shedding)) * self.bundle_factor**2
        if np.any(left <= 0.0) or current_a <= self.carries_a(end_c):
            return math.inf
        return float(np.sum(self.stored_j_per_m_k / left) * (end_c - start_c) / SLICES)

    def heating(self, current_a: float, start_c: float, time_s: float) -> Waveform:
        """Return its conductor's temperature under a current, to `time_s` [degC]."""
        settled = min(self.steady_c(current_a), HOTTEST_C)
        # Even steps of temperature towards what it settles at, which it never quite reaches.
        steps = start_c + (settled - start_c) * (1.0 - np.geomspace(1.0, 1e-4, POINTS))
        middles, widths = (steps[1:] + steps[:-1]) / 2.0, np.diff(steps)
        lost = np.interp(middles, *_losses(self._shedding)) * self.bundle_factor**2
        rates = (current_a**2 * self._ohm_per_m(middles) - lost) / self.stored_j_per_m_k
        times = np.concatenate(([0.0], np.cumsum(widths / rates)))
        if times[-1] < time_s:
            times, steps = np.append(times, time_s), np.append(steps, steps[-1])
        inside = times < time_s
        ends = np.append(steps[inside], np.interp(time_s, times, steps))
        return Waveform("conductor", "degC", np.append(times[inside], time_s), ends)

    def stands_s(self, current_a: float, start_c: float) -> float:
        """Return how long it stands a current from a temperature, infinite for good [s].

        Continuous in the current and never longer for more of it. Raises ValueError where the
        start is above the fault limit.
        """
        if abs(current_a) <= self.carries_a(max(self.class_c, self.air_c)):
            return math.inf
        short_s = withstand_time_s(
            self.area_mm2, abs(current_a), start_c, self.short_circuit_c, self.metal
        )
        if short_s <= ADIABATIC_S:
            return short_s
        reached_c = temperature_after_c(
            self.area_mm2, abs(current_a), ADIABATIC_S, start_c, self.metal
        )
        if reached_c >= self.overload_c:
            return ADIABATIC_S
        longer_s = self.heats_s(abs(current_a), reached_c, self.overload_c)
        return min(ADIABATIC_S + longer_s, self.overload_s)

    def ohm_per_m(self, conductor_c: float) -> float:
        """Return its resistance per metre at a temperature of its conductor [ohm/m]."""
        return float(self._ohm_per_m(conductor_c))

    def _ohm_per_m(self, conductor_c: float | FloatArray) -> FloatArray:
        share = (self.metal.zero_c + np.asarray(conductor_c)) / (self.metal.zero_c + 20.0)
        return np.asarray(self.resistance_20c_ohm_per_m * share)

    def _require(self, conductor_c: float) -> None:
        require_between("conductor_c", conductor_c, self.air_c, HOTTEST_C)

    @property
    def _shedding(self) -> tuple[float, float, float]:
        return solid_diameter_m(self.area_mm2), self.outside_m, self.air_c


@lru_cache(maxsize=256)
def _losses(shedding: tuple[float, float, float]) -> tuple[FloatArray, FloatArray]:
    """Return conductor temperatures and what a metre sheds at each, up to 400 degC and beyond.

    Worked out from the surface inwards, which needs no search.
    """
    conductor_m, outside_m, air_c = shedding
    surface = air_c + (HOTTEST_C + 1.0 - air_c) * np.linspace(0.0, 1.0, POINTS) ** 2
    lost = np.asarray(surface_loss_w_per_m(surface, air_c, outside_m))
    inside = surface + lost * insulation_k_m_per_w(conductor_m, outside_m)
    return inside, lost
