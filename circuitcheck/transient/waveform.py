"""A quantity over time, as the points between which it runs straight."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from circuitcheck.record import record

FloatArray = NDArray[np.float64]


@record
class Waveform:
    """One quantity over time, straight between its points; `unit` is A, V, degC or m.

    `times_s` rises strictly and `values` has its shape (n,), n at least 2. Before the first point
    the quantity has its first value, after the last its last.

    Raises ValueError where the shapes differ or times do not rise.
    """

    name: str
    unit: str
    times_s: FloatArray
    values: FloatArray

    def __post_init__(self) -> None:
        if self.times_s.shape != self.values.shape or self.times_s.ndim != 1:
            raise ValueError(f"{self.name}: {self.times_s.shape} times, {self.values.shape} values")
        if self.times_s.size < 2 or not np.all(np.diff(self.times_s) > 0):
            raise ValueError(f"{self.name}: at least two times are needed, each after the last")

    def at(self, time_s: float) -> float:
        """Return the value at a time."""
        return float(np.interp(time_s, self.times_s, self.values))

    @property
    def peak(self) -> float:
        """Value of largest magnitude, with its sign."""
        return float(self.values[np.argmax(np.abs(self.values))])

    def square_integral(self) -> float:
        """Return the integral of the square, exact for straight pieces [unit^2 s].

            sum dt (a^2 + a b + b^2) / 3

        For a current this is I2t.
        """
        a, b = self.values[:-1], self.values[1:]
        return float(np.sum(np.diff(self.times_s) * (a * a + a * b + b * b) / 3.0))

    def first_crossing_s(self, level: float) -> float | None:
        """Return when the quantity first reaches `level`, None where it never does."""
        away = self.values - level
        if away[0] == 0.0:
            return float(self.times_s[0])
        crossed = np.flatnonzero(away[:-1] * away[1:] <= 0.0)
        if crossed.size == 0:
            return None
        k = int(crossed[0])
        share = away[k] / (away[k] - away[k + 1])
        return float(self.times_s[k] + share * (self.times_s[k + 1] - self.times_s[k]))
