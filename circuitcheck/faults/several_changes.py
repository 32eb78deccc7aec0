"""Faults that change several conductances at once, from the one sound network.

    V' = V - U G (1 + Z G)^-1 v,   Z' = Z - U G (1 + Z_kk G)^-1 U^T        (Woodbury)

G holds the changes of conductance, Z_kk what 1 A fed into one changed place makes at another. Where
1 + Z G is small beside its terms, as where parts are left hanging on leaks, it has no digits left:
those faults are refused and solved by themselves (`own_columns.py`).
Source: M. A. Woodbury, Memorandum Report 42, Statistical Research Group, Princeton (1950).
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from circuitcheck.faults.port_response import Solved
from circuitcheck.faults.ports import Edits, FloatArray, Port, Ports

WORST_CONDITION = 1e7
"""Largest term over the least singular value of their sum: nine digits are left."""


class SeveralChanges:
    """Faults that change up to `rank` conductances; those in `refused` are not among them."""

    def __init__(
        self, sound: Solved, conductance: FloatArray, faults: Sequence[tuple[int, Edits]], rank: int
    ) -> None:
        self.sound, self.rank, self.draws = sound, rank, conductance.shape[1]
        change = np.zeros((len(faults), rank, self.draws))
        # a place that a fault has no use for is one of another, changed by nothing
        which = np.zeros((len(faults), rank), dtype=np.intp)
        number: dict[Port, int] = {}
        a, b = sound.shape.plan.a, sound.shape.plan.b
        for k, (_, edit) in enumerate(faults):
            found = [(Port(int(a[n]), int(b[n]), n), g - conductance[n])
                     for n, g in edit.branches.items()]  # fmt: skip
            found += [(Port(*pair), g) for pair, g in edit.joins.items()]
            for j, (port, g) in enumerate(found):
                which[k, j] = number.setdefault(port, len(number))
                change[k, j] = g
        self.distinct = Ports(list(number))
        every = sound.mutual(self.distinct, self.distinct)
        z = every[which[:, :, None], which[:, None, :]]
        terms = np.moveaxis(z * change[:, None, :, :], -1, 1)
        matrix = np.eye(rank) + terms
        # where two wires are opened both pivots may be lost: what is left counts against the terms
        size = 1.0 + np.abs(terms).max(axis=(2, 3))
        least = np.linalg.svd(matrix, compute_uv=False)[..., -1]
        is_sound = (size < WORST_CONDITION * least).all(axis=1)
        self.refused = [
            one for one, good in zip(faults, is_sound.tolist(), strict=True) if not good
        ]
        self.places = np.array([place for place, _ in faults], dtype=np.intp)[is_sound]
        self.which = which[is_sound]
        inverse = np.linalg.inv(matrix[is_sound])
        self.inner = np.moveaxis(change[is_sound], -1, 1)[..., None] * inverse

    def open_v(self, ports: Ports) -> FloatArray:
        """Voltage at each port for 1 V at the source, (faults, ports, draws)."""
        at = self.sound.open_v(self.distinct)[self.which]
        taken = np.einsum("fdij,fjd->fid", self.inner, at)
        out = self.sound.open_v(ports) - np.einsum("fipd,fid->fpd", self._between(ports), taken)
        return np.asarray(out)

    def mutual(self, ports: Ports, fed: Ports) -> FloatArray:
        """Voltage at ports for 1 A fed into others, (faults, ports, fed, draws) [ohm]."""
        taken = np.einsum("fdij,fjqd->fiqd", self.inner, self._between(fed))
        change = np.einsum("fipd,fiqd->fpqd", self._between(ports), taken)
        return np.asarray(self.sound.mutual(ports, fed) - change)

    def own(self, ports: Ports) -> FloatArray:
        """Voltage at each port for 1 A fed into it, (faults, ports, draws) [ohm]."""
        here = self._between(ports)
        taken = np.einsum("fdij,fjpd->fipd", self.inner, here)
        return np.asarray(self.sound.own(ports) - (here * taken).sum(axis=1))

    def _between(self, ports: Ports) -> FloatArray:
        """U of each changed place of each fault at each port, (faults, rank, ports, draws)."""
        return np.asarray(self.sound.mutual(self.distinct, ports)[self.which])
