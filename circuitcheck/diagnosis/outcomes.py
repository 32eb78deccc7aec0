"""Outcomes of readings not yet taken: values sorted into a few bands, by cause.

Each draw of each cause shows one value, the meter's error drawn with it (the same for every cause,
so that causes that a reading cannot tell apart come out exactly alike). Bands lie between the
levels that the causes lead to.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from circuitcheck.diagnosis.information import FloatArray
from circuitcheck.diagnosis.likelihood import blur, scale_of
from circuitcheck.diagnosis.predictions import Predictions
from circuitcheck.model import instrument as i
from circuitcheck.model.reading import Measurement
from circuitcheck.record import record

BANDS = 8
"""Outcomes that a reading is sorted into at most."""
SEED = 7
LEVELS_PER_BLUR = 3.0
VALUES = 50_000
"""Values that are sorted into bands side by side."""

CodeArray = NDArray[np.int8]


@record
class OutcomeTable:
    """Band of each reading for each cause and draw: `codes` (readings, causes, draws).

    `edges` are those between the bands of each reading, on its scale.
    """

    measurements: tuple[Measurement, ...]
    codes: CodeArray
    edges: tuple[FloatArray, ...]

    def share(self, joint: FloatArray, of_label: NDArray[np.intp], labels: int) -> FloatArray:
        """Return P(outcome | label), (readings, labels, outcomes), for weights (causes, draws).

        `of_label` gives the label of each cause, -1 for a cause left out. A label without weight
        has rows of zero.
        """
        kept = np.flatnonzero((of_label >= 0) & (joint.sum(axis=1) > 0.0))
        first, weight = of_label[kept][:, None] * BANDS, joint[kept].ravel()
        found = np.zeros((len(self.measurements), labels, BANDS))
        for number, codes in enumerate(self.codes[:, kept]):
            summed = np.bincount((first + codes).ravel(), weight, labels * BANDS)
            found[number] = summed.reshape(labels, BANDS)
        total = found.sum(axis=2, keepdims=True)
        return np.asarray(np.divide(found, total, out=np.zeros_like(found), where=total > 0.0))


def outcome_table(
    predictions: Predictions,
    measurements: Sequence[Measurement],
    like: OutcomeTable | None = None,
) -> OutcomeTable:
    """Return the bands of readings for all causes of `predictions`.

    With `like`, a table of the same readings for other causes, its edges are taken.
    """
    predictions.prepare(measurements)
    count = len(measurements)
    codes = np.zeros((count, len(predictions.causes), predictions.draws), dtype=np.int8)
    edges: list[FloatArray] = [np.zeros(0)] * count if like is None else list(like.edges)
    alike: dict[str, list[int]] = {}
    for number, measurement in enumerate(measurements):
        alike.setdefault(measurement.instrument, []).append(number)
    step = max(1, VALUES // max(codes[:1].size, 1))
    for numbers in alike.values():
        for first in range(0, len(numbers), step):
            some = numbers[first : first + step]
            asked = [measurements[number] for number in some]
            known = None if like is None else [edges[number] for number in some]
            codes[some], used = _codes(predictions, asked, known)
            for number, found in zip(some, used, strict=True):
                edges[number] = found
    return OutcomeTable(tuple(measurements), codes, tuple(edges))


def _codes(
    predictions: Predictions, asked: Sequence[Measurement], known: Sequence[FloatArray] | None
) -> tuple[CodeArray, Sequence[FloatArray]]:
    """Return bands and edges of some readings with one instrument."""
    one, library = asked[0], predictions.library
    shown = np.stack([predictions.of(measurement) for measurement in asked])
    scale = scale_of(one, library, predictions.harness.system_v)
    if scale.kind == i.OBSERVATION:
        mistaken = library.instrument(one.instrument).mistaken
        yes = np.clip(shown, 0.0, 1.0) * (1.0 - 2.0 * mistaken) + mistaken
        chance = np.stack([_chances(m, predictions.draws) for m in asked])
        return np.asarray((yes > chance[:, None]).astype(np.int8)), [np.array([0.5])] * len(asked)
    sigma = blur(one, shown, library, scale)
    errors = np.stack([_errors(m, predictions.draws) for m in asked])
    places = scale.place(shown) + sigma * errors[:, None]
    if known is None:
        width = np.median(sigma, axis=(1, 2))
        known = [band_edges(own, float(w)) for own, w in zip(places, width, strict=True)]
    found = [np.searchsorted(own, at) for own, at in zip(known, places, strict=True)]
    return np.stack(found).astype(np.int8), known


def _random(measurement: Measurement) -> np.random.Generator:
    return np.random.default_rng([SEED, len(measurement.plus), len(measurement.minus)])


def _chances(measurement: Measurement, draws: int) -> FloatArray:
    """Chances evenly spread, so that few draws carry the right share of mistakes."""
    return np.asarray((_random(measurement).permutation(draws) + 0.5) / draws)


def _errors(measurement: Measurement, draws: int) -> FloatArray:
    """Errors of the instrument over its standard deviation."""
    return np.asarray(_random(measurement).standard_normal(draws))


def band_edges(places: FloatArray, blur_width: float) -> FloatArray:
    """Return at most BANDS - 1 edges between the levels that values lie at.

    Values closer than the blur are one level; edges have about as many levels between them, so
    that a wide stretch that one cause alone leads to does not take all bands.
    """
    step = max(LEVELS_PER_BLUR * blur_width, 1e-9)
    levels = np.unique(np.round(places / step))
    if levels.size <= BANDS:
        return np.asarray((levels[:-1] + levels[1:]) * 0.5 * step)
    at = np.linspace(0, levels.size, BANDS + 1)[1:-1].astype(int)
    return np.asarray((levels[at - 1] + levels[at]) * 0.5 * step)
