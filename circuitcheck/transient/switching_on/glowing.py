"""Filaments beside windings, the common case: everything else eliminated before the first step.

    (r + M_ll) i_l = e_l - M_lw i_w          lamps, r from their filaments
    L di_w/dt = e_w - M_wl i_l - (M_ww + R) i_w

The same equations as in `following.py`, with the diodes that conduct at the start taken as fixed;
whether they hold to the end is looked at afterwards. Circuits with the same ports are set up and
read out side by side; the steps of each are its own.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from circuitcheck.transient.integration import integrated_at
from circuitcheck.transient.switching_on.alike_circuits import AlikeCircuits
from circuitcheck.transient.switching_on.filament import TUNGSTEN_EXPONENT
from circuitcheck.transient.switching_on.glowing_rates import Rates, glowing_rates, solved_rows
from circuitcheck.transient.switching_on.port_currents import LEFT_OVER, OPEN_OHM
from circuitcheck.transient.switching_on.port_elements import BoolArray, Elements, IntArray
from circuitcheck.transient.switching_on.port_network import PortValues
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
        self.is_open: BoolArray = self.is_cut
        for _ in range(self.windings.size + 1):
            self.alike.settle(self.windings, self.start_a)
            driven, matrix = self.alike.reduced(self.windings)
            self.whole_ohm = matrix + self.own_ohm[:, :, None] * np.eye(self.windings.size)
            self.is_open = np.einsum("bww->bw", matrix) > OPEN_OHM
            lost = self._cut_off(driven)
            if not lost.any():
                break
            self.is_cut |= lost
            self.start_a = np.where(lost, 0.0, self.start_a)

    def _cut_off(self, driven: FloatArray) -> BoolArray:
        """Return the windings that carry a current for which no loop is left, (b, w)."""
        if not self.is_open.any():
            return self.is_open
        final_a = np.linalg.solve(self.whole_ohm, driven[:, :, None])[:, :, 0]
        return np.asarray(self.is_open & (np.abs(final_a) < LEFT_OVER * np.abs(self.start_a)))

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
        alike: dict[tuple[float, tuple[bool, ...]], list[int]] = {}
        for number, (end_s, is_open) in enumerate(zip(ends_s, self.is_open.tolist(), strict=True)):
            alike.setdefault((end_s, tuple(is_open)), []).append(number)
        times = {end_s: _times(end_s) for end_s in dict.fromkeys(ends_s)}
        found: dict[int, Course | None] = {}
        for (end_s, hangs), some in alike.items():
            # What hangs open follows its leak in nanoseconds: a resistance.
            is_state = ~np.array(hangs, dtype=bool)
            courses = _Courses(self.alike.some(some), self.windings, is_state)
            start = np.concatenate([self.start_a[some][:, is_state], warmth[some]], axis=1)
            found |= zip(some, courses.follow(start, times[end_s]), strict=True)
        return [found[number] for number in range(len(self.elements))]


class _Courses:
    """Circuits (b,) in which the same windings (w,) rise; others of `windings` follow at once."""

    def __init__(self, alike: AlikeCircuits, windings: IntArray, is_state: BoolArray) -> None:
        self.alike, self.windings, self.lamps = alike, windings[is_state], alike.first.lamps
        alike.is_on[:, windings] = ~is_state
        alike.is_on[:, self.lamps] = False
        given = np.concatenate([self.windings, self.lamps])
        self.driven, self.matrix = alike.reduced(given)
        self.fixed, self.per_a = alike.affine(given)

    def follow(self, start: FloatArray, times_s: FloatArray) -> list[Course | None]:
        """Return the course of each from its states (b, w + d) at the first of the times."""
        states = np.array(
            [integrated_at(self._rates(k), start[k], times_s) for k in range(len(start))]
        )
        w = self.windings.size
        amps, glow = states[:, :w], states[:, w:]
        given_a = np.concatenate([amps, self._lamp_a(amps, glow)], axis=1)
        port_a = self.fixed[:, :, None] + self.per_a @ given_a
        broken = self.alike.violations(port_a).max(axis=(1, 2), initial=-np.inf).tolist()
        return [
            (times_s, port_a[k], glow[k]) if over <= 0.0 else None for k, over in enumerate(broken)
        ]

    def _lamp_a(self, amps: FloatArray, glow: FloatArray) -> FloatArray:
        """Return the currents of lamps (b, d, t) from those of windings and from their warmth."""
        w, lamps, matrix = self.windings.size, range(self.lamps.size), self.matrix
        one = self.alike.filaments
        warmth = np.maximum(glow, one.cold[:, :, None])
        ohms = one.lit_ohm[:, :, None] * warmth**TUNGSTEN_EXPONENT
        right = self.driven[:, w:, None] - matrix[:, w:, :w] @ amps
        rows = [
            [matrix[:, w + j, w + k, None] + (ohms[:, j] if j == k else 0.0) for k in lamps]
            for j in lamps
        ]
        return np.stack(solved_rows(rows, [right[:, j] for j in lamps]), axis=1)

    def _rates(self, number: int) -> Rates:
        """Return the rates of the states of one circuit."""
        return glowing_rates(
            self.driven[number],
            self.matrix[number],
            self.alike.series_ohm[number, self.windings],
            self.alike.inductance_h[number, self.windings],
            self.alike.each[number],
        )


def _times(end_s: float) -> FloatArray:
    """Return times that follow a filament closely: in decades, and evenly to the end."""
    decades = max(np.log10(end_s / FIRST_S), 0.1)
    grown = np.geomspace(min(FIRST_S, end_s / 2.0), end_s, int(decades * POINTS_PER_DECADE) + 2)
    return np.unique(np.concatenate([[0.0], grown, np.linspace(0.0, end_s, EVEN_POINTS)]))
