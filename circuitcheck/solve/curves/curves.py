"""Parts whose current is a rising curve of their voltage: lamps, LEDs, diodes.

    lamp:           i = I0 min(k |v| / V0, (|v| / V0)^p) sign(v),   k = R hot / R cold, p = 0.55
    straight line:  i = 0 while v <= E;   i = (v - E) / r above,   plus gmin v throughout
    junction:       i = Is (exp((v - Rs i) / (N Vt)) - 1) + gmin (v - Rs i),   Vt = k T / q

A lamp never conducts better than its cold filament. Every curve passes through 0 and only rises,
so at each operating point it is some positive resistance v / i.
Source: current exponent 0.55 of filament lamps, Wikipedia, "Lamp rerating"; W. Shockley, Bell Syst.
Tech. J. 28 (1949); companion models and step limit: L. W. Nagel, SPICE2, ERL Memo M520 (1975).
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from circuitcheck.model.tolerance_band import Band
from circuitcheck.record import record
from circuitcheck.solve.elimination.elimination_order import FloatArray

BOLTZMANN_J_PER_K = 1.380649e-23  # SI 2019, exact
ELEMENTARY_CHARGE_C = 1.602176634e-19  # SI 2019, exact
ZERO_CELSIUS_K = 273.15
LEAK_S = 1e-12  # across every diode, as circuit simulators do; keeps nodes from floating
OPEN_OHM = 1e12  # an open diode
LEAST_FORWARD_A = 1e-9  # less through a diode is leakage
LAMP_EXPONENT = 0.55


@record
class Lamp:
    """A filament lamp: its current at rated voltage, and how much better it conducts when cold."""

    start: int
    end: int
    rated_v: float
    current_a: Band
    cold_ratio: Band
    exponent: float = LAMP_EXPONENT

    def __post_init__(self) -> None:
        if not (self.rated_v > 0.0 and self.current_a.lower > 0.0):
            raise ValueError(f"rated {self.rated_v} V and current {self.current_a} must be above 0")
        if not (self.cold_ratio.lower >= 1.0 and 0.0 < self.exponent < 1.0):
            raise ValueError(
                f"cold ratio {self.cold_ratio} below 1, or exponent {self.exponent} not in 0..1"
            )

    @property
    def lit_from_v(self) -> float:
        """Voltage below which the filament counts as cold: k v / V0 = (v / V0)^p. [V]"""
        return float(self.rated_v * self.cold_ratio.nominal ** (-1.0 / (1.0 - self.exponent)))


@record
class StraightDiode:
    """A diode or LED as a band of straight lines: open below `drop_v`, then `slope_ohm` per A."""

    anode: int
    cathode: int
    drop_v: Band
    slope_ohm: Band

    def __post_init__(self) -> None:
        if self.drop_v.lower < 0.0 or self.slope_ohm.lower <= 0.0:
            raise ValueError(f"drop {self.drop_v} below 0 V, or slope {self.slope_ohm} not above 0")

    @property
    def start(self) -> int:
        """Node that current enters by."""
        return self.anode

    @property
    def end(self) -> int:
        """Node that current leaves by."""
        return self.cathode


@record
class Junction:
    """A junction diode: saturation current, emission, series resistance, temperature."""

    anode: int
    cathode: int
    saturation_a: float
    emission: float = 1.0
    series_ohm: float = 0.0
    temperature_c: float = 27.0

    def __post_init__(self) -> None:
        if not (self.saturation_a > 0.0 and self.emission > 0.0 and self.series_ohm >= 0.0):
            raise ValueError(f"diode parameters {self} must be above 0")

    @property
    def start(self) -> int:
        """Node that current enters by."""
        return self.anode

    @property
    def end(self) -> int:
        """Node that current leaves by."""
        return self.cathode

    @property
    def scale_v(self) -> float:
        """N Vt, about 26 mV per emission coefficient of 1 at room temperature. [V]"""
        kelvin = self.temperature_c + ZERO_CELSIUS_K
        return self.emission * BOLTZMANN_J_PER_K * kelvin / ELEMENTARY_CHARGE_C

    def drop_v(self, current_a: float) -> float:
        """Forward voltage at a forward current. [V]"""
        drop = self.scale_v * float(np.log1p(current_a / self.saturation_a))
        return drop + self.series_ohm * current_a


Curve = Lamp | StraightDiode | Junction
BandedCurve = Lamp | StraightDiode


def straight_band(junction: Junction, least_a: float, most_a: float) -> StraightDiode:
    """Straight lines that enclose a junction's curve from `least_a` to `most_a`.

    The curve is concave: the chord lies below it, the parallel tangent above. Below `least_a` the
    true drop is lower than the band says. Raises ValueError unless 0 < least_a < most_a.
    """
    if not 0.0 < least_a < most_a:
        raise ValueError(f"currents {least_a}, {most_a} A must rise from above 0")
    slope = (junction.drop_v(most_a) - junction.drop_v(least_a)) / (most_a - least_a)
    chord = junction.drop_v(least_a) - slope * least_a
    touching_a = junction.scale_v / (slope - junction.series_ohm) - junction.saturation_a
    tangent = junction.drop_v(touching_a) - slope * touching_a
    drop = Band(chord, 0.5 * (chord + tangent), tangent)
    return StraightDiode(junction.anode, junction.cathode, drop, Band.exact(slope))


@record
class Reach:
    """How large the current [A] and voltage [V] of each of d curves can be, in magnitude, (d,).

    For diodes both count forwards only: 0 where they may block.
    """

    least_a: FloatArray
    most_a: FloatArray
    least_v: FloatArray
    most_v: FloatArray

    def within(self, other: Reach) -> Reach:
        """Return what both allow."""
        return Reach(
            np.maximum(self.least_a, other.least_a),
            np.minimum(self.most_a, other.most_a),
            np.maximum(self.least_v, other.least_v),
            np.minimum(self.most_v, other.most_v),
        )

    def take(self, which: Sequence[int]) -> Reach:
        """Return the reach of some of the curves, by number."""
        at = np.asarray(which, dtype=np.intp)
        return Reach(self.least_a[at], self.most_a[at], self.least_v[at], self.most_v[at])

    def is_close_to(self, other: Reach, relative: float) -> bool:
        """Whether no end differs by more than a relative amount."""
        ends = ("least_a", "most_a", "least_v", "most_v")
        return all(
            np.allclose(getattr(self, end), getattr(other, end), rtol=relative, atol=1e-12)
            for end in ends
        )


def whole_reach(curves: Sequence[BandedCurve], most_v: float) -> Reach:
    """Return the reach of curves in a network in which no voltage exceeds `most_v`."""
    count = len(curves)
    return Reach(
        np.zeros(count),
        np.full(count, np.inf),
        np.zeros(count),
        np.full(count, most_v),
    )


def secant_ohm(curves: Sequence[BandedCurve], reach: Reach) -> tuple[FloatArray, FloatArray]:
    """Least and greatest v / i of each curve over its band and its reach, each (d,). [ohm]"""
    low, high = np.empty(len(curves)), np.empty(len(curves))
    for j, curve in enumerate(curves):
        if isinstance(curve, Lamp):
            # the resistance of a filament rises with its voltage
            most_a, least_a = curve.current_a.upper, curve.current_a.lower
            low[j] = _lamp_ohm(curve, most_a, curve.cold_ratio.upper, float(reach.least_v[j]))
            high[j] = _lamp_ohm(curve, least_a, curve.cold_ratio.lower, float(reach.most_v[j]))
            continue
        # r + E / i falls with the current
        over_v = max(float(reach.most_v[j]) - curve.drop_v.lower, 0.0)
        most_a = min(float(reach.most_a[j]), over_v / curve.slope_ohm.lower)
        low[j] = curve.slope_ohm.lower + curve.drop_v.lower / max(most_a, LEAK_S)
        least_a = float(reach.least_a[j])
        high[j] = OPEN_OHM
        if least_a > 0.0:
            high[j] = min(curve.slope_ohm.upper + curve.drop_v.upper / least_a, OPEN_OHM)
    low = np.minimum(low, OPEN_OHM)
    return low, np.maximum(high, low)


def _lamp_ohm(lamp: Lamp, current_a: float, cold_ratio: float, volts: float) -> float:
    hot = max((volts / lamp.rated_v) ** (1.0 - lamp.exponent), 1.0 / cold_ratio)
    return float(lamp.rated_v / current_a * hot)


def voltage_v(curve: BandedCurve, end: int, current_a: float) -> float:
    """Voltage across a curve at one end of its band (-1, 0, +1) from its current. [V]

    0 for a diode without current: what stands across it then is not its own doing.
    """
    row = end + 1
    if isinstance(curve, Lamp):
        amps, ratio = curve.current_a, curve.cold_ratio
        share = abs(current_a) / (amps.upper, amps.nominal, amps.lower)[row]
        cold = share / (ratio.upper, ratio.nominal, ratio.lower)[row]
        volts = curve.rated_v * max(cold, share ** (1.0 / curve.exponent))
        return float(math.copysign(volts, current_a))
    drop = (curve.drop_v.lower, curve.drop_v.nominal, curve.drop_v.upper)[row]
    slope = (curve.slope_ohm.lower, curve.slope_ohm.nominal, curve.slope_ohm.upper)[row]
    return drop + slope * current_a if current_a > LEAST_FORWARD_A else 0.0
