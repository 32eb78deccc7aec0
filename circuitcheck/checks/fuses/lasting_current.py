"""The current for good that heats a fuse as much as presses do that are over soon.

    I_e = sqrt(I_0^2 + f^2 (I^2 - I_0^2)),   f^2 = heat of repeated presses / heat of the same
                                             current for good, on the fast edge

I_0 is what flows with nothing held down, I what flows while the longest press of [use] lasts. A
press of some seconds counts in full: on its fast edge a fuse is as hot by then as it gets. Model:
`transient/heat/fuse_fit.py`. Shared ground; it judges nothing itself.
"""

from __future__ import annotations

import math

import numpy as np

from circuitcheck.checks.check import Case
from circuitcheck.checks.finding import Term, Working
from circuitcheck.checks.fuses.fuse_ahead import FittedFuse
from circuitcheck.checks.fuses.press_current import STEP_S, press_timing
from circuitcheck.checks.worst_current import WorstCurrent
from circuitcheck.errors import LibraryError
from circuitcheck.record import record
from circuitcheck.transient.heat.fuse_heat import FAST, fuse_heat
from circuitcheck.transient.waveform import Waveform

IN_FULL = 0.995
"""A press that heats the fuse so nearly as much as the current for good counts as that."""


@record
class LastingCurrent:
    """What a position brings for good, `current_a`, and how its presses make it so."""

    worst: WorstCurrent
    current_a: float
    share: float
    resting_a: float

    def working(self, limit: Working) -> Working:
        """Return how it is worked out, with the limit as a step."""
        if self.share == 1.0:
            return self.worst.working(limit)
        pressed = self.worst.working()
        terms = (
            Term("I_0", self.resting_a, "A", "with nothing held down"),
            Term("f", self.share, "1", "root of the heat of the presses over that of for good"),
            pressed.result,
        )
        symbol = pressed.result.symbol
        return Working(
            f"(I_0**2 + f**2 * ({symbol}**2 - I_0**2))**0.5",
            terms,
            Term("I_e", self.current_a, "A", "current for good that heats the fuse as much"),
            steps=(pressed, limit),
        )


def lasting_currents(
    case: Case, fuse: FittedFuse, positions: tuple[WorstCurrent, ...]
) -> tuple[LastingCurrent, ...]:
    """Return what each position brings for good, the largest first."""
    share = _share(case, fuse)
    resting_a = max((w.current_a for w in positions if not _is_held(case, w)), default=0.0)
    found = []
    for worst in positions:
        held = share if _is_held(case, worst) and worst.current_a > resting_a else 1.0
        amps = math.sqrt(resting_a**2 + held**2 * (worst.current_a**2 - resting_a**2))
        lasting_a = worst.current_a if held == 1.0 else amps
        found.append(LastingCurrent(worst, lasting_a, held, resting_a))
    return tuple(sorted(found, key=lambda one: -one.current_a))


def _share(case: Case, fuse: FittedFuse) -> float:
    """Return f for the presses of [use]; 1 where they are not known, or no model of the fuse is."""
    press_s, period_s = press_timing(case)
    if press_s >= period_s or fuse.row is None:
        return 1.0
    try:
        heat = fuse_heat(case.library, fuse.row, fuse.ambient_c, FAST)
    except LibraryError:
        return 1.0  # without a model of the fuse a press counts in full
    amps = 0.5 * heat.worth_a  # heat goes with the square of the current: any will do
    held = Waveform("fuse", "A", np.array([0.0, 1.0]), np.array([amps, amps]))
    press = Waveform(
        "fuse", "A", np.array([0.0, STEP_S, press_s + STEP_S]), np.array([0.0, amps, amps])
    )
    share = math.sqrt(heat.repeated(press, period_s + STEP_S).share / heat.share(held))
    return share if share < IN_FULL else 1.0


def _is_held(case: Case, worst: WorstCurrent) -> bool:
    """Return whether a hand holds a button down in this position."""
    return bool(case.harness.momentary & worst.solved.position.pressed)
