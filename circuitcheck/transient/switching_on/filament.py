"""A lamp's filament: its resistance follows its temperature, which takes its time.

    r = y^1.2,                          y = T / T0, resistance and temperature over those lit
    q tau dy/dt = p - (y^q - y_c^q),    p = power over rated power, q = 1.2 (1 + e) / (1 - e)

At rest this is the lamp's own law, current going with voltage to the power e: p = r^((1+e)/(1-e)).
With e = 0.55 the power goes with T^4.1, near the fourth power of radiation. `tau` is the time in
which a small change dies away when lit. Cold, r = 1 / k, k hot over cold resistance. Resistance of
tungsten goes with the temperature to the power 1.2: Wikipedia, "Incandescent light bulb", and
lamp-rerating (the exponent e).
"""

from __future__ import annotations

from functools import cached_property

import numpy as np

from circuitcheck.record import record
from circuitcheck.transient.waveform import FloatArray

TUNGSTEN_EXPONENT = 1.2
WARMTH_STEPS, WARMTH_CLOSE = 30, 1e-7
"""A step from this near leaves its square, no more than rounding."""


@record
class Filaments:
    """d filaments as arrays (d,): resistance and power when lit [ohm, W], cold ratio, exponent."""

    lit_ohm: FloatArray
    lit_w: FloatArray
    cold_ratio: FloatArray
    exponent: FloatArray
    time_constant_s: float

    @cached_property
    def cold(self) -> FloatArray:
        """Temperature of a cold filament over that lit, (d,)."""
        return np.asarray(self.cold_ratio ** (-1.0 / TUNGSTEN_EXPONENT))

    @cached_property
    def power_exponent(self) -> FloatArray:
        """Exponent of radiated power over temperature, (d,): about 4."""
        return np.asarray(TUNGSTEN_EXPONENT * (1.0 + self.exponent) / (1.0 - self.exponent))

    def resistance_ohm(self, warmth: FloatArray) -> FloatArray:
        """Return the resistance at temperatures over those lit, (..., d). [ohm]"""
        return np.asarray(self.lit_ohm * np.maximum(warmth, self.cold) ** TUNGSTEN_EXPONENT)

    def settled_exponent(self, warmth: FloatArray) -> FloatArray:
        """Return n of i ~ V^n at rest about settled filaments, (..., d): 1 cold, `exponent` lit.

        n = 1 - 2.4 s / (q + 1.2 s),   s = 1 - y_c^q / y^q the share of the power not from air
        """
        q = self.power_exponent
        share = 1.0 - (self.cold / warmth) ** q
        return np.asarray(1.0 - 2.0 * TUNGSTEN_EXPONENT * share / (q + TUNGSTEN_EXPONENT * share))

    def rate_per_s(self, warmth: FloatArray, power_w: FloatArray) -> FloatArray:
        """Return how fast the temperature over that lit rises, (d,). [1/s]"""
        q = self.power_exponent
        lost = np.maximum(warmth, self.cold) ** q - self.cold**q
        return np.asarray((power_w / self.lit_w - lost) / (q * self.time_constant_s))

    def settled_warmth(self, volts: FloatArray, guess: FloatArray | None = None) -> FloatArray:
        """Return the temperature over that lit at which filaments settle on a voltage, (..., d).

            y^q = y_c^q + s^2 / y^1.2,   s the share of rated voltage

        By Newton's method in x = ln y, h(x) = x - ln(y_c^q + s^2 exp(-1.2 x)) / q, whose slope
        stays between 1 and 1 + 1.2 / q, so that it closes from anywhere; from `guess`, or as lit.
        """
        cold, q = self.cold, self.power_exponent
        square, lost = volts * volts / (self.lit_w * self.lit_ohm), cold**q
        x = np.zeros(volts.shape) if guess is None else np.log(guess)
        for _ in range(WARMTH_STEPS):
            taken = square * np.exp(-TUNGSTEN_EXPONENT * x)
            balance = lost + taken
            away = x - np.log(balance) / q
            x = x - away / (1.0 + TUNGSTEN_EXPONENT / q * taken / balance)
            if np.abs(away).max(initial=0.0) < WARMTH_CLOSE:
                break
        return np.asarray(np.maximum(np.exp(x), cold))
