"""Heat of a coil by its duty: temperature and resistance solved together.

The formulas are those of `formulas/coil.py`. The hottest winding is the end of a press at the
highest voltage in the hottest air; the least soaked one is the end of a pause at the lowest
voltage in the coldest air. Hot resistance rises with R20 although a lower R20 makes more heat:
R^2 - R20 k0 R - R20 Rth V^2 / 254.5 = 0 has a root that grows with R20. So the temperature's upper
end is at the least R20 and the resistance's upper end at the greatest.
"""

from __future__ import annotations

import math
from dataclasses import replace

from circuitcheck.formulas.coil import (
    periodic_peak_c,
    steady_resistance_ohm,
    winding_temperature_c,
)
from circuitcheck.formulas.wire_resistance import resistance_at_ohm
from circuitcheck.model.conditions import Use
from circuitcheck.model.solenoid_coil import SolenoidCoil
from circuitcheck.model.tolerance_band import Band
from circuitcheck.record import record
from circuitcheck.solve.heat.windings import Winding
from circuitcheck.solve.solution import CoilHeat, Range

FALLBACK_LIMIT_C = 180.0
"""Class H of IEC 60085: stands in for a coil whose class is not known."""


BURNT_C = 400.0
"""Stands for this and all beyond: the enamel has gone by then (classes of IEC 60085 end at 250)."""


@record
class PressCycle:
    """One press and the whole cycle, in seconds; both None for a coil held on without pause."""

    press_s: float | None = None
    cycle_s: float | None = None

    def peak_and_rest_c(
        self, volts: float, r20_ohm: float, air_c: float, k_per_w: float, tau_s: float | None
    ) -> tuple[float, float]:
        """Return (upper bound of the peak, lower bound of the rest) temperature [degC]."""
        if self.press_s is None or self.cycle_s is None or tau_s is None:
            ohm = steady_resistance_ohm(r20_ohm, volts, air_c, k_per_w)
            hot = winding_temperature_c(ohm, r20_ohm)
            # How much of it a pause takes away is not known without a time constant.
            return hot, hot if self.press_s is None else air_c
        peak = periodic_peak_c(r20_ohm, volts, air_c, k_per_w, tau_s, self.press_s, self.cycle_s)
        cooling = math.exp(-(self.cycle_s - self.press_s) / tau_s)
        return peak.upper_c, air_c + (peak.lower_c - air_c) * cooling


def press_cycle(use: Use) -> PressCycle:
    """Return the cycle that heats a coil most: the longest press at the stated rate."""
    if use.duty() >= 1.0 or use.longest_press_s is None or use.presses_per_hour is None:
        return PressCycle()
    rate = max(use.presses_per_hour, RAREST_PRESSES_PER_HOUR)
    return PressCycle(use.longest_press_s, 3600.0 / rate)


RAREST_PRESSES_PER_HOUR = 1e-3
"""A press in forty days: the coil is long cold again."""


Heated = SolenoidCoil | Winding
"""A record that tells a winding's resistance and heat path."""


def coil_heat(coil: Heated, ambient_c: Band, use: Use, volts: Range, position: str) -> CoilHeat:
    """Return how hot a coil gets by its duty, least and most soaked.

    `volts` is the range at its terminals while it is on, in the position that heats it most.
    """
    cycle = press_cycle(use)
    if coil.thermal_resistance_k_per_w is None:
        return _not_judged(coil, ambient_c, volts, position, use.duty())
    rth, r20 = coil.thermal_resistance_k_per_w, coil.resistance_20c_ohm
    # The shortest time constant swings most: hottest at the end of a press, coolest after a pause.
    tau_s = None if coil.thermal_time_constant_s is None else coil.thermal_time_constant_s.lower

    most = (volts.largest(), ambient_c.upper, rth.upper)
    least = (volts.smallest(), ambient_c.lower, rth.lower)

    def soaked(v: float, air_c: float, k_per_w: float, ohm: float) -> tuple[float, float]:
        peak_c, rest_c = cycle.peak_and_rest_c(v, ohm, air_c, k_per_w, tau_s)
        return min(peak_c, BURNT_C), min(rest_c, BURNT_C)

    usual_c = soaked(abs(volts.nominal), ambient_c.nominal, rth.nominal, r20.nominal)[0]
    temperature = Range(soaked(*least, r20.upper)[1], usual_c, soaked(*most, r20.lower)[0])
    resistance = Range(
        resistance_at_ohm(r20.lower, soaked(*least, r20.lower)[1]),
        resistance_at_ohm(r20.nominal, usual_c),
        resistance_at_ohm(r20.upper, soaked(*most, r20.upper)[0]),
    )
    basis = "held on without pause" if cycle.press_s is None else f"on {use.duty():.0%} of the time"
    if use.longest_press_s is None or use.presses_per_hour is None:
        basis = "held on without pause, because [use] does not say how it is worked"
    elif cycle.press_s is not None and tau_s is None:
        basis = "at its peak as if held on without pause, because its time constant is not known"
    if temperature.upper >= BURNT_C:
        basis = f"{basis}; it burns out before it settles, taken as {BURNT_C:.0f} degC"
    return CoilHeat(
        temperature, resistance, position, most[0], ambient_c.upper, use.duty(), True, basis
    )


def shared_heat(
    coil: Heated, beside: Heated, ambient_c: Band, use: Use, volts: Range, position: str
) -> tuple[CoilHeat, CoilHeat]:
    """Return the heat of two windings on one body that are on together, each its own.

    Both are copper of one temperature at about one voltage: they heat the body as one winding of
    R1 R2 / (R1 + R2) would. `volts` is the range across either of them.
    """
    one, two = coil.resistance_20c_ohm, beside.resistance_20c_ohm
    both = Band(*(x * y / (x + y) for x, y in zip(_ends(one), _ends(two), strict=True)))
    together = replace(coil, resistance_20c_ohm=both)
    heat = coil_heat(together, ambient_c, use, volts, position)
    return at_temperature_of(heat, one), at_temperature_of(heat, two)


def at_temperature_of(heat: CoilHeat, resistance_20c_ohm: Band) -> CoilHeat:
    """Return the heat of another winding on the same body: its temperature, its own resistance."""
    lower, nominal, upper = (
        resistance_at_ohm(ohm, hot)
        for ohm, hot in zip(
            _ends(resistance_20c_ohm),
            (heat.temperature_c.lower, heat.temperature_c.nominal, heat.temperature_c.upper),
            strict=True,
        )
    )
    return replace(heat, resistance_ohm=Range(lower, nominal, upper))


def _ends(band: Band) -> tuple[float, float, float]:
    return band.lower, band.nominal, band.upper


def _not_judged(
    coil: Heated, ambient_c: Band, volts: Range, position: str, duty: float
) -> CoilHeat:
    limit = coil.temperature_limit_c
    hottest = max(limit if limit is not None else FALLBACK_LIMIT_C, ambient_c.upper)
    usual = (ambient_c.nominal + hottest) / 2.0
    r20 = coil.resistance_20c_ohm
    resistance = Range(
        resistance_at_ohm(r20.lower, ambient_c.lower),
        resistance_at_ohm(r20.nominal, usual),
        resistance_at_ohm(r20.upper, hottest),
    )
    return CoilHeat(
        Range(ambient_c.lower, usual, hottest),
        resistance,
        position,
        volts.largest(),
        ambient_c.upper,
        duty,
        False,
        f"heat path unknown: taken as hot as its class allows, {hottest:.0f} degC",
    )
