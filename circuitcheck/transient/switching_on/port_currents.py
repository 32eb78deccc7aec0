"""Currents at the ports when some of them are given: one linear step, diodes settled.

    i_A = (R_AA + r)^-1 (e_A - E_A - R_AX i_X)

X the ports whose current is given (windings), A those that conduct as a voltage behind a
resistance. Diodes are in A while their current is positive, out of it while less than E stands
across them; one of each pair always holds, since R + r is positive definite (linear
complementarity: Cottle, Pang, Stone, The Linear Complementarity Problem, 1992, 3.1).
"""

from __future__ import annotations

from functools import cached_property

import numpy as np

from circuitcheck.errors import SolveError
from circuitcheck.record import record
from circuitcheck.transient.switching_on.port_elements import BoolArray, IntArray
from circuitcheck.transient.switching_on.port_network import PortValues
from circuitcheck.transient.waveform import FloatArray

NEGLIGIBLE_A, NEGLIGIBLE_V = 1e-10, 1e-9
OPEN_OHM = 1e5
"""Behind more than this a winding hangs open: what it carried goes into the contact's arc."""
LEFT_OVER = 1e-3


@record
class Conducting:
    """Ports with a set of them conducting: all currents are affine in the given ones.

    `given` numbers the ports of given current, `is_on` (p,) marks those in A.
    """

    values: PortValues
    series_ohm: FloatArray
    drop_v: FloatArray
    given: IntArray
    is_on: BoolArray

    @cached_property
    def _affine(self) -> tuple[FloatArray, FloatArray]:
        values, on, given = self.values, np.flatnonzero(self.is_on), self.given
        p = self.drop_v.size
        fixed, per_a = np.zeros(p), np.zeros((p, given.size))
        per_a[given, np.arange(given.size)] = 1.0
        if on.size:
            rows = values.source_ohm[on]
            matrix = rows[:, on]
            matrix[np.arange(on.size), np.arange(on.size)] += self.series_ohm[on]
            driven = (values.open_v[on] - self.drop_v[on])[:, None]
            right = np.concatenate([driven, -rows[:, given]], axis=1)
            found = np.linalg.solve(matrix, right)
            fixed[on], per_a[on] = found[:, 0], found[:, 1:]
        return fixed, per_a

    def currents_a(self, given_a: FloatArray) -> FloatArray:
        """Return the currents of all ports (p, ...) for those given (x, ...). [A]"""
        fixed, per_a = self._affine
        return np.asarray(fixed.reshape((-1,) + (1,) * (given_a.ndim - 1)) + per_a @ given_a)

    def voltages_v(self, currents_a: FloatArray) -> FloatArray:
        """Return the voltages of all ports (p, ...) for all currents (p, ...). [V]"""
        open_v = self.values.open_v.reshape((-1,) + (1,) * (currents_a.ndim - 1))
        return np.asarray(open_v - self.values.source_ohm @ currents_a)

    def reduced(self) -> tuple[FloatArray, FloatArray]:
        """Return (e, M) with v_X = e - M i_X, the others eliminated: (x,) and (x, x)."""
        fixed, per_a = self._affine
        rows = self.values.source_ohm[self.given]
        matrix = rows @ per_a
        return self.values.open_v[self.given] - rows @ fixed, (matrix + matrix.T) / 2.0

    def violations(self, currents_a: FloatArray, is_diode: BoolArray) -> FloatArray:
        """Return by how much each diode breaks its law, (p, ...), above 0 where it does.

        Currents below zero count in ampere, voltages above the drop in volt.
        """
        volts = self.voltages_v(currents_a)
        shape = (-1,) + (1,) * (currents_a.ndim - 1)
        over = volts - self.drop_v.reshape(shape) - NEGLIGIBLE_V
        broken = np.where(self.is_on.reshape(shape), -currents_a - NEGLIGIBLE_A, over)
        return np.where(is_diode.reshape(shape), broken, -np.inf)


def settled(start: Conducting, given_a: FloatArray, is_diode: BoolArray) -> Conducting:
    """Return the set of diodes that conducts at given currents, setting out from another set.

    Raises SolveError when none is found.
    """
    found, count = start, int(is_diode.sum())
    for turn in range(8 * count + 2):
        broken = found.violations(found.currents_a(given_a), is_diode)
        wrong = np.flatnonzero(broken > 0.0)
        if not wrong.size:
            return found
        # All that are wrong at first; later one by one, lowest number first, so that none cycles.
        change = wrong if turn < count else wrong[:1]
        is_on = found.is_on.copy()
        is_on[change] = ~is_on[change]
        found = Conducting(found.values, found.series_ohm, found.drop_v, found.given, is_on)
    raise SolveError("the diodes of a position did not settle")
