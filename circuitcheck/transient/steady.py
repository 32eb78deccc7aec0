"""Where positions settle: the currents at their ports when nothing changes any more.

    K i = g,    K_jk = R_jk + r_j (j = k),  g_j = e_j - E_j     where port j conducts
                K_jk = 1 (j = k), else 0,   g_j = i_j           where its current is given, or 0

Circuits whose ports are alike are solved side by side.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from circuitcheck.errors import SolveError
from circuitcheck.record import record
from circuitcheck.transient.filament import Filaments
from circuitcheck.transient.following import LEAST_INPUT_V
from circuitcheck.transient.port_currents import NEGLIGIBLE_A, NEGLIGIBLE_V
from circuitcheck.transient.port_elements import BoolArray, Elements
from circuitcheck.transient.port_network import PortValues
from circuitcheck.transient.waveform import FloatArray

TURNS, CLOSE = 400, 1e-10


@record
class Steady:
    """Currents (p,) and voltages (p,) of all ports, warmth of filaments (d,) over that lit."""

    current_a: FloatArray
    voltage_v: FloatArray
    warmth: FloatArray


def steady(values: PortValues, elements: Elements) -> Steady:
    """Return the steady state of one circuit; see `steady_together`."""
    return steady_together([values], [elements])[0]


def steady_together(values: Sequence[PortValues], elements: Sequence[Elements]) -> list[Steady]:
    """Return the steady states of circuits with the same ports, each by itself.

    Windings are plain resistances, lamps lit, capacitors charged. By turns: lamps and converter
    inputs as the last turn left them. Raises SolveError where that does not close.
    """
    return _Together(values, elements).settled()


class _Together:
    """Circuits (b,) with p ports alike; lamps, inputs and outputs at the same ports in all."""

    def __init__(self, values: Sequence[PortValues], elements: Sequence[Elements]) -> None:
        first = elements[0]
        self.lamps = first.lamps
        self.inputs = np.array([one.input for one in first.converters], dtype=np.intp)
        self.outputs = np.array([one.output for one in first.converters], dtype=np.intp)
        self.open_v = np.array([one.open_v for one in values])
        self.source_ohm = np.array([one.source_ohm for one in values])
        self.drop_v = np.array([one.drop_v for one in elements])
        self.series = np.array([one.series_ohm for one in elements])
        self.is_diode = np.array([one.is_one_way for one in elements])
        self.filaments = _joined([one.filaments for one in elements])
        self.series[:, self.lamps] = self.filaments.lit_ohm
        self.efficiency = np.array([[c.efficiency for c in one.converters] for one in elements])
        self.idle_a = np.array([[c.idle_a for c in one.converters] for one in elements])
        self.is_on = ~self.is_diode
        self.is_on[:, self.inputs] = False
        self.most_diodes = int(self.is_diode.sum(axis=1).max(initial=0))
        self.unit = np.eye(self.drop_v.shape[1])

    def settled(self) -> list[Steady]:
        """Return the steady state of each."""
        input_a, warmth = self.idle_a, np.ones_like(self.filaments.lit_ohm)
        for _ in range(TURNS):
            currents, volts = self._with_diodes(input_a)
            new = self.filaments.settled_warmth(volts[:, self.lamps], warmth)
            wanted = self._input_a(currents, volts)
            apart = max(
                np.abs(new - warmth).max(initial=0.0), np.abs(wanted - input_a).max(initial=0.0)
            )
            warmth, input_a = new, wanted
            if apart < CLOSE:
                return [Steady(*rows) for rows in zip(currents, volts, warmth, strict=True)]
            self.series[:, self.lamps] = self.filaments.resistance_ohm(warmth)
        raise SolveError("lamps and converters of a position did not settle")

    def _with_diodes(self, input_a: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Return currents and voltages (b, p) with the diodes that conduct; see `settled` there."""
        for turn in range(8 * self.most_diodes + 2):
            currents, volts = self._solved(input_a)
            over_v = volts - self.drop_v - NEGLIGIBLE_V
            broken = np.where(self.is_on, -currents - NEGLIGIBLE_A, over_v)
            wrong = self.is_diode & (broken > 0.0)
            if not wrong.any():
                return currents, volts
            self.is_on ^= wrong if turn < self.most_diodes else _first_of(wrong)
        raise SolveError("the diodes of a position did not settle")

    def _solved(self, input_a: FloatArray) -> tuple[FloatArray, FloatArray]:
        on = self.is_on
        matrix = np.where(on[:, :, None], self.source_ohm, 0.0)
        matrix += np.where(on, self.series, 1.0)[:, :, None] * self.unit
        right = np.where(on, self.open_v - self.drop_v, 0.0)
        right[:, self.inputs] = input_a
        currents = np.linalg.solve(matrix, right[:, :, None])
        return currents[:, :, 0], self.open_v - (self.source_ohm @ currents)[:, :, 0]

    def _input_a(self, currents: FloatArray, volts: FloatArray) -> FloatArray:
        """Return what each converter takes for what it gives, (b, c). [A]"""
        taken_v = np.maximum(volts[:, self.inputs], LEAST_INPUT_V)
        output_w = np.maximum(-volts[:, self.outputs] * currents[:, self.outputs], 0.0)
        return np.asarray(output_w / (self.efficiency * taken_v) + self.idle_a)


def _joined(filaments: Sequence[Filaments]) -> Filaments:
    """Return filaments (b, d) of circuits side by side."""
    return Filaments(
        np.array([one.lit_ohm for one in filaments]),
        np.array([one.lit_w for one in filaments]),
        np.array([one.cold_ratio for one in filaments]),
        np.array([one.exponent for one in filaments]),
        filaments[0].time_constant_s,
    )


def _first_of(wrong: BoolArray) -> BoolArray:
    """Return only the first in each row, so that none cycles."""
    return np.asarray(wrong & (np.cumsum(wrong, axis=1) == 1))
