"""Certified lower and upper bounds of voltages, currents and powers over a box of resistances.

In a network with one source every voltage and current is monotone in each single resistance, so
its extremes lie at corners of the box. Which corner follows from the signs of I_i T_i
(`sign_certificate.py`): certain from structure ('series-parallel'); or from a rigorous enclosure
of the two currents over the box ('enclosure'); or by trying every setting of the few composites of
unknown sign ('corners'); or by branch and bound ('branch and bound', `enclosure.py`), whose
remaining gap is returned. Bounds are outer: never inside the
true range by more than rounding, about 1e-12 of the value.

The source voltage scales everything, so it stands at its own end. The resistances are independent:
a temperature shared by several of them is the caller's one variable, solved at its own values with
`solve_corner`. Current and voltage of one branch reach their extremes at different corners; power
has its own bound (`power_bounds.py`), because it is not at a corner.
Source: extremes at corners: each quantity is (a + b R) / (c + d R) in one R.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from circuitcheck.model.tolerance_band import Band
from circuitcheck.record import record
from circuitcheck.solve.bounds.bound_search import NODE_LIMIT, BoundSearch, BoundSet
from circuitcheck.solve.bounds.corner_search import EndArray, ResistanceBox, make_quantities
from circuitcheck.solve.bounds.network_shape import Network, shape_of
from circuitcheck.solve.elimination.elimination import NetworkSolution
from circuitcheck.solve.elimination.elimination_order import FloatArray, IntArray

__all__ = [
    "BoundSet",
    "BoundsResult",
    "FloatArray",
    "IntArray",
    "Network",
    "shape_of",
    "solve_bounds",
    "solve_corner",
]


@record
class BoundsResult:
    """Bounds of probe voltages [V] and branch currents [A], and the nominal solution."""

    box: ResistanceBox
    nominal: NetworkSolution
    voltage: BoundSet
    current: BoundSet
    current_branches: IntArray

    def resistance_at(self, ends: EndArray) -> FloatArray:
        """Resistances (m,) of a corner column such as `voltage.corner_upper[:, 3]`. [ohm]"""
        return self.box.at(ends)


def solve_corner(
    network: Network, resistance_ohm: npt.ArrayLike, source_v: npt.ArrayLike
) -> NetworkSolution:
    """Solve chosen resistances (m,) or (m, batch) and source voltages, one value or (batch,)."""
    return network.plan.solve_all(1.0 / np.asarray(resistance_ohm, dtype=float), source_v)


def solve_bounds(
    network: Network,
    resistance_lower: npt.ArrayLike,
    resistance_nominal: npt.ArrayLike,
    resistance_upper: npt.ArrayLike,
    source_v: Band,
    probes: Sequence[tuple[int, int]] | IntArray,
    *,
    current_branches: Sequence[int] | IntArray | None = None,
    node_limit: int = NODE_LIMIT,
) -> BoundsResult:
    """Bounds of V_plus - V_minus for each probe, and of the current of each branch.

    resistance_* : (m,), above 0, finite, in order. [ohm]
    source_v : 0 or more. [V]
    probes : (p, 2) nodes (plus, minus).
    current_branches : branches whose current is bounded; all by default.
    node_limit : cap on the sub-boxes of a branch and bound, per end; what is left is the gap.
    Raises ValueError for bad input, SolveError where a sign certificate does not hold.
    """
    plan = network.plan
    box = ResistanceBox(
        *(np.asarray(r, float) for r in (resistance_lower, resistance_nominal, resistance_upper))
    )
    if box.lower.shape != (plan.n_branches,):
        raise ValueError(f"{box.lower.size} resistances for {plan.n_branches} branches")
    if source_v.lower < 0.0:
        raise ValueError(f"source voltage {source_v.lower} V is below 0")
    pairs = np.asarray(probes, dtype=np.intp).reshape(-1, 2)
    branches = (
        np.arange(plan.n_branches)
        if current_branches is None
        else (np.asarray(current_branches, dtype=np.intp))
    )
    quantities = make_quantities(plan, pairs, branches)
    nominal = plan.solve_all(1.0 / box.nominal, source_v.nominal)
    search = BoundSearch(network, box, quantities)
    search.run(node_limit)
    found = search.scaled(source_v, nominal)
    n = len(pairs)
    return BoundsResult(
        box=box,
        nominal=nominal,
        voltage=found.take(np.arange(n)),
        current=found.take(np.arange(n, len(found))),
        current_branches=branches,
    )
