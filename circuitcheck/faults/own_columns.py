"""Faults that have a solved network each: what several changes leave hanging on leaks."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from circuitcheck.faults.port_response import Shape, Solved
from circuitcheck.faults.ports import Edits, FloatArray, Ports


class OwnColumns:
    """Faults with a solved network each; terminals that one of them joins are branches of all.

    `places` are their numbers among all faults.
    """

    def __init__(
        self, shape: Shape, conductance: FloatArray, faults: Sequence[tuple[int, Edits]]
    ) -> None:
        self.places = np.array([place for place, _ in faults], dtype=np.intp)
        self.draws, count = conductance.shape[1], len(faults)
        pairs = tuple(dict.fromkeys(pair for _, edit in faults for pair in edit.joins))
        sound = np.repeat(conductance[:, None, :], count, axis=1)
        wide = np.concatenate([sound, np.zeros((len(pairs), count, self.draws))])
        for k, (_, edit) in enumerate(faults):
            for number, g in edit.branches.items():
                wide[number, k] = g
            for pair, g in edit.joins.items():
                wide[len(sound) + pairs.index(pair), k] = g
        shape = shape.with_joins(pairs)
        self.solved = Solved(shape, wide.reshape(len(wide), -1))

    def _spread(self, volts: FloatArray) -> FloatArray:
        """Give an array (..., points) its axes of faults, first, and of draws, last."""
        wide = volts.reshape(*volts.shape[:-1], -1, self.draws)
        return np.moveaxis(wide, -2, 0)

    def open_v(self, ports: Ports) -> FloatArray:
        """Voltage at each port for 1 V at the source, (faults, ports, draws)."""
        return self._spread(self.solved.open_v(ports))

    def mutual(self, ports: Ports, fed: Ports) -> FloatArray:
        """Voltage at ports for 1 A fed into others, (faults, ports, fed, draws) [ohm]."""
        return self._spread(self.solved.mutual(ports, fed))

    def own(self, ports: Ports) -> FloatArray:
        """Voltage at each port for 1 A fed into it, (faults, ports, draws) [ohm]."""
        return self._spread(self.solved.own(ports))
