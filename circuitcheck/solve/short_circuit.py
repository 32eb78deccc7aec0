"""Dead shorts: the current when a wire's far end touches metal, weakest and strongest source.

Weakest: discharged, cold, aged battery, every joint aged, every wire hot, all resistances at
their upper end. Strongest: full battery at its lowest internal resistance plus the alternator,
new joints, cold wires. The fault itself is taken as without resistance.
"""

from __future__ import annotations

from dataclasses import dataclass

from circuitcheck.model.harness import Harness
from circuitcheck.model.library import FuseRow, Library
from circuitcheck.model.tolerance_band import Band


@dataclass(frozen=True)
class FuseInPath:
    """A fuse that carries the fault current: its part (`owner`), its row, the air around it.

    `branch` is its branch name (`F1`, or `TAP/fuse` for the machine's own). Currents in A.
    """

    branch: str
    owner: str
    row: FuseRow
    ambient_c: Band
    weakest_a: float
    strongest_a: float


@dataclass(frozen=True)
class ShortCircuit:
    """A dead short at the far end of one wire.

    `wire` is a wire's name, or `TAP/wire` for the machine's wire upstream of the tap.
    `far_terminal` is where the fault sits and `target` what it touches, in words. `fuses` are in
    order from the battery; empty where the wire lies ahead of every fuse.
    """

    wire: str
    far_terminal: str
    target: str
    position: str
    weakest_a: float
    strongest_a: float
    fuses: tuple[FuseInPath, ...]
    conditions_weakest: tuple[str, ...]
    conditions_strongest: tuple[str, ...]


@dataclass(frozen=True)
class ShortCircuits:
    """Shorts of a harness, worked out when first asked for."""

    harness: Harness
    library: Library

    def at_far_end(self, wire: str) -> ShortCircuit | None:
        """Return the short at a wire's far end; None for a wire on the return side.

        Raises CircuitError when the harness has no return to short to.
        """
        raise NotImplementedError

    def at_fuse_load(self, fuse: str) -> FuseInPath:
        """Return the strongest and weakest current of a short right behind a fuse's holder."""
        raise NotImplementedError

    def feed_wires(self) -> tuple[str, ...]:
        """Return the wires on the feed side, `TAP/wire` included, in file order."""
        raise NotImplementedError
