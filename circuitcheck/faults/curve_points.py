"""Operating points of lamps, LEDs, diodes and converters behind the resistances of a network.

    v = e - Z j(v),   j = i(v) - g v,   e and Z as the rest of the network shows them at the parts

solved by Newton's method, for all faults and draws side by side. In e and Z each part already
stands as a conductance g, so that what hangs on a lamp or diode alone has a firm place. A diode is
its straight line, a lamp its power law (`solve/curves/curves.py`), a converter output a voltage
behind a resistance, its input the power it takes at the voltage that is there.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from circuitcheck.circuit.netlist import ConverterBranch
from circuitcheck.errors import SolveError
from circuitcheck.faults.tolerance_draws import ToleranceDraws
from circuitcheck.record import record
from circuitcheck.solve.bounds.box import LEAST_OHM
from circuitcheck.solve.curves.active_curves import ActiveCurve
from circuitcheck.solve.curves.curves import LEAK_S, Lamp

FloatArray = NDArray[np.float64]
BoolArray = NDArray[np.bool_]
MOST_STEPS, PLAIN_STEPS, GIVEN_UP = 120, 12, 50
CLOSE_V = 1e-9
ROUNDED_V = 1e-5
"""What many steps may still wander by where parts hang on leaks: less than any meter shows."""
ROUNDED = 2e-15
"""What is lost of a sum of products, over the sum of their magnitudes: some ten roundings."""
STAND_IN_S = 1e-6
"""For a diode or converter: between what it carries and what it blocks."""
MANY_SUPPRESSORS = 12
"""More are left out of the search until they are driven forwards."""
LEAST_INPUT_V = 1.0
"""Below this a converter has given up."""


@record
class CurveDraws:
    """Parameters of the curves in each draw, (curves, draws), and of converters after them.

    For a diode `drop_v` and `slope_ohm`; for a lamp `rated_v`, `amps`, `cold` and `exponent`. A
    converter has two rows, input then output. `is_quiet` marks suppressors of a circuit with many:
    they are left out of the search until something drives them forwards.
    """

    is_lamp: BoolArray
    is_quiet: BoolArray
    rated_v: FloatArray
    amps: FloatArray
    cold: FloatArray
    exponent: FloatArray
    drop_v: FloatArray
    slope_ohm: FloatArray
    converters: tuple[ConverterBranch, ...]
    output_v: FloatArray
    output_ohm: FloatArray

    @property
    def always(self) -> NDArray[np.intp]:
        """Rows that take part in every search."""
        more = np.ones(2 * len(self.converters), dtype=bool)
        return np.flatnonzero(np.concatenate([~self.is_quiet, more]))

    def taken(self, rows: NDArray[np.intp]) -> CurveDraws:
        """Return some of the rows, with all those of converters last."""
        some = rows[rows < self.is_lamp.size]
        names = (
            "rated_v",
            "amps",
            "cold",
            "exponent",
            "drop_v",
            "slope_ohm",
            "is_lamp",
            "is_quiet",
        )
        return replace(self, **{name: getattr(self, name)[some] for name in names})

    @cached_property
    def stand_in_s(self) -> FloatArray:
        """Conductance g that stands in the network for each row, (rows, draws) [S]."""
        curves = np.where(self.is_lamp[:, None], self.amps / self.rated_v, STAND_IN_S)
        curves[self.is_quiet] = LEAK_S
        more = np.full((2 * len(self.converters), curves.shape[1]), STAND_IN_S)
        return np.concatenate([curves, more])


def curve_draws(
    curves: Sequence[ActiveCurve], converters: Sequence[ConverterBranch], draws: ToleranceDraws
) -> CurveDraws:
    """Return the parameters of curves and converters in each draw."""
    shape = (len(curves), draws.count)
    rows = {key: np.ones(shape) for key in ("rated", "amps", "cold", "exponent", "drop", "slope")}
    is_lamp = np.zeros(len(curves), dtype=bool)
    is_quiet = np.array([one.role == "suppressor" for one in curves], dtype=bool)
    is_quiet &= is_quiet.sum() > MANY_SUPPRESSORS
    for k, one in enumerate(curves):
        curve = one.curve
        if isinstance(curve, Lamp):
            is_lamp[k] = True
            rows["rated"][k], rows["exponent"][k] = curve.rated_v, curve.exponent
            rows["amps"][k] = draws.within(f"{one.name}: current", curve.current_a)
            rows["cold"][k] = draws.within(f"{one.name}: cold", curve.cold_ratio)
        else:
            rows["drop"][k] = draws.within(f"{one.name}: drop", curve.drop_v)
            rows["slope"][k] = draws.within(f"{one.name}: slope", curve.slope_ohm)
    volts = np.array([draws.within(f"{c.name}: output", c.output_v) for c in converters])
    ohms = np.array([draws.within(f"{c.name}: inner", c.output_ohm) for c in converters])
    flat = (len(converters), draws.count)
    return CurveDraws(
        is_lamp, is_quiet, rows["rated"], rows["amps"], rows["cold"], rows["exponent"],
        rows["drop"], rows["slope"], tuple(converters), volts.reshape(flat),
        np.maximum(ohms.reshape(flat), LEAST_OHM),
    )  # fmt: skip


@record
class CurveStates:
    """Which curves of each point carry at all, and which are turned round, (points, rows)."""

    alive: BoolArray
    turned: BoolArray


class CurveSearch:
    """Operating points of the rows of `parameters`; a point is one fault in one draw."""

    def __init__(self, parameters: CurveDraws) -> None:
        self.parameters = parameters

    def solve(
        self,
        e: FloatArray,
        z: FloatArray,
        states: CurveStates,
        draw: NDArray[np.intp],
        near: FloatArray | None = None,
    ) -> FloatArray:
        """Excess j (points, rows) for open voltages (points, rows) and Z (points, rows, rows).

        `draw` gives the draw of each point; `near` is an excess to set out from. Raises SolveError
        where a search does not settle.
        """
        excess = np.zeros_like(e) if near is None else near.copy()
        volts = e - np.einsum("xij,xj->xi", z, excess)
        off = np.zeros(e.shape[0], dtype=bool)
        todo = np.arange(e.shape[0])
        step_of = np.ones(e.shape[0])
        for step in range(MOST_STEPS):
            now, slope = self.currents(volts[todo], states, todo, draw, off)
            g = self.parameters.stand_in_s[:, draw[todo]].T
            over, steep = now - g * volts[todo], slope - g
            miss = volts[todo] - e[todo] + np.einsum("xij,xj->xi", z[todo], over)
            excess[todo] = over
            jacobian = np.eye(e.shape[1]) + z[todo] * steep[:, None, :]
            change = np.linalg.solve(jacobian, miss[..., None])[..., 0]
            # measured by the step, where rounding leaves anything to step for
            weight = np.abs(volts[todo]) + np.abs(e[todo])
            weight += np.einsum("xij,xj->xi", np.abs(z[todo]), np.abs(over))
            close_v = CLOSE_V if step < PLAIN_STEPS else ROUNDED_V
            is_open = (np.abs(change) > close_v).any(axis=1)
            is_open &= (np.abs(miss) > ROUNDED * weight).any(axis=1)
            todo, change = todo[is_open], change[is_open]
            now, slope = now[is_open], slope[is_open]
            if not todo.size:
                return excess
            if step == GIVEN_UP:
                # a converter whose feed cannot give its power has shut down
                off[todo] = True
                volts[todo] = e[todo]
                continue
            if step >= PLAIN_STEPS:
                step_of[todo] = np.where(off[todo], 1.0, 0.9 * step_of[todo])
            change *= np.maximum(step_of[todo], 0.05)[:, None]
            volts[todo] = self._stepped(volts[todo], change, now - slope * change, draw[todo])
        raise SolveError("lamp, diode and converter currents of a faulted circuit do not settle")

    def _stepped(
        self, old: FloatArray, change: FloatArray, amps: FloatArray, at: NDArray[np.intp]
    ) -> FloatArray:
        """Voltages after a step; a lamp's that would turn round follows its current instead.

        The power law is steep at 0 V: its tangent overshoots from one side to the other.
        """
        new, p = old - change, self.parameters
        for k in np.flatnonzero(p.is_lamp).tolist():
            share = np.abs(amps[:, k]) / p.amps[k, at]
            power = 1.0 / p.exponent[k, at]
            volts = p.rated_v[k, at] * np.maximum(share / p.cold[k, at], share**power)
            turns = new[:, k] * old[:, k] < 0.0
            new[:, k] = np.where(turns, np.copysign(volts, amps[:, k]), new[:, k])
        return new

    def currents(
        self,
        volts: FloatArray,
        states: CurveStates,
        points: NDArray[np.intp],
        draw: NDArray[np.intp],
        off: BoolArray,
    ) -> tuple[FloatArray, FloatArray]:
        """Currents and their slopes at voltages (points, rows) [A], [S]."""
        p, at = self.parameters, draw[points]
        alive, turned = states.alive[points], states.turned[points]
        curves = p.is_lamp.size
        sign = np.where(turned[:, :curves], -1.0, 1.0)
        v = sign * volts[:, :curves]
        over = v - p.drop_v[:, at].T
        slope_s = 1.0 / p.slope_ohm[:, at].T
        amps = np.where(over > 0.0, over * slope_s, 0.0) + LEAK_S * v
        slope = np.where(over > 0.0, slope_s, 0.0) + LEAK_S
        if p.is_lamp.any():
            lamp = np.flatnonzero(p.is_lamp)
            amps[:, lamp], slope[:, lamp] = self._lamps(v[:, lamp], lamp, at)
        amps, slope = np.where(alive[:, :curves], sign * amps, 0.0), slope * alive[:, :curves]
        if p.converters:
            more = self._converters(
                volts[:, curves:], alive[:, curves:] & ~off[points][:, None], at
            )
            amps, slope = np.hstack([amps, more[0]]), np.hstack([slope, more[1]])
        return amps, slope

    def _lamps(
        self, volts: FloatArray, lamp: NDArray[np.intp], at: NDArray[np.intp]
    ) -> tuple[FloatArray, FloatArray]:
        p = self.parameters
        rated, cold = p.rated_v[lamp][:, at].T, p.cold[lamp][:, at].T
        most, power = p.amps[lamp][:, at].T, p.exponent[lamp][:, at].T
        share = np.abs(volts) / rated
        hot = np.maximum(share, 1e-9) ** power
        is_cold = cold * share < hot
        amps = most * np.where(is_cold, cold * share, hot)
        slope = most / rated * np.where(is_cold, cold, power * hot / np.maximum(share, 1e-9))
        return np.sign(volts) * amps, slope

    def _converters(
        self, volts: FloatArray, alive: BoolArray, at: NDArray[np.intp]
    ) -> tuple[FloatArray, FloatArray]:
        p = self.parameters
        into, out = volts[:, ::2], volts[:, 1::2]
        runs = alive[:, ::2] & (into > LEAST_INPUT_V)
        inner = 1.0 / p.output_ohm[:, at].T
        given = np.maximum((p.output_v[:, at].T - out) * inner, 0.0)
        given = np.where(runs, given, 0.0)
        share = np.array([c.efficiency.nominal for c in p.converters])
        idle = np.array([c.idle_a.nominal for c in p.converters])
        drawn = np.maximum(out, 0.0) * given / (share * np.maximum(into, LEAST_INPUT_V)) + idle
        drawn = np.where(runs, drawn, 0.0)
        amps, slope = np.zeros_like(volts), np.zeros_like(volts)
        amps[:, ::2], amps[:, 1::2] = drawn, -given
        slope[:, 1::2] = np.where(given > 0.0, inner, 0.0)
        return amps, slope
