"""A quantity over time, as the points between which it runs straight."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from circuitcheck.record import record

FloatArray = NDArray[np.float64]


def check_rising(times_s: FloatArray, name: str) -> None:
    """Raise ValueError where there are less than two times, or one is not after the last."""
    if times_s.size < 2 or not (times_s[1:] > times_s[:-1]).all():
        raise ValueError(f"{name}: at least two times are needed, each after the last")


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
        check_rising(self.times_s, self.name)

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


class Waveforms(Mapping[str, Waveform]):
    """Several quantities of one unit over the same times, by name: `values` (names, n).

    Raises ValueError where the shapes differ or times do not rise.
    """

    def __init__(
        self, names: Sequence[str], unit: str, times_s: FloatArray, values: FloatArray
    ) -> None:
        if values.shape != (len(names), times_s.size):
            raise ValueError(f"{values.shape} values for {len(names)} names, {times_s.size} times")
        check_rising(times_s, unit)
        self.unit, self.times_s, self.values_of = unit, times_s, values
        self._row = {name: row for row, name in enumerate(names)}
        self._known: dict[str, Waveform] = {}

    def __getitem__(self, name: str) -> Waveform:
        if name not in self._known:
            values = self.values_of[self._row[name]]
            self._known[name] = Waveform(name, self.unit, self.times_s, values)
        return self._known[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._row)

    def __len__(self) -> int:
        return len(self._row)
