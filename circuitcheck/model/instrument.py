"""Instruments: what a meter loads, how far it may be off, and what a person sees by eye or ear."""

from __future__ import annotations

import math

from circuitcheck.model.library_rows import Row
from circuitcheck.model.tolerance_band import Band
from circuitcheck.record import record

VOLTMETER = "voltmeter"
LOADED_VOLTMETER = "loaded voltmeter"
LAMP_BY_EYE = "lamp by eye"
LED_TESTER = "LED tester"
OHMMETER = "ohmmeter"
CLAMP_AMMETER = "clamp ammeter"
FUSE_MILLIVOLTS = "fuse millivolts"
OBSERVATION = "observation"
KINDS = (
    VOLTMETER,
    LOADED_VOLTMETER,
    LAMP_BY_EYE,
    LED_TESTER,
    OHMMETER,
    CLAMP_AMMETER,
    FUSE_MILLIVOLTS,
    OBSERVATION,
)

OBSERVATIONS = (
    "click",
    "steel blade",
    "valve moves",
    "fed directly",
    "indicator",
    "fuse looked at",
    "warm joint",
)
"""Names of the observations: what each depends on is worked out by its name."""

POINTS = ("two points", "wire or part", "fuse", "coil", "indicator", "joint")
"""What an instrument is put on or an observation is made at."""
SUPPLIES = ("on", "off", "either")
"""Whether the circuit must be live for it."""

DARK, DIM, BRIGHT = 0.0, 1.0, 2.0
LEVELS = {"dark": DARK, "dim": DIM, "bright": BRIGHT}
"""What a lamp by eye shows; `lit` may stand for bright where nobody could tell more."""


@record
class MeterRange:
    """One range of a meter: limits of error are `gain` of the reading plus `digits` last digits.

    `full_scale` and `resolution` (one digit) are in the meter's SI unit.
    """

    full_scale: float
    resolution: float
    gain: float
    digits: float

    def __str__(self) -> str:
        error = f"{100.0 * self.gain:g} % + {self.digits:g} digits of {self.resolution:g}"
        return f"{self.full_scale:g} ({error})"

    def limit(self, value: float) -> float:
        """Return the limit of error at a value: gain |value| + digits x resolution."""
        return self.gain * abs(value) + self.digits * self.resolution


@record
class Filament:
    """A filament as a load: i = I0 min(k v / V0, (v / V0)^p), as `solve/curves/curves.py` has it.

    `current_a` flows at `rated_v`; `cold_ratio` k is hot over cold resistance.
    """

    rated_v: float
    power_w: float
    current_a: Band
    cold_ratio: Band
    exponent: float

    def __str__(self) -> str:
        cold = f"{self.cold_ohm:.2g} ohm cold"
        return f"{self.power_w:g} W at {self.rated_v:g} V, {cold}"

    @property
    def cold_ohm(self) -> float:
        """Resistance of the cold filament: V0 / (I0 k). [ohm]"""
        return self.rated_v / self.current_a.nominal / self.cold_ratio.nominal

    def current_at_a(self, voltage_v: float) -> float:
        """Return the nominal current at a voltage. [A]"""
        share = abs(voltage_v) / self.rated_v
        if share == 0.0:
            return 0.0
        hot = share**self.exponent
        return math.copysign(
            self.current_a.nominal * min(self.cold_ratio.nominal * share, hot), voltage_v
        )


@record(kw_only=True)
class InstrumentRow(Row):
    """One instrument or observation of library/instruments.csv.

    `unit` is the SI unit of its value: V, ohm, A; `level` for a lamp by eye; `yes or no`.
    `system_v` is the machine it is for, None for any. `input_ohm` is what it loads the circuit
    with, `input_ohm_per_v` the same of a moving-coil meter, by its range. `lead_ohm` is an
    ohmmeter's leads, `test_v` its open voltage. A lamp is dark below `lit_from_v` and bright from
    `bright_from_v`. `zero_a` is what a clamp may show of nothing. `mistaken` is how often a
    person sees or hears it wrongly.
    """

    kind: str
    unit: str
    at: str
    supply: str
    system_v: float | None
    input_ohm: float | None
    input_ohm_per_v: float | None
    ranges: tuple[MeterRange, ...]
    lead_ohm: float | None
    test_v: float | None
    zero_a: float | None
    filament: Filament | None
    lit_from_v: float | None
    bright_from_v: float | None
    mistaken: float

    def range_for(self, value: float) -> MeterRange | None:
        """Return the smallest range that shows a value; None where the meter has none so high."""
        fitting = (r for r in self.ranges if abs(value) <= r.full_scale * (1.0 + 1e-9))
        return min(fitting, key=lambda r: r.full_scale, default=None)

    def load_ohm(self, value_v: float) -> float:
        """Return what a voltmeter loads the circuit with when it shows a value. [ohm]

        A moving-coil meter takes its ohm per volt times its range; without either, infinite.
        """
        if self.input_ohm is not None:
            return self.input_ohm
        if self.input_ohm_per_v is None:
            return math.inf
        chosen = self.range_for(value_v) or self.ranges[-1]
        return self.input_ohm_per_v * chosen.full_scale
