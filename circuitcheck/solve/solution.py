"""What the solver answers: ranges per switch position and coil state, each with its gap."""

from __future__ import annotations

from circuitcheck.record import record

COLD_START = "cold start"
HEAT_SOAKED = "heat-soaked"
COIL_STATES = (COLD_START, HEAT_SOAKED)
BLOCKED = "blocked"


@record
class Range:
    """Certified range of one quantity: it never lies outside `lower` to `upper`.

    `gap` is how far the bounds may lie outside what some admissible set of values reaches, in
    the unit of the quantity; 0 where every bound is reached to a ten-thousandth. `method` is how
    the bounds were certified: `series-parallel`, `corners`, `enclosure`, `branch and bound`;
    `floating` where nothing fixes the quantity (all NaN), BLOCKED for a diode that never conducts.
    """

    lower: float
    nominal: float
    upper: float
    gap: float = 0.0
    method: str = "series-parallel"

    def negated(self) -> Range:
        """Return the range of the quantity with its sign turned."""
        return Range(-self.upper, -self.nominal, -self.lower, self.gap, self.method)

    def largest(self) -> float:
        """Return the largest magnitude in the range."""
        return max(abs(self.lower), abs(self.upper))

    def smallest(self) -> float:
        """Return the smallest magnitude in the range, 0 where it spans zero."""
        if self.lower <= 0.0 <= self.upper:
            return 0.0
        return min(abs(self.lower), abs(self.upper))


@record
class CoilHeat:
    """How hot one coil gets by the duty of its use, and what that makes of its winding.

    Ranges run from the least to the most soaked. `hottest_position` is the switch position that
    heats it most. `judged` is False where the coil's heat path is unknown; `basis` then says
    what stands in for it.
    """

    temperature_c: Range
    resistance_ohm: Range
    hottest_position: str
    supply_v: float
    ambient_c: float
    duty: float
    judged: bool
    basis: str
