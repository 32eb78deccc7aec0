"""What corners of a network's box are worth when wires in one zone share its air."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import cached_property

import numpy as np

from circuitcheck.circuit.netlist import Network
from circuitcheck.model.tolerance_band import Band
from circuitcheck.solve.bounds import bounds
from circuitcheck.solve.bounds.bounds import BoundSet
from circuitcheck.solve.bounds.box import Box, FloatArray, IntArray
from circuitcheck.solve.bounds.corner_search import EndArray
from circuitcheck.solve.bounds.shared_air import SharedAir
from circuitcheck.solve.curves.active_curves import ActiveCurve, curve_ends
from circuitcheck.solve.curves.curve_arrays import CurveArrays
from circuitcheck.solve.curves.curve_bounds import with_curves
from circuitcheck.solve.elimination.elimination import NetworkSolution

WORTH_TRYING = 1e-2
"""Share of a bound that all cold and all hot must leave open for zones to be tried one by one."""
LEAST_OPEN = 1e-3
"""And how many volts or amperes."""
ExactAt = Callable[[FloatArray, FloatArray, EndArray], NetworkSolution]
"""Solves a network with converters: resistances, supply, ends of curves and converters."""
Pick = Callable[[NetworkSolution, IntArray], FloatArray]
"""Values of some quantities, given by number, from as many columns of a solution."""


class CornerValues:
    """Exact values at corners: ends (branches and curves, k) of -1, 0, +1, and the supply there."""

    def __init__(
        self,
        network: Network,
        shape: bounds.Network,
        box: Box,
        curves: Sequence[ActiveCurve],
        air_c: Mapping[str, Band] | None,
        exact_at: ExactAt | None = None,
        nominal_v: float = 0.0,
        curve_v: Mapping[str, float] | None = None,
    ) -> None:
        self.nominal_v, self.curve_v = nominal_v, {} if curve_v is None else curve_v
        self.shape, self.box, self.curves = shape, box, tuple(curves)
        self._exact_at = exact_at
        self.count = len(network.branches)
        self.air = SharedAir(network, box, air_c)
        self._arrays = CurveArrays([one.curve for one in curves])

    def best(self, found: BoundSet, pick: Pick) -> tuple[FloatArray, FloatArray]:
        """Smallest and largest value in shared air of quantity j at its lower and upper corner.

        Zones are tried cold and hot on their own only where all cold and all hot stay further
        than a share WORTH_TRYING from a bound. Arrays (k,).
        """
        count = len(found)
        ends = np.concatenate([found.corner_lower, found.corner_upper], axis=1)
        supply_v = np.concatenate([found.source_lower_v, found.source_upper_v])
        bound = np.concatenate([found.lower, found.upper])
        sense = np.repeat([-1.0, 1.0], count)
        which = np.tile(np.arange(count), 2)
        amps = self._known_amps(found, ends, supply_v)
        cold, hot = self.air.uniform(ends[: self.count], amps)
        in_cold, in_hot = self._worth(ends)
        place = np.concatenate([in_cold, in_hot])
        airs = np.concatenate([cold[:, in_cold], hot[:, in_hot]], axis=1)
        found_at = self._values(ends[:, place], supply_v[place], pick, which[place], airs)
        best = np.full(2 * count, -np.inf)
        np.fmax.at(best, place, sense[place] * found_at)
        best = np.where(np.isfinite(best), sense * best, np.nan)
        open_ = np.abs(bound - best)
        left = np.flatnonzero((open_ > WORTH_TRYING * np.abs(bound)) & (open_ > LEAST_OPEN))
        if self.air.mixed and left.size:
            some, volts = ends[:, left], supply_v[left]
            by_zone = self.air.by_zone(some[: self.count], amps[:, left])
            more = self._best(some, volts, pick, sense[left], which[left], by_zone)
            best[left] = sense[left] * np.maximum(sense[left] * best[left], sense[left] * more)
        return best[:count], best[count:]

    def _worth(self, ends: EndArray) -> tuple[IntArray, IntArray]:
        """Corners worth solving in cold and in hot air.

        One that wants no metal hot is best all cold, one that wants none cold all hot.
        """
        metal = ends[: self.count][self.box.copper_ohm[2] > 0.0]
        wants_cold, wants_hot = (metal < 0).any(axis=0), (metal > 0).any(axis=0)
        return np.flatnonzero(wants_cold | ~wants_hot), np.flatnonzero(wants_hot)

    def _known_amps(self, found: BoundSet, ends: EndArray, supply_v: FloatArray) -> FloatArray:
        """Branch currents at the corners, as kept with the bounds or solved again."""
        if found.fields_lower is None or found.fields_upper is None:
            return self._amps(ends, supply_v)
        amps = np.concatenate([found.fields_lower, found.fields_upper], axis=1)[: self.count]
        lost = np.flatnonzero(np.isnan(amps).any(axis=0))
        if lost.size:
            amps[:, lost] = self._amps(ends[:, lost], supply_v[lost])
        return amps

    def uniform(self, ends: EndArray, supply_v: FloatArray, pick: Pick) -> FloatArray:
        """Value of quantity j at corner j with all air cold, then hot, (2, k)."""
        every = np.arange(ends.shape[1])
        amps = self._amps(ends, supply_v)
        return np.array(
            [
                pick(self.solve(ends, supply_v, air), every)
                for air in self.air.uniform(ends[: self.count], amps)
            ]
        )

    def solve(
        self, ends: EndArray, supply_v: FloatArray, temperature_c: FloatArray | None = None
    ) -> NetworkSolution:
        """Solve corners with the branches at temperatures (branches, k), or each at its own end."""
        m = self.count
        rows = ends[:m].astype(np.intp) + 1
        if temperature_c is None:
            temperature_c = self.box.temperature_c[rows, np.arange(m)[:, None]]
        resistance = self.box.corner(rows, temperature_c)
        if self._exact_at is not None:
            return self._exact_at(resistance, supply_v, ends[m:])
        if not self.curves:
            return bounds.solve_corner(self.shape, resistance, supply_v)
        exact = with_curves(self.shape, curve_ends(self.curves)).exact
        near = np.repeat(self._near_v, ends.shape[1], axis=1)
        return exact.solve(1.0 / resistance, supply_v, self._arrays.at(ends[m:]), near=near)

    @cached_property
    def _near_v(self) -> FloatArray:
        """Nominal voltages across the curves, from which to set out, (d, 1)."""
        if all(one.name in self.curve_v for one in self.curves):
            return np.array([[self.curve_v[one.name]] for one in self.curves])
        exact = with_curves(self.shape, curve_ends(self.curves)).exact
        found = exact.solve(
            1.0 / self.box.resistance_ohm[1], self.nominal_v, self._arrays.nominal()
        )
        return found.branch_v[self.count :]

    def _amps(self, ends: EndArray, supply_v: FloatArray) -> FloatArray:
        """Currents of the branches with each as warm as its own end says."""
        return self.solve(ends, supply_v).branch_a[: self.count]

    def _best(
        self,
        ends: EndArray,
        supply_v: FloatArray,
        pick: Pick,
        sense: FloatArray,
        which: IntArray,
        airs: list[FloatArray],
    ) -> FloatArray:
        """Best of several airs, all solved side by side."""
        count = len(airs)
        every = np.tile(ends, (1, count)), np.tile(supply_v, count)
        values = self._values(*every, pick, np.tile(which, count), np.concatenate(airs, axis=1))
        return np.asarray(sense * (sense * values.reshape(count, -1)).max(axis=0))

    def _values(
        self,
        ends: EndArray,
        supply_v: FloatArray,
        pick: Pick,
        which: IntArray,
        temperature_c: FloatArray,
    ) -> FloatArray:
        return pick(self.solve(ends, supply_v, temperature_c), which)
