"""What a voltage makes of a filament lamp's life and light, in words.

    life = (V / V_0)^-12,  light = (V / V_0)^3.4     of what it has at rated voltage V_0

Source: lamp-rerating. Shared ground of the check on indicators; it judges nothing itself.
"""

from __future__ import annotations

from collections.abc import Sequence

from circuitcheck.checks.check import Case
from circuitcheck.model.indicator import IndicatorLamp
from circuitcheck.solve.worst_case import PositionSolution
from circuitcheck.units import text


def lamp_words(
    case: Case, part: IndicatorLamp, highest_v: float, live: Sequence[PositionSolution]
) -> tuple[str, ...]:
    """Return the life left at the highest voltage, and the light at the lowest where asked for."""
    life = case.library.limit("lamp_life_exponent").value
    light = case.library.limit("lamp_light_exponent").value
    words = []
    if highest_v > part.rated_v:
        share = (highest_v / part.rated_v) ** -life
        words.append(f"held at {text(highest_v, 'V')} it lives {share:.0%} of its rated life")
    asked = [solved for solved in live if part.name in solved.asked_for]
    lowest_v = min(
        (solved.across_v(part.name).smallest() for solved in asked), default=part.rated_v
    )
    if lowest_v < part.rated_v:
        share = (lowest_v / part.rated_v) ** light
        words.append(f"at {text(lowest_v, 'V')}, its lowest, it gives {share:.0%} of its light")
    return tuple(words)
