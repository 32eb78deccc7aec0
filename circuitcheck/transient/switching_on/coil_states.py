"""What an action does to a coil: on or off is told by what a position asks for, not by any current.

What leaks through a lamp, an LED or a suppressor leaves a coil off, until it is more than the
current with which every coil of its type has let go.
"""

from __future__ import annotations

import numpy as np

from circuitcheck.circuit.asked_for import asked_loads
from circuitcheck.circuit.positions import Position
from circuitcheck.model.solenoid_coil import SolenoidCoil
from circuitcheck.solve.heat.reference_heat import reference_ohm
from circuitcheck.solve.position_networks import PositionNetworks
from circuitcheck.solve.worst_case import Solution
from circuitcheck.transient.switching_on.switching_on import Switching
from circuitcheck.transient.waveform import Waveform

NOTHING_A = 1e-3
"""A coil with less is off."""
ON, HELD, OFF, UNASKED = "switched on", "already on", "switched off", "not asked for"


class CoilStates:
    """What one action asks for, before and in each of its stages."""

    def __init__(self, solution: Solution, switching: Switching) -> None:
        self.solution = solution
        self._networks = solution.networks or PositionNetworks(solution.harness, solution.library)
        stages = switching.stages
        cut = stages[0].cut if stages else frozenset[str]()
        self._before = self._asked(switching.action.before, cut)
        self._stages = [self._asked(stage.position, stage.cut) for stage in stages]

    def of(self, branch: str, current: Waveform) -> str | None:
        """Return ON, HELD, OFF or UNASKED; None for a coil that is off all the time.

        UNASKED is one that nobody asks for and of which no drop-out is known: whether the current
        that it carries does anything is not known.
        """
        amps = np.abs(current.values)
        least_a = released_a(self.solution, branch)

        def is_on(asked: bool, at_a: float) -> bool:
            return at_a > NOTHING_A and (asked or (least_a is not None and at_a >= least_a))

        before = is_on(branch in self._before, float(amps[0]))
        after = is_on(bool(self._stages) and branch in self._stages[-1], float(amps[-1]))
        between = is_on(any(branch in asked for asked in self._stages), float(amps.max()))
        if before:
            return HELD if after else OFF
        if after or between:
            return ON
        return UNASKED if least_a is None and float(amps.max()) > NOTHING_A else None

    def _asked(self, position: Position, cut: frozenset[str]) -> frozenset[str]:
        return asked_loads(self._networks.at(position).network) - cut


def released_a(solution: Solution, branch: str) -> float | None:
    """Return the current with which every coil of a type has let go, None where not known [A]."""
    coil = solution.harness.parts.get(branch)
    if not isinstance(coil, SolenoidCoil) or coil.drop_out_fraction is None:
        return None
    stated_v = coil.drop_out_fraction.lower * coil.rated_v
    return stated_v / reference_ohm(solution, coil) or None
