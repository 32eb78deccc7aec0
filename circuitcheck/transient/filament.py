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

import math
from dataclasses import dataclass

import numpy as np

from circuitcheck.transient.waveform import FloatArray

TUNGSTEN_EXPONENT = 1.2


@dataclass(frozen=True)
class Filaments:
    """d filaments as arrays (d,): resistance and power when lit [ohm, W], cold ratio, exponent."""

    lit_ohm: FloatArray
    lit_w: FloatArray
    cold_ratio: FloatArray
    exponent: FloatArray
    time_constant_s: float

    @property
    def cold(self) -> FloatArray:
        """Temperature of a cold filament over that lit, (d,)."""
        return np.asarray(self.cold_ratio ** (-1.0 / TUNGSTEN_EXPONENT))

    @property
    def power_exponent(self) -> FloatArray:
        """Exponent of radiated power over temperature, (d,): about 4."""
        return np.asarray(TUNGSTEN_EXPONENT * (1.0 + self.exponent) / (1.0 - self.exponent))

    def resistance_ohm(self, warmth: FloatArray) -> FloatArray:
        """Return the resistance at temperatures over those lit, (..., d). [ohm]"""
        return np.asarray(self.lit_ohm * np.maximum(warmth, self.cold) ** TUNGSTEN_EXPONENT)

    def rate_per_s(self, warmth: FloatArray, power_w: FloatArray) -> FloatArray:
        """Return how fast the temperature over that lit rises, (d,). [1/s]"""
        q = self.power_exponent
        lost = np.maximum(warmth, self.cold) ** q - self.cold**q
        return np.asarray((power_w / self.lit_w - lost) / (q * self.time_constant_s))

    def settled_warmth(self, volts: FloatArray, guess: FloatArray | None = None) -> FloatArray:
        """Return the temperature over that lit at which a filament settles on a voltage, (d,).

            y^q = y_c^q + s^2 / y^1.2,   s the share of rated voltage

        From `guess` (d,) some steps are taken, each of which more than halves its distance; without
        it, from the law of lit lamps, as many as it takes.
        """
        # Plain numbers one by one: a handful of lamps is far quicker so than as arrays.
        rated_v = np.sqrt(self.lit_w * self.lit_ohm)
        share = (np.abs(volts) / rated_v).tolist()
        starts = [None] * len(share) if guess is None else guess.tolist()
        rows = zip(
            share, starts, self.cold.tolist(), self.power_exponent.tolist(),
            self.exponent.tolist(), strict=True,
        )  # fmt: skip
        return np.array([_settled_warmth(*row) for row in rows], dtype=np.float64)


def _settled_warmth(
    share: float, guess: float | None, cold: float, q: float, exponent: float
) -> float:
    warmth, steps = guess, 10
    if warmth is None:
        warmth, steps = share ** ((1.0 - exponent) / TUNGSTEN_EXPONENT), 30
    square, lost, root = share * share, cold**q, 1.0 / q
    for _ in range(steps):
        warmth = max(warmth, cold)
        last = warmth
        warmth = math.sqrt(warmth * (square / warmth**TUNGSTEN_EXPONENT + lost) ** root)
        if warmth == last:
            break
    return max(warmth, cold)
