"""Filaments beside windings, the common case: everything else eliminated before the first step.

    (r + M_ll) i_l = e_l - M_lw i_w          lamps, r from their filaments
    L di_w/dt = e_w - M_wl i_l - (M_ww + R) i_w

The same equations as in `following.py`, with the diodes that conduct at the start taken as fixed;
whether they hold to the end is looked at afterwards. Circuits with the same ports are set up and
read out side by side; the steps of each are its own, in plain numbers, which are quicker than
arrays for a handful of states.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TypeVar

import numpy as np

from circuitcheck.transient.alike_circuits import AlikeCircuits
from circuitcheck.transient.filament import TUNGSTEN_EXPONENT, Filaments
from circuitcheck.transient.glowing_pair import pair_rates
from circuitcheck.transient.integration import integrated_at
from circuitcheck.transient.port_currents import LEFT_OVER, OPEN_OHM
from circuitcheck.transient.port_elements import BoolArray, Elements
from circuitcheck.transient.port_network import PortValues
from circuitcheck.transient.waveform import FloatArray

MOST_LAMPS = 6
"""Beyond, arrays are quicker again."""
FIRST_S, POINTS_PER_DECADE, EVEN_POINTS = 2e-6, 32, 40

Course = tuple[FloatArray, FloatArray, FloatArray]
"""Times (t,), currents of all ports (p, t) and warmth of filaments (d, t)."""


class Glowing:
    """Circuits (b,) of windings (w,) and lamps (d,) with the same ports, diodes settled at start.

    `start_a` (b, w) are the currents of windings, those cut off gone: `is_cut` (b, w) marks them.
    """

    def __init__(
        self, values: Sequence[PortValues], elements: Sequence[Elements], start_a: FloatArray
    ) -> None:
        """`start_a` are the currents before; lamps count as lit for what conducts."""
        self.elements = elements
        self.alike = AlikeCircuits(values, elements)
        self.windings, self.lamps = elements[0].windings, elements[0].lamps
        self.own_ohm = self.alike.series_ohm[:, self.windings]
        self.henry = self.alike.inductance_h[:, self.windings]
        self.alike.is_on[:, self.windings] = False
        self.start_a, self.is_cut = start_a, np.zeros(start_a.shape, dtype=bool)
        for _ in range(self.windings.size + 1):
            self.alike.settle(self.windings, self.start_a)
            driven, matrix = self.alike.reduced(self.windings)
            self.whole_ohm = matrix + self.own_ohm[:, :, None] * np.eye(self.windings.size)
            lost = self._cut_off(driven, np.einsum("bww->bw", matrix))
            if not lost.any():
                break
            self.is_cut |= lost
            self.start_a = np.where(lost, 0.0, self.start_a)

    def _cut_off(self, driven: FloatArray, own: FloatArray) -> BoolArray:
        """Return the windings that carry a current for which no loop is left, (b, w)."""
        is_open = own > OPEN_OHM
        if not is_open.any():
            return is_open
        final_a = np.linalg.solve(self.whole_ohm, driven[:, :, None])[:, :, 0]
        return np.asarray(is_open & (np.abs(final_a) < LEFT_OVER * np.abs(self.start_a)))

    def slowest_s(self) -> FloatArray:
        """Return the longest time constant of the windings of each circuit, (b,). [s]"""
        if not self.windings.size:
            return np.zeros(len(self.elements))
        root = np.sqrt(self.henry)
        rates = np.linalg.eigvalsh(self.whole_ohm / root[:, :, None] / root[:, None, :])
        return np.asarray(1.0 / rates[:, 0])

    def follow(self, warmth: FloatArray, ends_s: Sequence[float]) -> list[Course | None]:
        """Follow each circuit from its currents and warmth (b, d) for its own time (b,).

        None where a diode breaks its law on the way.
        """
        w, found = self.windings.size, dict[int, Course]()
        given = np.concatenate([self.windings, self.lamps])
        self.alike.is_on[:, self.lamps] = False
        driven, matrix = self.alike.reduced(given)
        fixed, per_a = self.alike.affine(given)
        start = np.concatenate([self.start_a, warmth], axis=1)
        holds = np.ones(len(self.elements), dtype=bool)
        for end_s in dict.fromkeys(ends_s):
            some = [k for k, one_s in enumerate(ends_s) if one_s == end_s]
            times = _times(end_s)
            states = np.array(
                [integrated_at(self._rates(k, driven[k], matrix[k]), start[k], times) for k in some]
            )
            amps, glow = states[:, :w], states[:, w:]
            lit_a = self._lamp_a(some, driven[some], matrix[some], amps, glow)
            given_a = np.concatenate([amps, lit_a], axis=1)
            port_a = fixed[some][:, :, None] + per_a[some] @ given_a
            found |= {k: (times, port_a[n], glow[n]) for n, k in enumerate(some)}
            holds[some] = self._holds(some, port_a)
        return [found[k] if holds[k] else None for k in range(len(self.elements))]

    def _holds(self, some: Sequence[int], port_a: FloatArray) -> BoolArray:
        """Return whether the diodes of each keep to their law, (b,), at currents (b, p, t)."""
        broken = self.alike.violations(port_a, some)
        return np.asarray(broken.max(axis=(1, 2), initial=-np.inf) <= 0.0)

    def _lamp_a(
        self,
        some: Sequence[int],
        driven: FloatArray,
        matrix: FloatArray,
        amps: FloatArray,
        glow: FloatArray,
    ) -> FloatArray:
        """Return the currents of lamps (b, d, t) from those of windings and from their warmth."""
        w, d, all_of = self.windings.size, range(self.lamps.size), self.alike.filaments
        cold, lit_ohm = all_of.cold[some][:, :, None], all_of.lit_ohm[some][:, :, None]
        ohms = lit_ohm * np.maximum(glow, cold) ** TUNGSTEN_EXPONENT
        right = driven[:, w:, None] - matrix[:, w:, :w] @ amps
        rows = [
            [matrix[:, w + j, w + k, None] + (ohms[:, j] if j == k else 0.0) for k in d] for j in d
        ]
        found = solved_rows(rows, [right[:, j] for j in d])
        return np.stack(found, axis=1) if found else np.zeros((len(some), 0, glow.shape[2]))

    def _rates(
        self, number: int, driven: FloatArray, matrix: FloatArray
    ) -> Callable[[float, FloatArray], Sequence[float]]:
        one = self.elements[number].filaments
        own_ohm, henry = self.own_ohm[number], self.henry[number]
        if (self.windings.size, self.lamps.size) == (1, 2):
            return pair_rates(driven, matrix, float(own_ohm[0]), float(henry[0]), one)
        return any_rates(driven, matrix, own_ohm, henry, one)


def any_rates(
    driven: FloatArray,
    matrix: FloatArray,
    own_ohm: FloatArray,
    inductance_h: FloatArray,
    one: Filaments,
) -> Callable[[float, FloatArray], list[float]]:
    """Return the rates of windings (w,), then lamps (d,), for `driven` and `matrix` of both."""
    w, d = len(own_ohm), len(one.lit_ohm)
    every, volts_of = matrix.tolist(), driven.tolist()
    own, inverse_h = own_ohm.tolist(), (1.0 / inductance_h).tolist()
    lit_ohm, inverse_w = one.lit_ohm.tolist(), (1.0 / one.lit_w).tolist()
    cold, q = one.cold.tolist(), one.power_exponent.tolist()
    cold_w = [c**k for c, k in zip(cold, q, strict=True)]
    slow = [1.0 / (k * one.time_constant_s) for k in q]
    windings, lamps = range(w), range(d)

    def rates(_time_s: float, state: FloatArray) -> list[float]:
        y = state.tolist()
        amps = y[:w]
        warmth = [max(y[w + j], cold[j]) for j in lamps]
        ohms = [lit_ohm[j] * warmth[j] ** TUNGSTEN_EXPONENT for j in lamps]
        right = [volts_of[w + j] - _dot(every[w + j], amps) for j in lamps]
        rows = [[every[w + j][w + k] + (ohms[j] if j == k else 0.0) for k in lamps] for j in lamps]
        lit_a = solved_rows(rows, right)
        out = []
        for k in windings:
            row = every[k]
            volts = volts_of[k] - _dot(row, amps) - own[k] * amps[k]
            for j in lamps:
                volts -= row[w + j] * lit_a[j]
            out.append(volts * inverse_h[k])
        for j in lamps:
            power = lit_a[j] * lit_a[j] * ohms[j] * inverse_w[j]
            out.append((power - warmth[j] ** q[j] + cold_w[j]) * slow[j])
        return out

    return rates


def _dot(row: Sequence[float], amps: Sequence[float]) -> float:
    return sum(a * b for a, b in zip(row, amps, strict=False))


Number = TypeVar("Number", float, FloatArray)


def solved_rows(rows: list[list[Number]], right: list[Number]) -> list[Number]:
    """Solve a small system of numbers, or of arrays of them, elimination in place.

    Its matrix is diagonally heavy, so that no rows need to change places.
    """
    count = len(right)
    for k in range(count):
        pivot = rows[k]
        for j in range(k + 1, count):
            share = rows[j][k] / pivot[k]
            rows[j] = [a - share * b for a, b in zip(rows[j], pivot, strict=True)]
            right[j] = right[j] - share * right[k]
    for k in reversed(range(count)):
        for j in range(k + 1, count):
            right[k] = right[k] - rows[k][j] * right[j]
        right[k] = right[k] / rows[k][k]
    return right


def _times(end_s: float) -> FloatArray:
    """Return times that follow a filament closely: in decades, and evenly to the end."""
    decades = max(np.log10(end_s / FIRST_S), 0.1)
    grown = np.geomspace(min(FIRST_S, end_s / 2.0), end_s, int(decades * POINTS_PER_DECADE) + 2)
    return np.unique(np.concatenate([[0.0], grown, np.linspace(0.0, end_s, EVEN_POINTS)]))
