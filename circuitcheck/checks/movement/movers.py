"""Parts that move something on the machine: solenoid coils, pull and hold coils.

Shared ground of the checks; it judges nothing itself.
"""

from __future__ import annotations

from circuitcheck.model.harness import Harness
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.solenoid_coil import SolenoidCoil


def movers(harness: Harness) -> tuple[SolenoidCoil | PullHoldCoil, ...]:
    """Return the parts that say what they move, in file order."""
    parts = harness.parts.values()
    return tuple(part for part in parts if isinstance(part, SolenoidCoil | PullHoldCoil))
