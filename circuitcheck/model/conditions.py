"""Zones, use and supply: the conditions that a worst case is taken over."""

from __future__ import annotations

from circuitcheck.model.tolerance_band import Band
from circuitcheck.record import record


@record
class Zone:
    """A part of the machine with its own air temperature.

    `ambient_c` in degrees Celsius; `engine_space` and `wet` as the trade means them.
    """

    name: str
    ambient_c: Band
    engine_space: bool = False
    wet: bool = False


@record
class Use:
    """How the circuit is worked: longest press [s], presses per hour, service life [h].

    A field is None where the file does not say; the coil is then taken as held without pause.
    `longest_release_s` is how long a coil may take to let go, None where nobody minds.
    """

    longest_press_s: float | None = None
    presses_per_hour: float | None = None
    service_life_h: float | None = None
    longest_release_s: float | None = None

    def duty(self) -> float:
        """Return the longest share of time that a coil may be on, 0 to 1.

        ED = on time / cycle time, at most 1; a press over 300 s counts as continuous
        (terms of DIN VDE 0580). Without both figures the coil counts as held on.
        """
        if self.longest_press_s is None or self.presses_per_hour is None:
            return 1.0
        if self.longest_press_s > CONTINUOUS_PRESS_S:
            return 1.0
        return min(1.0, self.longest_press_s * self.presses_per_hour / 3600.0)


CONTINUOUS_PRESS_S = 300.0
"""A press longer than this counts as continuous duty (glossary after DIN VDE 0580)."""


@record
class Conditions:
    """Supply at the battery posts under load, in volts, as (lower, upper).

    `cranking_v` is None where neither file nor library gives it. `load_dump_clamped` is False for
    an alternator that lets a load dump out unclamped.
    """

    engine_off_v: tuple[float, float]
    charging_v: tuple[float, float]
    cranking_v: tuple[float, float] | None = None
    load_dump_clamped: bool = True

    def running_v(self) -> Band:
        """Return the whole range in which the circuit must work: weak battery to charging."""
        lower = min(self.engine_off_v[0], self.charging_v[0])
        upper = max(self.engine_off_v[1], self.charging_v[1])
        return Band(lower, (lower + upper) / 2.0, upper)
