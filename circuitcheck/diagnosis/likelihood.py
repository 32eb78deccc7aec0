"""What an instrument may show: the density of a reading under each cause, rightly or wrongly taken.

Volts and amperes are compared as they are, ohms by their logarithm, so that 0.2 ohm, 7 ohm and no
path at all are places on one scale. A reading taken wrongly shows nothing (the probe does not
touch), the supply (the wrong cavity) or anything between; how the three share is common practice,
no source.
"""

from __future__ import annotations

import numpy as np

from circuitcheck.diagnosis.information import FloatArray
from circuitcheck.diagnosis.posterior import Witness
from circuitcheck.model import instrument as i
from circuitcheck.model.library import Library
from circuitcheck.model.reading import Measurement
from circuitcheck.readings.meter_error import spread
from circuitcheck.record import record

IN_WORDS = (i.OBSERVATION, i.LAMP_BY_EYE, i.LED_TESTER)
"""Kinds of instruments whose readings are words: yes and no, or dark, dim and bright."""
NO_PATH_OHM = 1e8
TOUCHING_OHM = 0.3
"""Ohms below which an ohmmeter's own leads blur the reading."""
MODEL_V, MODEL_SHARE = 0.01, 0.004
"""What the model itself may be off: heat of the moment, a probe on a dirty contact."""
MODEL_LOG_OHM = 0.01
NOTHING_SHARE, SUPPLY_SHARE = 0.4, 0.2
NOTHING_WIDTH, SUPPLY_WIDTH_V = 0.02, 0.5
"""Spread of wrong readings of nothing, on their scale, and of the supply."""


@record
class Scale:
    """The scale that readings of one kind are compared on, from `lower` to `upper`."""

    kind: str
    lower: float
    upper: float

    @property
    def width(self) -> float:
        """Length of the scale."""
        return self.upper - self.lower

    def place(self, value: FloatArray) -> FloatArray:
        """Return where values lie on the scale; no path lies at its upper end."""
        plain = np.asarray(value, dtype=float)
        if self.kind != i.OHMMETER:
            return plain
        return np.asarray(np.log10(np.clip(plain, 0.0, NO_PATH_OHM) + TOUCHING_OHM))

    def value(self, place: FloatArray) -> FloatArray:
        """Return the values that lie at places on the scale: the reverse of `place`."""
        if self.kind != i.OHMMETER:
            return np.asarray(place, dtype=float)
        return np.asarray(np.power(10.0, place) - TOUCHING_OHM)

    def step(self, value: FloatArray) -> FloatArray:
        """Return how far one unit reaches on the scale, at values."""
        plain = np.asarray(value, dtype=float)
        if self.kind != i.OHMMETER:
            return np.ones(plain.shape)
        return np.asarray(1.0 / (np.log(10.0) * (np.minimum(plain, NO_PATH_OHM) + TOUCHING_OHM)))


def scale_of(measurement: Measurement, library: Library, system_v: float) -> Scale:
    """Return the scale of what a measurement shows."""
    kind = library.instrument(measurement.instrument).kind
    if kind == i.OBSERVATION:
        return Scale(kind, 0.0, 1.0)
    if kind in (i.LAMP_BY_EYE, i.LED_TESTER):
        return Scale(kind, -0.5, 2.5)
    if kind == i.OHMMETER:
        return Scale(kind, float(np.log10(TOUCHING_OHM)), float(np.log10(NO_PATH_OHM)))
    if kind == i.FUSE_MILLIVOLTS:
        return Scale(kind, -0.05, 0.2)
    return Scale(kind, -0.2 * system_v, 1.3 * system_v)


def blur(
    measurement: Measurement, predicted: FloatArray, library: Library, scale: Scale
) -> FloatArray:
    """Return the standard deviation of a reading on its scale, meter and model, as `predicted`."""
    meter = spread(measurement, predicted, library) * scale.step(predicted)
    if scale.kind == i.OHMMETER:
        model: FloatArray | float = MODEL_LOG_OHM
    elif scale.kind in (i.LAMP_BY_EYE, i.LED_TESTER):
        model = 0.0
    else:
        model = MODEL_V + MODEL_SHARE * np.abs(predicted)
    return np.asarray(np.sqrt(meter**2 + np.square(model)))


def witness(
    measurement: Measurement,
    value: float,
    predicted: FloatArray,
    library: Library,
    system_v: float,
    wrong_share: float,
    mistaken_times: float = 1.0,
) -> Witness:
    """Return what a reading says of each cause; `predicted` is (causes, draws) in its unit.

    What was seen or heard is mistaken as often as the library says, times `mistaken_times`.

    The draws stand for all machines between them: each one's density is widened by half the spread
    of its cause's draws (Silverman 1986, Density Estimation, for some 30 draws).
    """
    scale = scale_of(measurement, library, system_v)
    mistaken = library.instrument(measurement.instrument).mistaken * mistaken_times
    if scale.kind == i.OBSERVATION:
        yes = np.clip(predicted, 0.0, 1.0)
        yes = yes * (1.0 - mistaken) + (1.0 - yes) * mistaken
        # how often it is mistaken is all that can be wrong with it
        return Witness(yes if value > 0.5 else 1.0 - yes, mistaken, 0.5, 0.0)
    places = scale.place(predicted)
    between = KERNEL * places.std(axis=1, keepdims=True)
    sigma = np.hypot(blur(measurement, predicted, library, scale), between)
    read = float(scale.place(np.array(value)))
    wrong = wrong_density(read, scale, system_v)
    return Witness(_normal(read, places, sigma), wrong, wrong, wrong_share)


KERNEL = 0.5


def wrong_density(place: float, scale: Scale, system_v: float) -> float:
    """Return the density of a reading taken wrongly, at a place on its scale."""
    nothing = scale.upper if scale.kind == i.OHMMETER else 0.0
    found = (1.0 - NOTHING_SHARE - SUPPLY_SHARE) / scale.width
    found += NOTHING_SHARE * float(_normal(place, np.array(nothing), np.array(NOTHING_WIDTH)))
    if scale.kind in (i.VOLTMETER, i.LOADED_VOLTMETER):
        at_supply = _normal(place, np.array(SUPPLY_OF_SYSTEM * system_v), np.array(SUPPLY_WIDTH_V))
        return found + SUPPLY_SHARE * float(at_supply)
    return found + SUPPLY_SHARE / scale.width


SUPPLY_OF_SYSTEM = 1.03
"""What a battery at rest shows over its nominal voltage: common practice, no source."""


def _normal(place: float, middle: FloatArray, sigma: FloatArray) -> FloatArray:
    least = np.maximum(sigma, 1e-9)
    density = np.exp(-0.5 * np.square((place - middle) / least))
    return np.asarray(density / (least * np.sqrt(2.0 * np.pi)))
