"""A value with its tolerance: the lower end, the nominal value, the upper end."""

from __future__ import annotations

import math

from circuitcheck.record import record


@record
class Band:
    """Lower, nominal and upper value of one quantity, all in the same SI unit.

    Raises ValueError when the three are not finite and in order.
    """

    lower: float
    nominal: float
    upper: float

    def __post_init__(self) -> None:
        if not all(math.isfinite(v) for v in (self.lower, self.nominal, self.upper)):
            raise ValueError(f"band {self.lower}, {self.nominal}, {self.upper} is not finite")
        if not self.lower <= self.nominal <= self.upper:
            raise ValueError(f"band {self.lower}, {self.nominal}, {self.upper} is not in order")

    @classmethod
    def exact(cls, value: float) -> Band:
        """Return the band of a value known without tolerance."""
        return cls(value, value, value)

    def scaled(self, factor: float) -> Band:
        """Return the band times a factor of 0 or more."""
        return Band(self.lower * factor, self.nominal * factor, self.upper * factor)

    def plus(self, other: Band) -> Band:
        """Return the sum of two independent quantities."""
        return Band(
            self.lower + other.lower, self.nominal + other.nominal, self.upper + other.upper
        )
