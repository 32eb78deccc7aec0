"""The shape of a network, compiled for its bounds: elimination, certain signs, what was read."""

from __future__ import annotations

from collections.abc import Hashable
from functools import cached_property, lru_cache

import numpy as np
import numpy.typing as npt

from circuitcheck.solve.bounds.corner_search import EndArray, Quantities, directions
from circuitcheck.solve.bounds.sign_certificate import Group, SignCertificate
from circuitcheck.solve.elimination.elimination import EliminationPlan
from circuitcheck.solve.elimination.elimination_order import FloatArray, IntArray


class Network:
    """Shape of one network: n nodes, branches a[i] to b[i], source (+) and reference (-) node.

    Compile once, solve often; `shape_of` compiles shapes met before only once. `extended` keeps
    what was compiled of it with curves added, by the curves' ends. Raises ValueError as
    `EliminationPlan` does.
    """

    def __init__(
        self,
        n_nodes: int,
        a: npt.ArrayLike,
        b: npt.ArrayLike,
        source: int,
        reference: int,
    ) -> None:
        self.plan = EliminationPlan(n_nodes, a, b, (source, reference))
        self.extended: dict[tuple[tuple[int, int], ...], object] = {}
        self._groups: dict[tuple[int, int], list[Group] | None] = {}
        self._directions: dict[tuple[int, int, int], EndArray] = {}
        self.checked: set[tuple[int, int]] = set()

    @cached_property
    def signs(self) -> SignCertificate:
        """Structural sign certificate of this shape."""
        plan = self.plan
        edges = list(zip(plan.a.tolist(), plan.b.tolist(), strict=True))
        return SignCertificate(plan.n_nodes, edges, plan.source, plan.reference)

    def groups(self, plus: int, minus: int) -> list[Group] | None:
        """Groups of branches of unknown sign; None where a node floats."""
        if (plus, minus) not in self._groups:
            is_lost = self.plan.floating[plus] or self.plan.floating[minus]
            found = None if is_lost else self.signs.uncertain_groups(plus, minus)
            self._groups[plus, minus] = found
        return self._groups[plus, minus]

    def directions(self, near_ohm: FloatArray, quantities: Quantities) -> EndArray:
        """Sign of the change of each quantity with each resistance, (m, k); certain ones kept."""
        own = np.where(quantities.is_current, quantities.branch, -1)
        keys = list(
            zip(quantities.plus.tolist(), quantities.minus.tolist(), own.tolist(), strict=True)
        )
        found: dict[tuple[int, int, int], EndArray] = {}
        new = [j for j, key in enumerate(keys) if key not in self._directions]
        if new:
            columns, is_by_near = directions(self.plan, self.signs, near_ohm, quantities.take(new))
            for column, j in enumerate(new):
                kept = found if is_by_near[column] else self._directions
                kept[keys[j]] = columns[:, column]
        out = np.empty((self.plan.n_branches, len(keys)), dtype=np.int8)
        for j, key in enumerate(keys):
            out[:, j] = found[key] if key in found else self._directions[key]
        return out


@lru_cache(maxsize=512)
def _compiled(
    name: Hashable, n_nodes: int, a: bytes, b: bytes, source: int, reference: int
) -> Network:
    starts, ends = np.frombuffer(a, dtype=np.intp), np.frombuffer(b, dtype=np.intp)
    return Network(n_nodes, starts, ends, source, reference)


def shape_of(
    n_nodes: int, a: IntArray, b: IntArray, source: int, reference: int, name: Hashable = None
) -> Network:
    """Return a network's shape, the same one for all networks alike that go by the same name."""
    starts, ends = (np.asarray(side, dtype=np.intp).tobytes() for side in (a, b))
    return _compiled(name, n_nodes, starts, ends, source, reference)
