"""Resistance of what feeds a tap, from two readings of one meter without and with a load.

    R = ((Vo - Vl) - (Po - Pl)) (1 + g) / I,    I = load's current at Vl (1 + g)

Vo, Vl at the tap, Po, Pl at the battery posts (left out: the battery counts too). The gain error g
is the same in all readings of one range; the digits of each are independent. So a difference of
two readings is as good as the digits, and over a plain resistance the gain cancels altogether.
Read straight from battery plus to the tap with the load on, D on a millivolt range,

    R = D (1 + g') / I

has the small digits of that range; its gain g' is that of another range. Uncertainty by the law of
propagation, limits as rectangular, coverage factor 2 (JCGM 100:2008, 4.3.7, 5.1.2, 6.3.3). That the
load has warmed up, and the battery's surface charge is off, is the reader's care.
"""

from __future__ import annotations

from collections.abc import Callable

from circuitcheck.formulas.uncertainty import combined_standard, rectangular_standard
from circuitcheck.model.instrument import MeterRange
from circuitcheck.model.tap_readings import KnownLoad
from circuitcheck.record import record

COVERAGE = 2.0


@record
class Contribution:
    """One source of uncertainty: what it is, and what it alone makes of the result. [ohm]"""

    name: str
    standard_ohm: float


@record
class SourceResistance:
    """The result: `expanded_ohm` is twice the standard uncertainty; `drop_v` at `current_a`."""

    resistance_ohm: float
    standard_ohm: float
    drop_v: float
    current_a: float
    budget: tuple[Contribution, ...]
    with_battery: bool

    @property
    def expanded_ohm(self) -> float:
        """Expanded uncertainty, coverage factor 2, about 95 %. [ohm]"""
        return COVERAGE * self.standard_ohm

    @property
    def lower_ohm(self) -> float:
        """Lower end, never below nothing. [ohm]"""
        return max(0.0, self.resistance_ohm - self.expanded_ohm)

    @property
    def upper_ohm(self) -> float:
        """Upper end; a reading below nothing has its whole uncertainty left. [ohm]"""
        return max(0.0, self.resistance_ohm) + self.expanded_ohm


@record
class TapVolts:
    """Readings at the tap and, if taken, at the posts, without and with the load. [V]"""

    open_v: float
    loaded_v: float
    posts: tuple[float, float] | None = None

    @property
    def drop_v(self) -> float:
        """What the load makes the tap fall below the posts, or by itself. [V]"""
        at_posts = 0.0 if self.posts is None else self.posts[0] - self.posts[1]
        return self.open_v - self.loaded_v - at_posts


def load_current_a(load: KnownLoad, voltage_v: float) -> float:
    """Return the nominal current of a load at a voltage. [A]"""
    if load.filament is not None:
        return load.filament.current_at_a(voltage_v)
    if load.resistance_ohm is not None:
        return voltage_v / load.resistance_ohm.nominal
    assert load.current_a is not None
    return load.current_a.nominal


def load_share(load: KnownLoad) -> float:
    """Return the limit of the load's current about its nominal one, as a share."""
    if load.filament is not None:
        band = load.filament.current_a
        return (band.upper - band.lower) / 2.0 / band.nominal
    if load.resistance_ohm is not None:
        ohm = load.resistance_ohm
        return (ohm.upper - ohm.lower) / 2.0 / ohm.nominal
    assert load.current_a is not None
    amps = load.current_a
    return (amps.upper - amps.lower) / 2.0 / amps.nominal


def source_resistance(volts: TapVolts, meter: MeterRange, load: KnownLoad) -> SourceResistance:
    """Return the resistance with its budget. Raises ValueError where the load draws no current."""
    digits = meter.digits * meter.resolution
    readings = [volts.open_v, volts.loaded_v, *(volts.posts or ())]
    inputs = [
        ("gain of the meter, common to all readings", meter.gain),
        ("digits of the open reading", digits),
        ("digits of the loaded reading", digits),
        *([("digits at the posts, open", digits), ("digits at the posts, loaded", digits)]
          if volts.posts else []),
        ("the load's current", load_share(load)),
    ]  # fmt: skip

    def resistance_ohm(off: list[float]) -> float:
        gain, *errors, scale = off
        seen = [(v + e) * (1.0 + gain) for v, e in zip(readings, errors, strict=True)]
        drop = seen[0] - seen[1] - (seen[2] - seen[3] if volts.posts else 0.0)
        return float(drop / (load_current_a(load, seen[1]) * (1.0 + scale)))

    amps = load_current_a(load, volts.loaded_v)
    if amps <= 0.0:
        raise ValueError(f"the load draws {amps:g} A: nothing to work out")
    return _propagated(resistance_ohm, inputs, volts.drop_v, amps, with_battery=volts.posts is None)


def drop_resistance(
    drop_v: float, drop_range: MeterRange, loaded_v: float, meter: MeterRange, load: KnownLoad
) -> SourceResistance:
    """Return the resistance from battery plus to the tap, from the drop read in one piece.

    Raises ValueError where the load draws no current.
    """
    inputs = [
        ("gain of the millivolt range", drop_range.gain),
        ("digits of the drop", drop_range.digits * drop_range.resolution),
        ("gain of the range of the loaded reading", meter.gain),
        ("digits of the loaded reading", meter.digits * meter.resolution),
        ("the load's current", load_share(load)),
    ]

    def resistance_ohm(off: list[float]) -> float:
        drop = (drop_v + off[1]) * (1.0 + off[0])
        volts = (loaded_v + off[3]) * (1.0 + off[2])
        return float(drop / (load_current_a(load, volts) * (1.0 + off[4])))

    amps = load_current_a(load, loaded_v)
    if amps <= 0.0:
        raise ValueError(f"the load draws {amps:g} A: nothing to work out")
    return _propagated(resistance_ohm, inputs, drop_v, amps, with_battery=False)


def _propagated(
    function: Callable[[list[float]], float],
    inputs: list[tuple[str, float]],
    drop_v: float,
    current_a: float,
    *,
    with_battery: bool,
) -> SourceResistance:
    """Return the value with all errors 0 and its uncertainty; inputs are names and limits."""
    standards = [rectangular_standard(limit) for _, limit in inputs]
    slopes = _slopes(function, standards)
    budget = tuple(
        Contribution(name, abs(slope) * standard)
        for (name, _), slope, standard in zip(inputs, slopes, standards, strict=True)
    )
    return SourceResistance(
        function([0.0] * len(inputs)),
        combined_standard(slopes, standards),
        drop_v,
        current_a,
        budget,
        with_battery,
    )


def _slopes(function: Callable[[list[float]], float], steps: list[float]) -> list[float]:
    """Return partial derivatives at 0 by central differences over a standard uncertainty each."""
    slopes = []
    for n, step in enumerate(steps):
        if step == 0.0:
            slopes.append(0.0)
            continue
        ends = []
        for sign in (1.0, -1.0):
            point = [0.0] * len(steps)
            point[n] = sign * step
            ends.append(function(point))
        slopes.append((ends[0] - ends[1]) / (2.0 * step))
    return slopes


def expected_with(
    source_ohm: float, open_v: float, load: KnownLoad, meter: MeterRange, *, posts: bool
) -> SourceResistance:
    """Return what another load would give on the same source: its drop and its uncertainty.

    The tap's voltage under the load is found by V = Vo - R I(V), which has one solution since the
    right side falls with V.
    """
    low, high = 0.0, open_v
    for _ in range(60):
        middle = 0.5 * (low + high)
        if open_v - source_ohm * load_current_a(load, middle) > middle:
            low = middle
        else:
            high = middle
    at_posts = (open_v, open_v) if posts else None
    return source_resistance(TapVolts(open_v, low, at_posts), meter, load)
