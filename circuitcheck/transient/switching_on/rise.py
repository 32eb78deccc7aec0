"""Currents of coupled windings in closed form: exact in time, one set of conducting diodes a piece.

    L di/dt = e - M i,   M = R_T + R
    i(t) = i_inf + L^-1/2 Q exp(-D t) Q' L^1/2 (i_0 - i_inf),   L^-1/2 M L^-1/2 = Q D Q'

M is symmetric and positive, so every mode dies away and no oscillation is possible. For one winding
it is i = I (1 - exp(-t R / L)). Source: modal decomposition, e.g. Strang, Linear Algebra and Its
Applications, 6.3; one winding: openstax-university-physics, RL circuits.
"""

from __future__ import annotations

import numpy as np

from circuitcheck.errors import SolveError
from circuitcheck.record import record
from circuitcheck.transient.switching_on.port_currents import Conducting, settled
from circuitcheck.transient.switching_on.port_elements import BoolArray, Elements
from circuitcheck.transient.switching_on.port_network import PortValues
from circuitcheck.transient.waveform import FloatArray

MOST_PIECES = 64
SETTLED_TIMES = 9.0
"""Time constants after which less than 1/8000 of a mode is left."""
POINTS_PER_MODE = 48
HALVINGS = 60


@record
class Modes:
    """Solution of L di/dt = e - M i from i_0: final (w,), rates (w,), shares (w, w)."""

    final_a: FloatArray
    rates_per_s: FloatArray
    shares: FloatArray

    def at(self, times_s: FloatArray) -> FloatArray:
        """Return the currents (w, times) at times counted from its start. [A]"""
        decay = np.exp(-self.rates_per_s[:, None] * times_s[None, :])
        return np.asarray(self.final_a[:, None] + self.shares @ decay)


def modes(
    inductance_h: FloatArray, matrix_ohm: FloatArray, driven_v: FloatArray, start_a: FloatArray
) -> Modes:
    """Return the modes of coupled windings.

    inductance_h (w,), above 0. [H]    matrix_ohm (w, w) symmetric, positive definite. [ohm]
    driven_v (w,). [V]                 start_a (w,) currents at time 0. [A]
    """
    root = np.sqrt(inductance_h)
    rates, vectors = np.linalg.eigh(matrix_ohm / root[:, None] / root[None, :])
    final = vectors @ ((vectors.T @ (driven_v / root)) / rates) / root
    amplitudes = vectors.T @ (root * (start_a - final))
    return Modes(final, rates, (vectors / root[:, None]) * amplitudes)


@record
class _Piece:
    start_s: float
    conducting: Conducting
    modes: Modes


@record
class Rise:
    """Currents at all ports from time 0; at the start of each piece diodes turn on or off."""

    pieces: tuple[_Piece, ...]

    def currents_a(self, times_s: FloatArray) -> FloatArray:
        """Return the currents of all ports (p, times) at rising times. [A]"""
        starts = np.array([piece.start_s for piece in self.pieces])
        which = np.maximum(np.searchsorted(starts, times_s, side="right") - 1, 0)
        parts = []
        for number, piece in enumerate(self.pieces):
            some = times_s[which == number] - piece.start_s
            parts.append(piece.conducting.currents_a(piece.modes.at(some)))
        return np.concatenate(parts, axis=1)

    @property
    def breaks_s(self) -> tuple[float, ...]:
        """Times at which diodes begin or stop to conduct."""
        return tuple(piece.start_s for piece in self.pieces[1:])

    def settles_s(self) -> float:
        """Return the time after which nothing worth counting changes. [s]"""
        last = self.pieces[-1]
        rates = last.modes.rates_per_s
        return last.start_s + (SETTLED_TIMES / float(rates.min()) if rates.size else 0.0)

    def times_s(self, end_s: float) -> FloatArray:
        """Return times that follow every mode closely, 0 and `end_s` among them, (times,)."""
        every = [np.array([0.0, end_s]), np.linspace(0.0, end_s, POINTS_PER_MODE)]
        for piece in self.pieces:
            rates = np.unique(piece.modes.rates_per_s)
            every += [piece.start_s + _DECAY / rate for rate in rates]
        times = np.unique(np.concatenate([*every, list(self.breaks_s)]))
        return times[(times >= 0.0) & (times <= end_s)]


_DECAY = -np.log1p(-np.linspace(0.0, 1.0 - np.exp(-SETTLED_TIMES), POINTS_PER_MODE))
"""Times in time constants at which a dying mode has lost equal steps."""


def rise(values: PortValues, elements: Elements, start_a: FloatArray) -> Rise:
    """Return the currents at the ports from start_a (windings,) on.

    Raises SolveError when diodes change again and again.
    """
    windings = elements.windings
    inductance, own = elements.inductance_h[windings], elements.series_ohm[windings]
    is_diode = elements.is_one_way
    is_on = elements.inductance_h == 0.0
    conducting = Conducting(
        values, elements.series_ohm, elements.drop_v, windings, is_on & ~is_diode
    )
    now, here = 0.0, start_a
    pieces: list[_Piece] = []
    while len(pieces) < MOST_PIECES:
        conducting = settled(conducting, here, is_diode)
        driven, matrix = conducting.reduced()
        found = modes(inductance, matrix + np.diag(own), driven, here)
        pieces.append(_Piece(now, conducting, found))
        broken_s = _first_break_s(conducting, found, is_diode)
        if broken_s is None:
            return Rise(tuple(pieces))
        now += broken_s
        here = found.at(np.array([broken_s]))[:, 0]
    raise SolveError("diodes begin and stop to conduct again and again")


def _first_break_s(conducting: Conducting, found: Modes, is_diode: BoolArray) -> float | None:
    """Return when a diode first breaks its law, from the start of a piece. [s]"""
    if not is_diode.any() or not found.rates_per_s.size:
        return None
    slowest, fastest = float(found.rates_per_s.min()), float(found.rates_per_s.max())
    times = np.unique(np.concatenate([_DECAY / rate for rate in (slowest, fastest)]))

    def worst(at_s: FloatArray) -> FloatArray:
        currents = conducting.currents_a(found.at(at_s))
        return np.asarray(conducting.violations(currents, is_diode).max(axis=0))

    broken = np.flatnonzero(worst(times) > 0.0)
    if not broken.size:
        return None
    late = float(times[broken[0]])
    early = float(times[max(broken[0] - 1, 0)])
    for _ in range(HALVINGS):
        middle = (early + late) / 2.0
        if worst(np.array([middle]))[0] > 0.0:
            late = middle
        else:
            early = middle
    return late
