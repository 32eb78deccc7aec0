"""Certified ranges of a whole harness: every switch position, coils cold and heat-soaked.

Conditions are a box: supply from the weakest battery to the highest charging voltage, each
zone's air from its coldest to its hottest, every resistance within its tolerance, every contact
from new to aged. Each resistance is its own variable, so the bounds are outer: values in one zone
share a temperature and cannot part as far as the box lets them. How far that lets the bounds
stand off is worked out for each quantity and carried as its gap.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from circuitcheck.circuit.netlist import Network
from circuitcheck.circuit.positions import Position
from circuitcheck.model.harness import Harness
from circuitcheck.model.library import Library
from circuitcheck.model.tolerance_band import Band
from circuitcheck.solve.solution import CoilHeat, Range


@dataclass(frozen=True)
class PositionSolution:
    """One switch position in one coil state. All ranges are certified."""

    position: Position
    coil_state: str
    network: Network
    supply_v: Band

    def current_a(self, branch: str) -> Range:
        """Return the current of a branch, by branch name, from its start to its end [A]."""
        raise NotImplementedError

    def across_v(self, branch: str) -> Range:
        """Return the voltage from start to end of a branch, as its own quantity [V]."""
        raise NotImplementedError

    def voltage_v(self, terminal: str) -> Range:
        """Return the voltage of a terminal against battery negative [V]."""
        raise NotImplementedError

    def between_v(self, start: str, end: str) -> Range:
        """Return the voltage from one terminal to another, as its own quantity [V]."""
        raise NotImplementedError

    def between_many_v(self, pairs: Sequence[tuple[str, str]]) -> list[Range]:
        """Return the voltages of many pairs of terminals in one batch [V]."""
        raise NotImplementedError

    def power_w(self, branch: str) -> Range:
        """Return the power turned to heat in a branch [W]."""
        raise NotImplementedError

    def resistance_ohm(self, branch: str) -> Band:
        """Return the band a branch's resistance was given in the solution [ohm]."""
        raise NotImplementedError

    def temperature_c(self, branch: str) -> Band:
        """Return the band of temperature of a branch's metal [degC]."""
        raise NotImplementedError

    def energised(self) -> tuple[str, ...]:
        """Return the coils that carry current in this position, in file order."""
        raise NotImplementedError

    def conditions(self, branch: str, side: str) -> tuple[str, ...]:
        """Return in words what makes the `lower` or `upper` end of a branch's current."""
        raise NotImplementedError


@dataclass(frozen=True)
class Solution:
    """All switch positions of a harness, in both coil states.

    `heat` tells how hot each coil gets by its duty, by coil name.
    """

    harness: Harness
    library: Library
    positions: tuple[PositionSolution, ...]
    heat: Mapping[str, CoilHeat]

    def live(self, coil_state: str) -> tuple[PositionSolution, ...]:
        """Return the positions in which the tap is live with the key on or off, engine not cranked.

        Cranking is left to a check of its own: the supply then is outside the running range.
        """
        raise NotImplementedError

    def of(self, position: str, coil_state: str) -> PositionSolution:
        """Return the solution of a named position. Raises KeyError when there is none."""
        raise NotImplementedError


def solve_harness(harness: Harness, library: Library) -> Solution:
    """Return the certified solution of every switch position in both coil states."""
    raise NotImplementedError
