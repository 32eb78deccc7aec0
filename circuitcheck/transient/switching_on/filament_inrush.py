"""Inrush of one filament on a stiff voltage, by one sum instead of steps in time.

    t(y) = integral of dy / (dy/dt), i(y) = V / r(y)          y temperature over that lit

The law is that of `filament.py`; temperature only rises, so that time follows from it. What lies
before a lamp lowers its current: the sum errs high.
"""

from __future__ import annotations

import numpy as np

from circuitcheck.circuit.netlist import LampCurve
from circuitcheck.transient.switching_on.filament import Filaments
from circuitcheck.transient.waveform import Waveform

POINTS = 80
SETTLED = 1e-3


def filament_inrush(lamp: LampCurve, volts: float, time_constant_s: float) -> Waveform:
    """Return the current of a cold filament switched on at 0 s, until it is all but settled [A]."""
    one = Filaments(
        np.array([lamp.rated_v / lamp.current_a.upper]),
        np.array([lamp.rated_v * lamp.current_a.upper]),
        np.array([lamp.cold_ratio.upper]),
        np.array([lamp.exponent]),
        time_constant_s,
    )
    cold, settled = float(one.cold[0]), float(one.settled_warmth(np.array([volts]))[0])
    # Close together where it is cold, and towards the end, which it nears ever more slowly.
    middle = (cold * settled) ** 0.5
    start = np.geomspace(cold, middle, POINTS)[:-1]
    warmth = np.append(start, settled - (settled - middle) * np.geomspace(1.0, SETTLED, POINTS))
    middles = (warmth[1:] + warmth[:-1]) / 2.0
    rates = one.rate_per_s(middles, volts**2 / one.resistance_ohm(middles))
    times = np.concatenate(([0.0], np.cumsum(np.diff(warmth) / rates)))
    return Waveform("filament", "A", times, volts / one.resistance_ohm(warmth))
