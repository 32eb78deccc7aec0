"""Lots of causes, worked out once each, and causes picked out of several lots.

Pairs of faults are thought of anew after each reading, mostly the same ones again: each pair stays
in the lot in which it was worked out first.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from circuitcheck.diagnosis.causes import Cause
from circuitcheck.diagnosis.information import FloatArray
from circuitcheck.diagnosis.outcomes import OutcomeTable, outcome_table
from circuitcheck.diagnosis.predictions import BoolArray, Predictions
from circuitcheck.model.reading import Measurement
from circuitcheck.record import record

IntArray = NDArray[np.intp]
Shown = TypeVar("Shown", np.float64, np.bool_)


class Lot:
    """Some causes: what readings show under each, and their table once it is asked for.

    With `like`, a lot with the same readings, the bands are those of its table.
    """

    def __init__(
        self, predictions: Predictions, measurements: Sequence[Measurement], like: Lot | None = None
    ) -> None:
        self.predictions, self.measurements = predictions, tuple(measurements)
        self._like = like

    @cached_property
    def table(self) -> OutcomeTable:
        """Outcome of each reading for each cause and draw."""
        like = None if self._like is None else self._like.table
        return outcome_table(self.predictions, self.measurements, like)


@record
class Picked:
    """Causes picked out of one lot, by their rows there, and the places they take among others."""

    lot: Lot
    rows: IntArray
    places: IntArray


def whole(lot: Lot) -> Picked:
    """Return all causes of a lot in their order, from the first place on."""
    every = np.arange(len(lot.predictions.causes))
    return Picked(lot, every, every)


class GatheredPredictions:
    """Predictions of causes picked out of several lots, in the order of their places."""

    def __init__(self, parts: Sequence[Picked]) -> None:
        one = parts[0].lot.predictions
        self.full, self.draws, self.worked = one.full, one.draws, one.worked
        self.harness, self.library = one.harness, one.library
        self.parts = tuple(parts)
        held: dict[int, Cause] = {}
        for part in parts:
            causes = part.lot.predictions.causes
            picked = zip(part.places.tolist(), part.rows.tolist(), strict=True)
            held |= {place: causes[row] for place, row in picked}
        self.causes = tuple(held[place] for place in range(len(held)))

    @cached_property
    def blown(self) -> BoolArray:
        """Fuses open after the complaint, (1 + faults, draws, fuses), of a sound circuit first."""
        each = [part.lot.predictions.blown for part in self.parts]
        faults = [
            # the sound circuit stands before the faults, whether it is a cause or not
            found[len(found) - len(part.lot.predictions.causes) :]
            for part, found in zip(self.parts, each, strict=True)
        ]
        picked = self._gathered(faults)
        return picked if not self.causes[0].faults else np.concatenate([each[0][:1], picked])

    def of(self, measurement: Measurement) -> FloatArray:
        """Return what the instrument shows, (causes, draws), in its unit."""
        return self._gathered([part.lot.predictions.of(measurement) for part in self.parts])

    def complained(self, measurement: Measurement) -> FloatArray:
        """Return what was observed when the buttons were worked at first, (causes, draws)."""
        return self._gathered([part.lot.predictions.complained(measurement) for part in self.parts])

    def known(self, measurement: Measurement) -> FloatArray | None:
        """Return what the instrument shows where that is worked out already, else None."""
        found = [part.lot.predictions.known(measurement) for part in self.parts]
        whole = [one for one in found if one is not None]
        return self._gathered(whole) if len(whole) == len(found) else None

    def _gathered(self, shown: Sequence[NDArray[Shown]]) -> NDArray[Shown]:
        out = np.empty((len(self.causes), *shown[0].shape[1:]), dtype=shown[0].dtype)
        for part, found in zip(self.parts, shown, strict=True):
            out[part.places] = found[part.rows]
        return out


def gathered_table(parts: Sequence[Picked]) -> OutcomeTable:
    """Return the table of causes picked out of lots with the same readings and bands."""
    tables = [part.lot.table for part in parts]
    readings, _, draws = tables[0].codes.shape
    codes = np.empty((readings, sum(part.rows.size for part in parts), draws), dtype=np.int8)
    for part, table in zip(parts, tables, strict=True):
        codes[:, part.places] = table.codes[:, part.rows]
    return OutcomeTable(tables[0].measurements, codes, tables[0].edges)


class Pool:
    """Pairs of faults that were worked out already, each by its name in its lot.

    `tried` with what the readings so far show, `kept` with all candidate readings.
    """

    def __init__(self, single: Lot) -> None:
        self.single = single
        self._tried: dict[str, tuple[Lot, int]] = {}
        self._kept: dict[str, tuple[Lot, int]] = {}

    def has_kept(self, pair: Cause) -> bool:
        """Return whether a pair is worked out for all candidate readings."""
        return pair.name in self._kept

    def tried(self, pairs: Sequence[Cause]) -> tuple[Picked, ...]:
        """Return pairs, after the single causes, to weigh by the readings so far."""
        new = [pair for pair in pairs if pair.name not in self._tried]
        if new:
            single = self.single
            lot = Lot(single.predictions.of_others(new), single.measurements, single)
            self._tried |= {pair.name: (lot, row) for row, pair in enumerate(new)}
        # those that are kept know most readings already
        known = self._tried | self._kept
        return self._picked(known, pairs, len(self.single.predictions.causes))

    def kept(self, pairs: Sequence[Cause]) -> tuple[Picked, ...]:
        """Return pairs that were tried, after the single causes, to ask readings for."""
        new = [pair for pair in pairs if not self.has_kept(pair)]
        if new:
            single, tried = self.single, GatheredPredictions(self._picked(self._tried, new, 0))
            lot = Lot(single.predictions.of_others(new, tried), single.measurements, single)
            self._kept |= {pair.name: (lot, row) for row, pair in enumerate(new)}
        return self._picked(self._kept, pairs, len(self.single.predictions.causes))

    def _picked(
        self, known: dict[str, tuple[Lot, int]], pairs: Sequence[Cause], first_place: int
    ) -> tuple[Picked, ...]:
        of_lot: dict[Lot, list[tuple[int, int]]] = {}
        for place, pair in enumerate(pairs, start=first_place):
            lot, row = known[pair.name]
            of_lot.setdefault(lot, []).append((row, place))
        return tuple(Picked(lot, *np.array(some).T) for lot, some in of_lot.items())
