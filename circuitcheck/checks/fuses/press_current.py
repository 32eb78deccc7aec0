"""The current of one press at a fuse: cold coils, filaments that start cold.

    I(t) = I_s + sum (i_k(t) - I_k)      while the button is down, nothing between presses

I_s the largest steady current of the position, cold coils on the highest supply; i_k what a cold
filament takes on that supply as it warms up, what lies before it left out; I_k what it takes at
least once it is lit. A direct-current coil rises to its cold current and never above it. Shared
ground; it judges nothing.
"""

from __future__ import annotations

import numpy as np

from circuitcheck.checks.check import Case
from circuitcheck.checks.finding import Term, Working
from circuitcheck.checks.fuses.fuse_ahead import FittedFuse, FusesAhead
from circuitcheck.checks.worst_current import WorstCurrent, position_currents
from circuitcheck.circuit.netlist import LampCurve
from circuitcheck.record import record
from circuitcheck.transient.switching_on.filament_inrush import filament_inrush
from circuitcheck.transient.waveform import Waveform

STEP_S = 1e-6
HELD_S = 3600.0
"""A press that is never over: presses follow each other without a pause."""


@record
class PressCurrent:
    """Currents [A] at a fuse during one press in one position; `lamps` are behind the fuse.

    `inrush` holds for each lamp how its current falls to what it takes lit.
    """

    worst: WorstCurrent
    lamps: tuple[str, ...]
    inrush: tuple[Waveform, ...]

    @property
    def made_a(self) -> float:
        """Current at the moment of the press [A]."""
        return self.worst.current_a + sum(float(one.values[0]) for one in self.inrush)

    def waveform(self, press_s: float) -> Waveform:
        """Return the current from nothing to the end of a press."""
        inside = [one.times_s[(one.times_s > 0.0) & (one.times_s < press_s)] for one in self.inrush]
        times = np.unique(np.concatenate(([0.0], *inside, [press_s])))
        amps = np.full(times.size, self.worst.current_a)
        for one in self.inrush:
            amps += np.interp(times, one.times_s, one.values)
        # Switched on at once: a microsecond before, nothing flows.
        return Waveform("fuse", "A", np.append(0.0, times + STEP_S), np.append(0.0, amps))

    def working(self) -> Working:
        """Return the largest current of the press."""
        steady = self.worst.working()
        if not self.lamps:
            return steady
        more = Term("I_f", self.made_a - self.worst.current_a, "A",
                    f"more while {', '.join(self.lamps)} is cold")  # fmt: skip
        result = Term("I_m", self.made_a, "A", "current at the moment of the press")
        return Working(f"{steady.result.symbol} + I_f", (steady.result, more), result,
                       steps=(steady,))  # fmt: skip


def press_timing(case: Case) -> tuple[float, float]:
    """Return the longest press and the time from one to the next; held on where not known [s]."""
    use = case.harness.use
    if use.longest_press_s is None:
        return HELD_S, HELD_S
    if not use.presses_per_hour:
        return use.longest_press_s, use.longest_press_s
    return use.longest_press_s, max(use.longest_press_s, 3600.0 / use.presses_per_hour)


def press_currents(case: Case, ahead: FusesAhead, fuse: FittedFuse) -> tuple[PressCurrent, ...]:
    """Return the currents of a press in each live position of a fuse, those that may be worst.

    All buttons that the switches permit; a position below another in every way is left out.
    """
    found = [_at(case, ahead, fuse, worst) for worst in position_currents(case, fuse.branch)]
    return tuple(
        one
        for number, one in enumerate(found)
        if not any(
            other.worst.current_a >= one.worst.current_a and other.made_a >= one.made_a
            for other in found[:number]
        )
    )


def _at(case: Case, ahead: FusesAhead, fuse: FittedFuse, worst: WorstCurrent) -> PressCurrent:
    solved, lamps, inrush = worst.solved, [], []
    time_constant_s = case.library.limit("filament_time_constant_s").value
    for curve in solved.network.curves:
        lamp = curve.parameters
        ends = [solved.network.node_names[node] for node in (curve.start, curve.end)]
        behind = any(fuse in ahead.of(end) for end in ends)
        if not isinstance(lamp, LampCurve) or not behind:
            continue
        lit = solved.current_a(curve.name)
        if lit.largest() <= 0.0:
            continue
        cold = filament_inrush(lamp, solved.supply_v.upper, time_constant_s)
        lamps.append(curve.name)
        inrush.append(
            Waveform(curve.name, "A", cold.times_s, np.maximum(cold.values - lit.smallest(), 0.0))
        )
    return PressCurrent(worst, tuple(lamps), tuple(inrush))
