"""The loads that a person complains of: coils that move something, and lights."""

from __future__ import annotations

from circuitcheck.model.harness import Harness
from circuitcheck.model.indicator import IndicatorLamp, LedIndicator
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.solenoid_coil import SolenoidCoil

Coil = SolenoidCoil | PullHoldCoil
Light = IndicatorLamp | LedIndicator


def coils_of(harness: Harness) -> tuple[Coil, ...]:
    """Return the coils of valves, latches and clutches; those of relays are none of them."""
    return (*harness.coils, *harness.of_kind(PullHoldCoil))


def lights_of(harness: Harness) -> tuple[Light, ...]:
    """Return the lamps and LEDs."""
    return (*harness.of_kind(IndicatorLamp), *harness.of_kind(LedIndicator))
