"""The curves of a network in bands that bound them: its lamps, LEDs and diodes.

A diode of which the forward voltage is known from just conducting (V1) to its limit at a current
(V2 at I) lies between the lines E = V1, nearly flat, and E = V2 rising by (V2 - V1) / I per ampere;
above I it may drop more than the first and not more than the second line.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from circuitcheck.circuit.netlist import CurveBranch, DiodeBranch, LampCurve, Network
from circuitcheck.model.tolerance_band import Band
from circuitcheck.record import record
from circuitcheck.solve.bounds import bounds
from circuitcheck.solve.curves.curves import BandedCurve, Lamp, StraightDiode
from circuitcheck.solve.elimination.elimination_order import FloatArray

FORWARD_DROP_V = Band(0.4, 0.7, 0.9)
FORWARD_SLOPE_OHM = Band(0.002, 0.01, 0.05)
"""A silicon rectifier of 1 A to 10 A, hot to cold: common practice, no source."""
SLOPE_SHARES = Band(0.04, 0.2, 1.0)
"""Slope of a diode's lines over (V2 - V1) / I: as in the two bands above, with I = 10 A."""
LEAST_SLOPE_OHM = 1e-3
"""Every diode has some bulk and two leads."""
LEAST_SHARE = 0.5
"""A junction carries nothing to speak of below half of its least drop, even hot."""
USUAL_LED_A = 0.02
"""Current at which an LED's forward voltage is stated: common practice, no source."""


@record
class ActiveCurve:
    """A lamp, LED, diode or suppressor diode, and the band its curve lies in."""

    name: str
    owner: str
    role: str
    curve: BandedCurve

    @property
    def is_lamp(self) -> bool:
        """Whether it conducts both ways."""
        return isinstance(self.curve, Lamp)


def active_curves(network: Network) -> tuple[ActiveCurve, ...]:
    """Return the curves of a network: parts in their order, then bare suppressor diodes."""
    parts = [
        ActiveCurve(branch.name, branch.owner, branch.role, _banded(branch))
        for branch in network.curves
    ]
    return (*parts, *(_suppressor(diode) for diode in network.diodes))


MostVolts = Callable[[Sequence[tuple[int, int]], Sequence[ActiveCurve]], FloatArray]
"""Highest voltage from the first to the second node of pairs, with some curves conducting."""


def conducting_curves(
    network: Network,
    shape: bounds.Network,
    known: Sequence[ActiveCurve] | None,
    most_v: MostVolts,
) -> tuple[ActiveCurve, ...]:
    """Return the curves that may conduct somewhere: all lamps, and diodes driven forwards.

    `known` are those that may in a wider box. A diode counts where more than LEAST_SHARE of its
    least drop stands across it, or where an end floats, so that it decides what stands there.
    """
    if not network.live:
        return ()
    every = active_curves(network) if known is None else tuple(known)
    on = [one for one in every if one.is_lamp]
    waiting = [one for one in every if not one.is_lamp]
    while waiting:
        # One that conducts shifts what stands across the others: ask again until none joins.
        pairs = curve_ends(waiting)
        volts = most_v(pairs, on)
        joining = [
            one
            for one, high in zip(waiting, volts, strict=True)
            if (high > _least_v(one) if np.isfinite(high) else _joins_islands(shape, one))
        ]
        if not joining:
            break
        on += joining
        waiting = [one for one in waiting if one not in joining]
    return tuple(one for one in every if one in on)


def _least_v(one: ActiveCurve) -> float:
    return LEAST_SHARE * one.curve.drop_v.lower if isinstance(one.curve, StraightDiode) else 0.0


def _joins_islands(shape: bounds.Network, one: ActiveCurve) -> bool:
    islands = shape.plan.islands
    return bool(islands[one.curve.start] != islands[one.curve.end])


def curve_ends(curves: Sequence[ActiveCurve]) -> tuple[tuple[int, int], ...]:
    """Return the nodes of each curve."""
    return tuple((one.curve.start, one.curve.end) for one in curves)


def _banded(branch: CurveBranch) -> BandedCurve:
    given = branch.parameters
    if isinstance(given, LampCurve):
        return Lamp(
            branch.start,
            branch.end,
            given.rated_v,
            given.current_a,
            given.cold_ratio,
            given.exponent,
        )
    at_a = USUAL_LED_A if given.current_a is None else given.current_a
    rise_ohm = (given.forward_v.upper - given.forward_v.lower) / at_a
    slope = SLOPE_SHARES.scaled(rise_ohm)
    series = given.series_ohm
    lower = max(slope.lower + series.lower, LEAST_SLOPE_OHM)
    nominal = max(slope.nominal + series.nominal, lower)
    slope = Band(lower, nominal, max(slope.upper + series.upper, nominal))
    return StraightDiode(branch.start, branch.end, given.forward_v, slope)


def _suppressor(diode: DiodeBranch) -> ActiveCurve:
    curve = StraightDiode(diode.anode, diode.cathode, FORWARD_DROP_V, FORWARD_SLOPE_OHM)
    return ActiveCurve(diode.name, diode.owner, "suppressor", curve)
