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
from circuitcheck.diagnosis.likelihood import Scale, blur, scale_of
from circuitcheck.diagnosis.predictions import Predictions
from circuitcheck.model import instrument as i
from circuitcheck.model.reading import Measurement
from circuitcheck.record import record

BANDS = 8
"""Outcomes that a reading is sorted into at most."""
SEED = 7
LEVELS_PER_BLUR = 3.0

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
        order = kept[np.argsort(of_label[kept], kind="stable")]
        sorted_labels = of_label[order]
        starts = np.flatnonzero(np.r_[True, np.diff(sorted_labels) > 0])
        codes, weight = self.codes[:, order], joint[order]
        found = np.zeros((len(self.measurements), labels, BANDS))
        for band in range(BANDS):
            per_cause = np.einsum("mcd,cd->mc", codes == band, weight)
            found[:, sorted_labels[starts], band] = np.add.reduceat(per_cause, starts, axis=1)
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
    codes: list[CodeArray] = []
    edges: list[FloatArray] = []
    for number, measurement in enumerate(measurements):
        known = None if like is None else like.edges[number]
        code, used = _codes(predictions, measurement, known)
        codes.append(code)
        edges.append(used)
    shape = (0, len(predictions.causes), predictions.draws)
    stacked = np.stack(codes) if codes else np.zeros(shape, dtype=np.int8)
    return OutcomeTable(tuple(measurements), stacked, tuple(edges))


def _codes(
    predictions: Predictions, measurement: Measurement, known: FloatArray | None
) -> tuple[CodeArray, FloatArray]:
    harness, library = predictions.harness, predictions.library
    shown = predictions.of(measurement)
    scale = scale_of(measurement, library, harness.system_v)
    rng = np.random.default_rng([SEED, len(measurement.plus), len(measurement.minus)])
    if scale.kind == i.OBSERVATION:
        mistaken = library.instrument(measurement.instrument).mistaken
        # Evenly spread, so that few draws carry the right share of mistakes.
        chance = (rng.permutation(shown.shape[1]) + 0.5) / shown.shape[1]
        yes = np.clip(shown, 0.0, 1.0) * (1.0 - 2.0 * mistaken) + mistaken
        return np.asarray((yes > chance).astype(np.int8)), np.array([0.5])
    places, width = _places(predictions, measurement, shown, scale, rng)
    edges = band_edges(places, width) if known is None else known
    return np.asarray(np.searchsorted(edges, places).astype(np.int8)), edges


def _places(
    predictions: Predictions,
    measurement: Measurement,
    shown: FloatArray,
    scale: Scale,
    rng: np.random.Generator,
) -> tuple[FloatArray, float]:
    """Return where readings come to lie, meter's error and all, and the usual blur."""
    sigma = blur(measurement, shown, predictions.library, scale)
    places = scale.place(shown) + sigma * rng.standard_normal(shown.shape[1])
    return places, float(np.median(sigma))


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
