"""Coils that a single fault may work unasked, and what else the same fault shows."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from functools import cached_property

from circuitcheck.circuit.positions import Position
from circuitcheck.faults.effect_survey import UNASKED, WRONG_COIL, Effect, survey
from circuitcheck.faults.fault import Fault
from circuitcheck.faults.fault_list import single_faults
from circuitcheck.faults.fed_coils import faults_that_feed
from circuitcheck.faults.full_network import FullNetwork
from circuitcheck.model.harness import Harness
from circuitcheck.model.library import Library


class UnaskedMovements:
    """Single faults of some modes against some coils, key on and off, one button at most.

    Solved is only where closed ways let a fault feed one of the coils at all.
    """

    def __init__(
        self, harness: Harness, library: Library, modes: Collection[str], coils: Collection[str]
    ) -> None:
        self.full, self.coils = FullNetwork(harness, library), coils
        self.faults = [one for one in single_faults(harness, library) if one.mode in modes]

    @cached_property
    def positions(self) -> tuple[Position, ...]:
        """Positions that are looked at."""
        every = self.full.positions.values()
        return tuple(p for p in every if p.key != "cranking" and len(p.pressed) <= 1)

    @cached_property
    def found(self) -> tuple[tuple[Fault, Effect], ...]:
        """Every coil that a fault works unasked or in place of another, position by position."""
        return tuple(self._found())

    def _found(self) -> Iterator[tuple[Fault, Effect]]:
        for position in self.positions:
            some = faults_that_feed(self.full, self.faults, position, self.coils)
            if some:
                for fault, effect in survey(self.full, some, (position,), heat=False):
                    if effect.kind in (UNASKED, WRONG_COIL) and effect.subject in self.coils:
                        yield fault, effect

    def shows_in(self, fault: str) -> frozenset[str]:
        """Return the positions in which a fault, by name, does anything that can be noticed."""
        some = [one for one in self.faults if one.name == fault]
        effects = survey(self.full, some, self.positions, heat=False)
        return frozenset(effect.position for _, effect in effects)
