"""Circuits with the same ports side by side: the linear step of `port_currents.py` for them all.

    K i = g,    K_jk = R_jk + r_j (j = k),  g_j = e_j - E_j     where port j conducts
                K_jk = 1 (j = k), else 0,   g_j = i_j           where its current is given, or 0

One matrix for each circuit, of all its ports, so that different diodes may conduct in each.
"""

from __future__ import annotations

from collections.abc import Sequence
from copy import copy

import numpy as np

from circuitcheck.errors import SolveError
from circuitcheck.transient.switching_on.filament import Filaments
from circuitcheck.transient.switching_on.port_currents import NEGLIGIBLE_A, NEGLIGIBLE_V
from circuitcheck.transient.switching_on.port_elements import Elements, IntArray
from circuitcheck.transient.switching_on.port_network import PortValues
from circuitcheck.transient.waveform import FloatArray


class AlikeCircuits:
    """Circuits (b,) with p ports; windings, lamps and converters at the same ports in all.

    `series_ohm` (b, p) with lamps as lit until they are set; `is_on` (b, p) tells which ports
    conduct as a voltage behind a resistance: at first all but diodes. `each` are the filaments of
    each circuit, `filaments` those of all, (b, d).
    """

    def __init__(self, values: Sequence[PortValues], elements: Sequence[Elements]) -> None:
        self.first = elements[0]
        self.open_v = np.array([one.open_v for one in values])
        self.source_ohm = np.array([one.source_ohm for one in values])
        self.drop_v = np.array([one.drop_v for one in elements])
        self.series_ohm = np.array([one.series_ohm for one in elements])
        self.inductance_h = np.array([one.inductance_h for one in elements])
        self.each = [one.filaments for one in elements]
        self.filaments = _joined(self.each)
        self.series_ohm[:, self.first.lamps] = self.filaments.lit_ohm
        self.is_on = np.repeat(~self.first.is_one_way[None], len(elements), axis=0)
        self._diodes = np.flatnonzero(self.first.is_one_way)
        self._unit = np.eye(self.drop_v.shape[1])

    def affine(self, given: IntArray) -> tuple[FloatArray, FloatArray]:
        """Return fixed (b, p), per_a (b, p, x): currents are fixed + per_a i, i those given. [A]"""
        on = self.is_on
        matrix = np.where(on[:, :, None], self.source_ohm, 0.0)
        matrix += np.where(on, self.series_ohm, 1.0)[:, :, None] * self._unit
        right = np.empty((*on.shape, 1 + given.size))
        right[:, :, 0] = np.where(on, self.open_v - self.drop_v, 0.0)
        right[:, :, 1:] = self._unit[:, given]
        found = np.linalg.solve(matrix, right)
        return found[:, :, 0], found[:, :, 1:]

    def reduced(self, given: IntArray) -> tuple[FloatArray, FloatArray]:
        """Return e (b, x) and M (b, x, x): voltages of the given ports are e - M i. [V, ohm]"""
        fixed, per_a = self.affine(given)
        rows = self.source_ohm[:, given]
        matrix = rows @ per_a
        driven = self.open_v[:, given] - (rows @ fixed[:, :, None])[:, :, 0]
        return driven, (matrix + matrix.transpose(0, 2, 1)) / 2.0

    def settle(self, given: IntArray, given_a: FloatArray) -> FloatArray:
        """Settle the diodes at given currents (b, x); return the currents of all (b, p). [A]

        Raises SolveError when no set of them is found.
        """
        for turn in range(8 * self._diodes.size + 2):
            fixed, per_a = self.affine(given)
            currents = fixed + (per_a @ given_a[:, :, None])[:, :, 0]
            wrong = np.zeros_like(self.is_on)
            wrong[:, self._diodes] = self.violations(currents[:, :, None])[:, :, 0] > 0.0
            if not wrong.any():
                return currents
            # All that are wrong at first; later one by one, lowest first, so that none cycles.
            if turn >= self._diodes.size:
                wrong &= np.cumsum(wrong, axis=1) == 1
            self.is_on ^= wrong
        raise SolveError("the diodes of a position did not settle")

    def volts(self, currents: FloatArray) -> FloatArray:
        """Return the voltages of all ports (b, p) for their currents (b, p). [V]"""
        return np.asarray(self.open_v - (self.source_ohm @ currents[:, :, None])[:, :, 0])

    def violations(self, currents: FloatArray) -> FloatArray:
        """Return by how much each diode breaks its law, (b, diodes, t), above 0 where it does.

        For currents of all ports (b, p, t). Currents below zero count in ampere, voltages above
        the drop in volt.
        """
        ports = self._diodes
        volts = self.open_v[:, ports, None] - self.source_ohm[:, ports] @ currents
        over = volts - self.drop_v[:, ports, None] - NEGLIGIBLE_V
        return np.where(self.is_on[:, ports, None], -currents[:, ports] - NEGLIGIBLE_A, over)

    def some(self, numbers: Sequence[int]) -> AlikeCircuits:
        """Return some of the circuits, apart from these."""
        found = copy(self)
        rows = list(numbers)
        for name in _BY_CIRCUIT:
            setattr(found, name, getattr(self, name)[rows])
        found.each = [self.each[row] for row in rows]
        found.filaments = _joined(found.each)
        return found


_BY_CIRCUIT = ("open_v", "source_ohm", "drop_v", "series_ohm", "inductance_h", "is_on")


def _joined(filaments: Sequence[Filaments]) -> Filaments:
    """Return filaments (b, d) of circuits side by side."""
    return Filaments(
        np.array([one.lit_ohm for one in filaments]),
        np.array([one.lit_w for one in filaments]),
        np.array([one.cold_ratio for one in filaments]),
        np.array([one.exponent for one in filaments]),
        filaments[0].time_constant_s,
    )
