"""The heat of a fuse under any current: does it open, and how near does it come.

Two edges, never a middle. The fast edge (the fuse in its hottest air) is the earliest of all
fuses that meet the listed times: it judges opening with nothing wrong. The slow edge (in its
coldest air) is the latest: it judges protection. See `fuse_fit` for the model.

On the fast edge a fuse also counts as open where the current has stayed at or above a listed
percent for its listed shortest time: no network can be as early as the list at all points at once.

Model-checked, not measured: no open measured data of blade fuses opening were found.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from circuitcheck.formulas.batch import require_above_zero
from circuitcheck.formulas.fuse_clearing import shortest_opening_s
from circuitcheck.model.library import FuseOpeningBand, FuseRow, Library
from circuitcheck.model.tolerance_band import Band
from circuitcheck.record import record
from circuitcheck.transient.heat.first_order import after_piece, along_pieces, periodic_peaks
from circuitcheck.transient.heat.fuse_fit import (
    FAST,
    OPEN,
    SLOW,
    TIME_CONSTANTS_S,
    FuseEdge,
    Heat,
    fuse_edge,
)
from circuitcheck.transient.heat.fuse_rating import rerated_a
from circuitcheck.transient.heat.pulses import pulses_above, spells_above
from circuitcheck.transient.waveform import FloatArray, Waveform

__all__ = ["FAST", "SLOW", "FuseHeat", "fuse_band_a", "fuse_heat"]
MOST_POINTS = 60
"""Points of a waveform at which heat is looked at before the one sought is closed in on."""
CLOSE = 1e-6


@record
class FuseHeat:
    """One fuse on one edge; `worth_a` is what it is worth in the air of that edge."""

    row: FuseRow
    band: FuseOpeningBand
    worth_a: float
    edge: str

    def __post_init__(self) -> None:
        require_above_zero("worth_a", self.worth_a)
        fuse_edge(self.band, self.edge)

    @property
    def holds_a(self) -> float:
        """Largest current that never opens it on the fast edge, whatever its pattern [A]."""
        return self.worth_a * self.band.holds_percent / 100.0

    @property
    def fast_edge_known(self) -> bool:
        """Whether shortest times are really listed: those of a style differ from each other."""
        listed = [t for t in self.band.min_s if t < self.band.min_s[0]]
        return len(set(listed)) == len(listed)

    def opens_at_s(self, current: Waveform) -> float | None:
        """Return when it opens under a current; None where it does not to the last point.

        What flowed before the first point is taken as its first value for good.
        """
        times = _looked_at(current)
        states = self._states(current, times)
        opened, row = None, self._edge.first_open(states)
        if row == 0:
            opened = float(times[0])
        elif row is not None:
            between = (float(times[row - 1]), float(times[row]))
            opened = self._close_in(current, between, states[row - 1])
        held = self._held_too_long_s(current) if self.edge == FAST else None
        found = [time for time in (opened, held) if time is not None]
        return min(found, default=None)

    def share(self, current: Waveform) -> float:
        """Return how near it comes to opening: its largest heat, 1 where it opens."""
        largest = self._edge.largest(self._states(current, _looked_at(current))).share
        if self.edge == FAST and self._held_too_long_s(current) is not None:
            return max(1.0, largest)
        return largest

    def repeated(self, press: Waveform, period_s: float) -> Heat:
        """Return the largest heat once a press repeats for good, with the fuse that has it.

            x_k(t) = x_0k(t) + exp(-t / tau_k) x_0k(T) / (1 - exp(-T / tau_k))

        x_0 is the state that one press from cold leaves, T the period; no current flows between
        the press's last point and the next. Closed form, no press is followed after another.
        Raises ValueError where a press is longer than its period.
        """
        return self._edge.largest(self._repeated(press, period_s, None))

    def opens_at_press(self, press: Waveform, period_s: float, most: int = 10_000) -> int | None:
        """Return the press at which it opens, 1 the first; None where none of `most` does."""

        def opens(number: int) -> bool:
            return self._edge.largest(self._repeated(press, period_s, number)).share >= OPEN

        if not opens(most):
            return None
        low, high = 0, most  # a later press never finds it cooler
        while high - low > 1:
            middle = (low + high) // 2
            low, high = (low, middle) if opens(middle) else (middle, high)
        return high

    def melting_i2t_share(self, current: Waveform) -> float | None:
        """Return the I2t of what flows above `holds_a` over the I2t that melts the fuse.

            sum of I2t / max(I2t_melting, I_rms^2 t_min(I_rms)) of each spell above `holds_a`

        In a spell that is not short against the fuse's own time heat leaves it meanwhile: what it
        takes to melt it is then the I2t at which it may open at the earliest. None where no source
        gives its melting I2t. A current that it holds for good adds nothing. That a spell counts by
        its r.m.s. is common practice, no source.
        """
        melting_a2s = self.row.melting_i2t_a2s
        if melting_a2s is None:
            return None
        share = 0.0
        for lasts_s, i2t_a2s in pulses_above(current, self.holds_a):
            rms_a = math.sqrt(i2t_a2s / lasts_s)
            least_s = shortest_opening_s(rms_a, self.worth_a, self.band.percents, self.band.min_s)
            share += i2t_a2s / max(melting_a2s, rms_a**2 * least_s)
        return share

    @property
    def _edge(self) -> FuseEdge:
        return fuse_edge(self.band, self.edge)

    def _repeated(self, press: Waveform, period_s: float, number: int | None) -> FloatArray:
        """Return the states of the terms at each point of a press that repeats."""
        times = _looked_at(press)
        values = np.interp(times, press.times_s, press.values) / self.worth_a
        return periodic_peaks(times, values, period_s, TIME_CONSTANTS_S, number)

    def _states(self, current: Waveform, times: FloatArray) -> FloatArray:
        """Return what each term holds of (I / worth)^2 at each time, (times, terms)."""
        at = np.interp(times, current.times_s, current.values) / self.worth_a
        start = np.full(TIME_CONSTANTS_S.size, at[0] ** 2)
        return along_pieces(start, at, times, TIME_CONSTANTS_S)

    def _close_in(
        self, current: Waveform, between_s: tuple[float, float], state: FloatArray
    ) -> float:
        """Return when heat reaches 1 between two points of one straight piece."""
        start, end = between_s
        first = current.at(start) / self.worth_a
        low, high = start, end
        while high - low > CLOSE * (high - current.times_s[0]):
            middle = (low + high) / 2.0
            there = current.at(middle) / self.worth_a
            held = after_piece(state, first, there, middle - start, TIME_CONSTANTS_S)
            low, high = (low, middle) if self._edge.heat(held).share >= OPEN else (middle, high)
        return float(high)

    def _held_too_long_s(self, current: Waveform) -> float | None:
        """Return when a current has stayed at a listed percent for its shortest time."""
        found = []
        for percent, shortest_s in zip(self.band.percents, self.band.min_s, strict=True):
            level_a = self.worth_a * percent / 100.0
            for start, end in spells_above(current, level_a):
                if end - start >= shortest_s:
                    found.append(start + shortest_s)
        return min(found, default=None)


def fuse_heat(library: Library, row: FuseRow, air_c: Band, edge: str) -> FuseHeat:
    """Return a fuse on one edge: the fast one in the hottest of its air, the slow in the coldest.

    Raises LibraryError where the library does not know the style or its re-rating there.
    """
    band = library.fuse_opening_band(row.style)
    worth_a = rerated_a(library, row, air_c.upper if edge == FAST else air_c.lower)
    return FuseHeat(row, band, worth_a, edge)


def fuse_band_a(
    times_s: FloatArray, row: FuseRow, band: FuseOpeningBand, worth_a: tuple[float, float]
) -> tuple[FloatArray, FloatArray]:
    """Return both edges of a fuse as the steady current that opens it in each time, (n,). [A]

    `worth_a` is what it is worth in its hottest and in its coldest air. Straight lines in
    logarithms between the listed points, constant I2t beyond the last; NaN where nothing is
    listed: before its shortest time on the holding side, after its longest on the opening side.
    """
    hot_a, cold_a = worth_a
    fast = _current_at(times_s, hot_a, band.percents, band.min_s)
    return fast, _current_at(times_s, cold_a, band.percents, band.max_s)


def _looked_at(current: Waveform) -> FloatArray:
    """Return a waveform's points, its long pieces cut so that heat is seen between them too."""
    times = current.times_s
    pieces = math.ceil(MOST_POINTS / (times.size - 1))
    if pieces == 1:
        return times
    cut = [
        np.concatenate(([a], a + (b - a) * np.geomspace(1e-4, 1.0, pieces)))[:-1]
        for a, b in pairwise(times)
    ]
    return np.concatenate((*cut, times[-1:]))


def _current_at(
    times_s: FloatArray, worth_a: float, percents: Sequence[float], listed_s: Sequence[float]
) -> FloatArray:
    points = [(t, p) for p, t in zip(percents, listed_s, strict=True) if math.isfinite(t)]
    times, levels = np.log([t for t, _ in points]), np.log([p for _, p in points])
    order = np.argsort(times, kind="stable")
    found = np.exp(np.interp(np.log(times_s), times[order], levels[order]))
    shortest_s, last = points[-1]
    short = times_s < shortest_s
    found[short] = last * np.sqrt(shortest_s / times_s[short])
    found[times_s > points[0][0]] = math.nan
    return np.asarray(worth_a * found / 100.0)
