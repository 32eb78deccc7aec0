"""Certified ranges of a whole harness: every switch position, coils cold and heat-soaked.

Conditions are a box: supply from the weakest battery to the highest charging voltage, each
zone's air from its coldest to its hottest, every resistance within its tolerance, every contact
from new to aged. Each resistance is its own variable, so the bounds are outer; how far they may
stand off is worked out for each quantity and carried as its gap (`network_ranges.py`).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import field
from functools import cached_property

from circuitcheck.circuit.build import pull_states
from circuitcheck.circuit.netlist import PULLING
from circuitcheck.circuit.positions import Position, switch_positions
from circuitcheck.model.harness import Harness
from circuitcheck.model.library import Library
from circuitcheck.record import record
from circuitcheck.solve.heat.soak import soak_coils
from circuitcheck.solve.position_networks import PositionNetworks
from circuitcheck.solve.position_ranges import PositionRanges
from circuitcheck.solve.position_solution import LEAST_COIL_A, PositionSolution
from circuitcheck.solve.relays.relay_certificate import UndeterminedRelay, undetermined_relays
from circuitcheck.solve.relays.relay_states import RelayStates, settle_relays
from circuitcheck.solve.solution import COIL_STATES, CoilHeat

__all__ = ["LEAST_COIL_A", "PositionSolution", "Solution", "solve_harness"]


@record
class Solution:
    """All switch positions of a harness, in both coil states.

    `heat` tells how hot each winding gets by its duty, by the name of its branch. A position whose
    relays may also stand otherwise than reached from rest comes again under a longer name;
    `came_from` then names the position before it. Where pull windings are cut out, each position
    comes twice: pulling, then holding.
    """

    harness: Harness
    library: Library
    positions: tuple[PositionSolution, ...]
    heat: Mapping[str, CoilHeat]
    came_from: Mapping[str, str] = field(default_factory=dict)
    _states: RelayStates = field(default_factory=lambda: RelayStates(()), repr=False)
    _ranges: PositionRanges | None = field(default=None, compare=False, repr=False)

    def live(self, coil_state: str) -> tuple[PositionSolution, ...]:
        """Return the positions in which the tap is live and the engine is not being cranked.

        Cranking is left out: its supply lies outside the range in which the circuit must work.
        """
        return tuple(
            solved
            for solved in self.positions
            if solved.coil_state == coil_state
            and solved.network.live
            and solved.position.key != "cranking"
        )

    def of(self, position: str, coil_state: str, pull_state: str = PULLING) -> PositionSolution:
        """Return the solution of a named position. Raises KeyError when there is none."""
        for solved in self.positions:
            if (solved.position.name, solved.coil_state, solved.pull_state) == (
                position,
                coil_state,
                pull_state,
            ):
                return solved
        raise KeyError(f"no switch position {position!r} in state {coil_state!r}")

    @property
    def networks(self) -> PositionNetworks | None:
        """The networks of all positions, as built for the solution."""
        return None if self._ranges is None else self._ranges.networks

    @cached_property
    def undetermined_relays(self) -> tuple[UndeterminedRelay, ...]:
        """Relays whose state in a position hangs on values within their tolerances.

        The positions are solved with the state that nominal values give.
        """
        if self._ranges is None:
            return ()
        return tuple(
            undetermined_relays(self.harness, self._states, COIL_STATES, self._ranges.coil_look)
        )


def solve_harness(
    harness: Harness,
    library: Library,
    positions: Sequence[Position] | None = None,
    coil_states: Sequence[str] = COIL_STATES,
    *,
    gaps: bool = True,
) -> Solution:
    """Return the certified solution of every switch position in both coil states.

    With `positions` only those are solved, relays reached from rest, and coils are heated by
    those alone; with `coil_states` only these: enough to try a change out, not to judge a harness.
    Without `gaps` it is not worked out how far bounds may stand off: enough to judge.

    Positions that close the same contacts share one solution; ranges are worked out when asked
    for. Raises CircuitError when there are too many positions, SolveError when a bound cannot be
    certified.
    """
    asked = switch_positions(harness) if positions is None else tuple(positions)
    networks = PositionNetworks(harness, library)
    states = settle_relays(harness, asked, networks.coil_volts, history=positions is None)
    pulls = pull_states(harness)
    # a winding that is cut out is not on for long: the last state is the one that heats
    soak = soak_coils(harness, [networks.at(p, pulls[-1]) for p in states.positions])
    ranges = PositionRanges(networks, soak, gaps=gaps)
    solved = tuple(
        PositionSolution(
            position,
            coil_state,
            networks.at(position, pull_state).network,
            ranges.of(position, coil_state, pull_state),
        )
        for position in states.positions
        for pull_state in pulls
        for coil_state in coil_states
    )
    return Solution(harness, library, solved, soak.heat, states.came_from, states, ranges)
