"""Bounds of voltages and currents in networks with lamps, LEDs and diodes in bands of curves.

Every curve rises and passes through 0, so at every operating point it is some positive resistance
v / i (an open diode a very large one), and to a small change it shows another positive resistance,
its tangent. Two certificates follow.

* Exact. Where the network with its curves as branches is series-parallel, the sign of every branch
  current and of every transfer is certain for all resistances, thus for secants and tangents alike:
  each voltage and current is monotone in every resistance, in the end of each curve's band, and in
  the source voltage. Its extremes are single corners, solved exactly.
* Enclosed. Otherwise each curve is bounded as a resistance between its least and greatest v / i
  within its band and its reach, a reach narrowed by the bounds it leads to. These are outer; the
  distance to the exact solution at the corner found is the gap.

No state is guessed, so any number of diodes may be undecided. Leakage current is left out.
Source: bounds for ideal diodes by Rayleigh's law, Am. J. Phys. 87 (2019) 675; derived here.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from circuitcheck.model.tolerance_band import Band
from circuitcheck.record import record
from circuitcheck.solve.bounds.bounds import BoundSet, Network
from circuitcheck.solve.bounds.corner_search import (
    ResistanceBox,
    make_quantities,
)
from circuitcheck.solve.curves.curve_network import CurveNetwork
from circuitcheck.solve.curves.curve_search import CurveSearch, magnitudes
from circuitcheck.solve.curves.curves import (
    LEAK_S,
    BandedCurve,
    Lamp,
    Reach,
)
from circuitcheck.solve.elimination.elimination import NetworkSolution
from circuitcheck.solve.elimination.elimination_order import FloatArray, IntArray


@record
class CurveBoundsResult:
    """Bounds as in `BoundsResult`; curve j is branch m + j.

    state: of each curve, 'open' or 'conducting' where certain over the whole box, else 'either'.
    reach: how far each curve is driven, for a box that lies within this one.
    """

    nominal: NetworkSolution
    voltage: BoundSet
    current: BoundSet
    state: tuple[str, ...]
    reach: Reach


class BandedCurveNetwork:
    """Shape of a network with curves, compiled once for its bounds."""

    def __init__(
        self,
        n_nodes: int,
        a: npt.ArrayLike,
        b: npt.ArrayLike,
        source: int,
        reference: int,
        curve_ends: Sequence[tuple[int, int]],
    ) -> None:
        self.exact = CurveNetwork(n_nodes, a, b, source, reference, curve_ends)
        self.linear = Network(
            n_nodes,
            [*np.asarray(a, dtype=np.intp).reshape(-1), *(u for u, _ in curve_ends)],
            [*np.asarray(b, dtype=np.intp).reshape(-1), *(v for _, v in curve_ends)],
            source,
            reference,
        )
        self._certain: dict[tuple[int, int], bool] = {}

    def is_certain(self, plus: int, minus: int) -> bool:
        """Whether every sign that V_plus - V_minus depends on is certain for all curves."""
        if (plus, minus) not in self._certain:
            self._certain[plus, minus] = self._is_certain(plus, minus)
        return self._certain[plus, minus]

    def _is_certain(self, plus: int, minus: int) -> bool:
        signs = self.linear.signs
        p, q = signs.live.anchor[plus], signs.live.anchor[minus]
        if not signs.driven.is_series_parallel or self.linear.groups(plus, minus) != []:
            return False
        # the source's own sign: a potential lies between those of the posts, or is confluent
        fixed = {signs.source, signs.reference}
        return p == q or bool({p, q} & fixed) or signs.driven.stays_series_parallel_with(p, q)

    def solve_bounds(
        self,
        curves: Sequence[BandedCurve],
        resistance_lower: npt.ArrayLike,
        resistance_nominal: npt.ArrayLike,
        resistance_upper: npt.ArrayLike,
        source_v: Band,
        probes: Sequence[tuple[int, int]] | IntArray,
        *,
        current_branches: Sequence[int] | IntArray | None = None,
        reach: Reach | None = None,
        near_v: FloatArray | None = None,
    ) -> CurveBoundsResult:
        """Bounds of each probe and of the current of branches, all and all curves by default.

        Arguments as in `bounds.solve_bounds`; `reach` is known from a wider box, and
        `near_v` (d,) are nominal voltages across the curves in a box near by, to set out from.
        Raises ValueError for bad input.
        """
        box = ResistanceBox(
            *(
                np.asarray(r, dtype=float)
                for r in (resistance_lower, resistance_nominal, resistance_upper)
            )
        )
        if box.lower.shape != (self.exact.n_resistors,):
            raise ValueError(f"{box.lower.size} resistances for {self.exact.n_resistors} branches")
        if source_v.lower < 0.0:
            raise ValueError(f"source voltage {source_v.lower} V is below 0")
        pairs = np.asarray(probes, dtype=np.intp).reshape(-1, 2)
        plan, first = self.linear.plan, self.exact.n_resistors
        wanted = (
            np.arange(plan.n_branches)
            if current_branches is None
            else np.asarray(current_branches, dtype=np.intp)
        )
        of_curves = np.arange(first, plan.n_branches)
        quantities = make_quantities(plan, pairs, np.concatenate([wanted, of_curves]))
        work = CurveSearch(
            self.linear, self.exact, curves, box, source_v, quantities, reach, near_v
        )
        found = work.bounds(self.is_certain)
        n, k = len(pairs), len(pairs) + len(wanted)
        own = found.take(np.arange(k, len(found)))
        return CurveBoundsResult(
            work.nominal,
            found.take(np.arange(n)),
            found.take(np.arange(n, k)),
            _states(curves, own, source_v),
            work.reach.within(_current_reach(curves, own)),
        )


def with_curves(network: Network, curve_ends: Sequence[tuple[int, int]]) -> BandedCurveNetwork:
    """Return a network's shape with curves added; each is compiled once."""
    key, plan = tuple(curve_ends), network.plan
    found = network.extended.get(key)
    if not isinstance(found, BandedCurveNetwork):
        found = BandedCurveNetwork(plan.n_nodes, plan.a, plan.b, plan.source, plan.reference, key)
        network.extended[key] = found
    return found


def _states(curves: Sequence[BandedCurve], own: BoundSet, source_v: Band) -> tuple[str, ...]:
    leak = 2.0 * LEAK_S * source_v.upper
    found = []
    for curve, low, high in zip(curves, own.lower, own.upper, strict=True):
        if isinstance(curve, Lamp):
            found.append("conducting")
        else:
            found.append("open" if high <= leak else "conducting" if low > leak else "either")
    return tuple(found)


def _current_reach(curves: Sequence[BandedCurve], own: BoundSet) -> Reach:
    """Reach from bounds of the curves' own currents alone."""
    size = len(curves)
    least, most = magnitudes(curves, own.lower, own.upper)
    return Reach(least, most, np.zeros(size), np.full(size, np.inf))
