"""Filaments beside windings, the common case: everything else eliminated before the first step.

    (r + M_ll) i_l = e_l - M_lw i_w          lamps, r from their filaments
    L di_w/dt = e_w - M_wl i_l - (M_ww + R) i_w

The same equations as in `following.py`, with the diodes that conduct at the start taken as fixed;
whether they hold to the end is looked at afterwards. Plain numbers: for a handful of states they
are quicker than arrays.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from circuitcheck.transient.filament import TUNGSTEN_EXPONENT
from circuitcheck.transient.glowing_pair import pair_rates
from circuitcheck.transient.integration import integrated_at
from circuitcheck.transient.port_currents import Conducting
from circuitcheck.transient.port_elements import Elements
from circuitcheck.transient.waveform import FloatArray

MOST_LAMPS = 6
"""Beyond, arrays are quicker again."""
FIRST_S, POINTS_PER_DECADE, EVEN_POINTS = 2e-6, 32, 40


class Glowing:
    """One network of windings and lamps, its diodes settled at the start.

    `given` numbers windings, then lamps; what else conducts is eliminated.
    """

    def __init__(self, start: Conducting, elements: Elements) -> None:
        """`start` is what conducts at the start, lamps as lit."""
        self.elements = elements
        self.windings, self.lamps = elements.windings, elements.lamps
        is_on = start.is_on.copy()
        is_on[self.lamps] = False
        given = np.concatenate([self.windings, self.lamps])
        self.conducting = Conducting(start.values, start.series_ohm, start.drop_v, given, is_on)
        self.driven, self.matrix = self.conducting.reduced()

    def follow(
        self, start_a: FloatArray, warmth: FloatArray, end_s: float
    ) -> tuple[FloatArray, FloatArray, FloatArray] | None:
        """Return times (t,), currents of all ports (p, t) and warmth (d, t).

        None where a diode breaks its law on the way, or there are too many lamps.
        """
        if self.lamps.size > MOST_LAMPS:
            return None
        times = _times(end_s)
        start = np.concatenate([start_a, warmth])
        states = integrated_at(self._rates(), start, times)
        amps, glow = states[: self.windings.size], states[self.windings.size :]
        port_a = self.conducting.currents_a(np.concatenate([amps, self._lamp_a(amps, glow)]))
        broken = self.conducting.violations(port_a, self.elements.is_one_way)
        return None if broken.size and broken.max() > 0.0 else (times, port_a, glow)

    def _lamp_a(self, amps: FloatArray, glow: FloatArray) -> FloatArray:
        """Return the currents of lamps (d, t) from those of windings and from their warmth. [A]"""
        w = self.windings.size
        ohms = self.elements.filaments.resistance_ohm(glow.T)
        right = self.driven[w:, None] - self.matrix[w:, :w] @ amps
        matrix = self.matrix[None, w:, w:] + ohms[:, :, None] * np.eye(self.lamps.size)
        return np.asarray(np.linalg.solve(matrix, right.T[:, :, None])[:, :, 0].T)

    def _rates(self) -> Callable[[float, FloatArray], Sequence[float]]:
        w, d = self.windings.size, self.lamps.size
        if (w, d) == (1, 2):
            winding, lamps_of = int(self.windings[0]), self.elements.filaments
            series_ohm, inductance_h = self.elements.series_ohm, self.elements.inductance_h
            return pair_rates(
                self.driven,
                self.matrix,
                float(series_ohm[winding]),
                float(inductance_h[winding]),
                lamps_of,
            )
        return self._any_rates()

    def _any_rates(self) -> Callable[[float, FloatArray], list[float]]:
        w, d = self.windings.size, self.lamps.size
        matrix, driven = self.matrix.tolist(), self.driven.tolist()
        own = self.elements.series_ohm[self.windings].tolist()
        inverse_h = (1.0 / self.elements.inductance_h[self.windings]).tolist()
        one = self.elements.filaments
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
            right = [driven[w + j] - _dot(matrix[w + j], amps) for j in lamps]
            rows = [
                [matrix[w + j][w + k] + (ohms[j] if j == k else 0.0) for k in lamps] for j in lamps
            ]
            lit_a = _solved(rows, right)
            out = []
            for k in windings:
                row = matrix[k]
                volts = driven[k] - _dot(row, amps) - own[k] * amps[k]
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


def _solved(rows: list[list[float]], right: list[float]) -> list[float]:
    """Solve a small system; its matrix is diagonally heavy, so that no row needs to be changed."""
    count = len(right)
    for k in range(count):
        pivot = rows[k]
        for j in range(k + 1, count):
            share = rows[j][k] / pivot[k]
            if share:
                rows[j] = [a - share * b for a, b in zip(rows[j], pivot, strict=True)]
                right[j] -= share * right[k]
    for k in reversed(range(count)):
        for j in range(k + 1, count):
            right[k] -= rows[k][j] * right[j]
        right[k] /= rows[k][k]
    return right


def _times(end_s: float) -> FloatArray:
    """Return times that follow a filament closely: in decades, and evenly to the end."""
    decades = max(np.log10(end_s / FIRST_S), 0.1)
    grown = np.geomspace(min(FIRST_S, end_s / 2.0), end_s, int(decades * POINTS_PER_DECADE) + 2)
    return np.unique(np.concatenate([[0.0], grown, np.linspace(0.0, end_s, EVEN_POINTS)]))
