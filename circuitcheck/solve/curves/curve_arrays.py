"""Many curves at many operating points side by side: tangents, currents, and when to stop.

Each curve is known by one number per operating point, its place: the voltage across it, or for a
junction the voltage behind its series resistance.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

import numpy as np
import numpy.typing as npt

from circuitcheck.model.tolerance_band import Band
from circuitcheck.record import record
from circuitcheck.solve.curves.curves import LEAK_S, Curve, Junction, Lamp, StraightDiode
from circuitcheck.solve.elimination.elimination_order import FloatArray, IntArray

BoolArray = npt.NDArray[np.bool_]
CLOSE = 1e-6  # last Newton step, relative (junctions: of N Vt); the error left is its square
AT_KNEE = 3e-12  # V; a diode so near its knee may count as open or conducting


class _Group(Protocol):
    """Curves of one kind; arrays (count, points) or (count, 1)."""

    @property
    def which(self) -> IntArray: ...
    def companion(self, place: FloatArray) -> tuple[FloatArray, FloatArray]: ...
    def current(self, across: FloatArray) -> FloatArray: ...
    def next_place(self, across: FloatArray, amps: FloatArray, old: FloatArray) -> FloatArray: ...
    def is_settled(self, new: FloatArray, old: FloatArray) -> BoolArray: ...
    def start(self, points: int) -> FloatArray: ...
    def take(self, points: IntArray) -> _Group: ...


class CurvePoints:
    """d curves with their parameters chosen at each operating point."""

    def __init__(self, groups: Sequence[_Group], count: int) -> None:
        self.groups, self.count = tuple(groups), count

    @property
    def has_junctions(self) -> bool:
        """Whether some curve is an exponential, with a place of its own behind a resistance."""
        return any(isinstance(group, _Junctions) for group in self.groups)

    def take(self, points: IntArray) -> CurvePoints:
        """Return the curves at some of the operating points."""
        return CurvePoints([group.take(points) for group in self.groups], self.count)

    def start(self, points: int) -> FloatArray:
        """Return places (d, points) to set out from: lamps lit, diodes open."""
        out = np.zeros((self.count, points))
        for group in self.groups:
            out[group.which] = group.start(points)
        return out

    def companion(self, place: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Tangent i = slope v + offset at places (d, points). [S], [A]"""
        slope, offset = np.empty_like(place), np.empty_like(place)
        for group in self.groups:
            slope[group.which], offset[group.which] = group.companion(place[group.which])
        return slope, offset

    def current(self, across: FloatArray) -> FloatArray:
        """Currents (d, points) at voltages across; not for junctions. [A]"""
        out = np.empty_like(across)
        for group in self.groups:
            out[group.which] = group.current(across[group.which])
        return out

    def next_place(self, across: FloatArray, amps: FloatArray, old: FloatArray) -> FloatArray:
        """Places after a step that led to voltages `across` and currents `amps`."""
        out = np.empty_like(old)
        for group in self.groups:
            at = group.which
            out[at] = group.next_place(across[at], amps[at], old[at])
        return out

    def is_settled(self, new: FloatArray, old: FloatArray) -> BoolArray:
        """Whether each operating point moved too little to matter, (points,)."""
        out = np.ones(old.shape[1], dtype=bool)
        for group in self.groups:
            at = group.which
            out &= group.is_settled(new[at], old[at]).all(axis=0)
        return out


class CurveArrays:
    """Curves with their bands; parameters are chosen by rows of -1, 0, +1 as resistances are.

    -1 is where a curve conducts best, +1 where it conducts least, 0 nominal.
    """

    def __init__(self, curves: Sequence[Curve]) -> None:
        self.curves = tuple(curves)
        self._lamps = [j for j, c in enumerate(curves) if isinstance(c, Lamp)]
        self._straight = [j for j, c in enumerate(curves) if isinstance(c, StraightDiode)]
        self._junctions = [j for j, c in enumerate(curves) if isinstance(c, Junction)]
        lamps = [c for c in curves if isinstance(c, Lamp)]
        straight = [c for c in curves if isinstance(c, StraightDiode)]
        self._lamp_a = _rows([c.current_a for c in lamps])[:, ::-1]
        self._cold_ratio = _rows([c.cold_ratio for c in lamps])[:, ::-1]
        self._drop = _rows([c.drop_v for c in straight])
        self._slope = _rows([c.slope_ohm for c in straight])

    def nominal(self) -> CurvePoints:
        """Return the curves at their nominal parameters."""
        return self.at(np.zeros((len(self.curves), 1), dtype=np.int8))

    def at(self, ends: npt.NDArray[np.int8]) -> CurvePoints:
        """Return the curves at chosen ends (d, points)."""
        row = ends.astype(np.intp) + 1
        groups: list[_Group] = []
        if self._lamps:
            groups.append(self._lamps_at(row[self._lamps]))
        if self._straight:
            at = row[self._straight]
            drop = np.take_along_axis(self._drop, at, axis=1)
            slope = np.take_along_axis(self._slope, at, axis=1)
            groups.append(_StraightLines(np.array(self._straight, dtype=np.intp), drop, slope))
        if self._junctions:
            groups.append(self._junctions_now())
        return CurvePoints(groups, len(self.curves))

    def _lamps_at(self, row: IntArray) -> _Lamps:
        lamps = [c for c in self.curves if isinstance(c, Lamp)]
        return _Lamps(
            np.array(self._lamps, dtype=np.intp),
            np.take_along_axis(self._lamp_a, row, axis=1),
            _column([c.rated_v for c in lamps]),
            np.take_along_axis(self._cold_ratio, row, axis=1),
            _column([c.exponent for c in lamps]),
        )

    def _junctions_now(self) -> _Junctions:
        found = [c for c in self.curves if isinstance(c, Junction)]
        scale = _column([c.scale_v for c in found])
        saturation = _column([c.saturation_a for c in found])
        return _Junctions(
            np.array(self._junctions, dtype=np.intp),
            scale,
            saturation,
            _column([c.series_ohm for c in found]),
            scale * np.log(scale / (np.sqrt(2.0) * saturation)),
        )


def straight_points(drop_v: FloatArray, slope_ohm: FloatArray) -> CurvePoints:
    """Straight lines with drop and slope (d, points) given outright."""
    which = np.arange(len(drop_v), dtype=np.intp)
    return CurvePoints([_StraightLines(which, drop_v, slope_ohm)], len(drop_v))


@record
class _Lamps:
    which: IntArray
    current_a: FloatArray
    rated_v: FloatArray
    cold_ratio: FloatArray
    exponent: FloatArray

    def take(self, points: IntArray) -> _Lamps:
        amps, ratio = _some(self.current_a, points), _some(self.cold_ratio, points)
        return _Lamps(self.which, amps, self.rated_v, ratio, self.exponent)

    def start(self, points: int) -> FloatArray:
        return np.repeat(self.rated_v, points, axis=1)

    def _share(self, across: FloatArray) -> tuple[FloatArray, FloatArray, BoolArray]:
        """Share of rated voltage, share of rated current, and whether the filament is cold."""
        share = np.abs(across) / self.rated_v
        lit = share**self.exponent
        cold = self.cold_ratio * share
        return share, np.minimum(lit, cold), cold <= lit

    def current(self, across: FloatArray) -> FloatArray:
        return np.asarray(self.current_a * self._share(across)[1] * np.sign(across))

    def companion(self, place: FloatArray) -> tuple[FloatArray, FloatArray]:
        share, relative, is_cold = self._share(place)
        scale = self.current_a / self.rated_v
        lit = self.exponent * relative / np.where(share > 0.0, share, 1.0)
        slope = scale * np.where(is_cold, self.cold_ratio, lit)
        return slope, self.current_a * relative * np.sign(place) - slope * place

    def next_place(self, across: FloatArray, amps: FloatArray, old: FloatArray) -> FloatArray:
        return across

    def is_settled(self, new: FloatArray, old: FloatArray) -> BoolArray:
        is_small = np.maximum(np.abs(new), np.abs(old)) < CLOSE**2 * self.rated_v
        return np.asarray(is_small | (np.abs(new - old) <= CLOSE * np.abs(new)))


@record
class _StraightLines:
    which: IntArray
    drop_v: FloatArray
    slope_ohm: FloatArray

    def take(self, points: IntArray) -> _StraightLines:
        return _StraightLines(self.which, _some(self.drop_v, points), _some(self.slope_ohm, points))

    def start(self, points: int) -> FloatArray:
        # open, so that a diode no current reaches stays open
        return np.zeros((len(self.which), points))

    def current(self, across: FloatArray) -> FloatArray:
        over = np.maximum(across - self.drop_v, 0.0)
        return np.asarray(over / self.slope_ohm + LEAK_S * across)

    def companion(self, place: FloatArray) -> tuple[FloatArray, FloatArray]:
        is_on = place > self.drop_v
        slope = np.where(is_on, 1.0 / self.slope_ohm + LEAK_S, LEAK_S)
        return slope, np.where(is_on, -self.drop_v / self.slope_ohm, 0.0)

    def next_place(self, across: FloatArray, amps: FloatArray, old: FloatArray) -> FloatArray:
        return across

    def is_settled(self, new: FloatArray, old: FloatArray) -> BoolArray:
        is_same = (new > self.drop_v) == (old > self.drop_v)
        return np.asarray(is_same | (np.abs(new - self.drop_v) <= AT_KNEE))


@record
class _Junctions:
    which: IntArray
    scale: FloatArray
    saturation: FloatArray
    series: FloatArray
    critical: FloatArray

    def take(self, points: IntArray) -> _Junctions:
        return self

    def start(self, points: int) -> FloatArray:
        return np.zeros((len(self.which), points))

    def current(self, across: FloatArray) -> FloatArray:
        raise NotImplementedError("a junction behind a resistance has no explicit current")

    def companion(self, place: FloatArray) -> tuple[FloatArray, FloatArray]:
        grown = np.exp(place / self.scale)
        slope = self.saturation / self.scale * grown + LEAK_S
        current = self.saturation * (grown - 1.0) + LEAK_S * place
        share = 1.0 / (1.0 + slope * self.series)
        return slope * share, (current - slope * place) * share

    def next_place(self, across: FloatArray, amps: FloatArray, old: FloatArray) -> FloatArray:
        """Shorten steps up the exponential to the change of current they were meant to make."""
        new = across - self.series * amps
        is_long = (new > self.critical) & (np.abs(new - old) > 2.0 * self.scale)
        grown = 1.0 + (new - old) / self.scale
        from_low = self.scale * np.log(np.maximum(new, self.scale) / self.scale)
        from_on = np.where(
            grown > 0.0, old + self.scale * np.log(np.maximum(grown, 1e-300)), self.critical
        )
        return np.where(is_long, np.where(old > 0.0, from_on, from_low), new)

    def is_settled(self, new: FloatArray, old: FloatArray) -> BoolArray:
        return np.asarray(np.abs(new - old) <= CLOSE * self.scale)


def _rows(bands: list[Band]) -> FloatArray:
    return np.array([[b.lower, b.nominal, b.upper] for b in bands], dtype=float).reshape(-1, 3)


def _column(values: list[float]) -> FloatArray:
    return np.array(values, dtype=float).reshape(-1, 1)


def _some(values: FloatArray, points: IntArray) -> FloatArray:
    return values if values.shape[1] == 1 else values[:, points]
