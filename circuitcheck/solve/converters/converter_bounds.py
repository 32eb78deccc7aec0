"""Bounds of voltages and currents in networks with converters, by superposition.

At every operating point each lamp and diode is some resistance within its secant range, so the
network is linear there, and each voltage or current is the sum of three kinds of shares:

    Q = a(R) E + sum_j b_j(R) V0_j + sum_j c_j(R) i_in_j

E the supply, V0_j the output voltage of converter j, i_in_j the current its input takes. Each share
is a network with one source, bounded by itself; the sum of the bounds is outer, because their
corners differ. How far it stands off what is reached is measured at the corner of the largest share
and is the gap. The input currents are a band of their own: output power over efficiency and input
voltage, from bounds that hold for all currents in the band; a band that these bounds do not
leave holds the true currents.
Source: superposition theorem; closed band: Brouwer's fixed-point theorem.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from circuitcheck.circuit.netlist import ConverterBranch
from circuitcheck.circuit.netlist import Network as Circuit
from circuitcheck.errors import SolveError
from circuitcheck.model.tolerance_band import Band
from circuitcheck.record import record
from circuitcheck.solve.bounds.bounds import BoundSet
from circuitcheck.solve.bounds.box import LEAST_OHM
from circuitcheck.solve.bounds.corner_search import EndArray
from circuitcheck.solve.converters.converter_network import (
    LEAST_INPUT_V,
    ROWS_EACH,
    ConverterNetwork,
    converter_points,
)
from circuitcheck.solve.converters.converter_shares import ConverterShares
from circuitcheck.solve.curves.curve_arrays import CurveArrays
from circuitcheck.solve.curves.curve_search import magnitudes
from circuitcheck.solve.curves.curves import BandedCurve, Reach, secant_ohm, whole_reach
from circuitcheck.solve.elimination.elimination import NetworkSolution
from circuitcheck.solve.elimination.elimination_order import FloatArray, IntArray

ROUNDS = 8
WIDEN = 1.5
STILL = 1e-3


@record
class ConverterBoundsResult:
    """Bounds of probes and of branch currents; curve j is branch m + j.

    Corners have two rows for each converter behind those of branches and curves.
    """

    voltage: BoundSet
    current: BoundSet
    input_a: tuple[Band, ...]
    reach: Reach


class ConverterBounds:
    """Bounds of one circuit with running converters and active curves, in one box."""

    def __init__(
        self,
        circuit: Circuit,
        converters: Sequence[ConverterBranch],
        curves: Sequence[BandedCurve],
        resistance_ohm: FloatArray,
        supply_v: Band,
    ) -> None:
        self.converters, self.curves = tuple(converters), tuple(curves)
        self.supply_v, self.resistance_ohm = supply_v, resistance_ohm
        starts, ends = circuit.starts.tolist(), circuit.ends.tolist()
        pairs = [(c.start, c.end) for c in curves]
        self.n_branches = len(starts)
        self.first_output = self.n_branches + len(curves)
        self.exact = ConverterNetwork(
            len(circuit.node_names), starts, ends, circuit.source, circuit.reference,
            pairs, converters,
        )  # fmt: skip
        self.arrays = CurveArrays(curves)
        self.shares = ConverterShares(circuit, converters, curves)
        most_v = supply_v.upper + sum(c.output_v.upper for c in converters)
        self.reach = whole_reach(curves, most_v)
        self.input_a = [Band(0.0, 0.0, self._first_guess_a(c)) for c in converters]

    def _first_guess_a(self, one: ConverterBranch) -> float:
        watts = one.rated_a * one.output_v.upper / one.efficiency.lower
        return float(2.0 * watts / max(self.supply_v.lower, LEAST_INPUT_V) + one.idle_a.upper)

    def solve(
        self, pairs: Sequence[tuple[int, int]], branches: IntArray | None
    ) -> ConverterBoundsResult:
        """Bounds of V_plus - V_minus of pairs, and of currents of branches; all by default.

        Raises SolveError where a converter's supply cannot be shown to carry it.
        """
        self._settle()
        count = self.first_output
        wanted = np.arange(count) if branches is None else branches
        probes = np.asarray(pairs, dtype=np.intp).reshape(-1, 2)
        found = self._summed(probes, wanted)
        nominal = self.nominal()
        apart = nominal.node_v[probes[:, 0], 0] - nominal.node_v[probes[:, 1], 0]
        found = replace(found, nominal=np.concatenate([apart, nominal.branch_a[wanted, 0]]))
        found = self._with_gap(found, probes, wanted)
        k = len(probes)
        return ConverterBoundsResult(
            found.take(np.arange(k)),
            found.take(np.arange(k, len(found))),
            tuple(self.input_a),
            self.reach,
        )

    def exact_at(
        self, resistance_ohm: FloatArray, supply_v: FloatArray, ends: EndArray
    ) -> NetworkSolution:
        """Solve points: resistances (branches, k), ends of curves and converters (d + 2 c, k)."""
        d = len(self.curves)
        points = converter_points(self.converters, ends[d:])
        return self.exact.solve(1.0 / resistance_ohm, supply_v, self.arrays.at(ends[:d]), points)

    def nominal(self) -> NetworkSolution:
        """Return the nominal operating point, arrays (n, 1)."""
        rows = len(self.curves) + ROWS_EACH * len(self.converters)
        return self.exact_at(
            self.resistance_ohm[1][:, None],
            np.array([self.supply_v.nominal]),
            np.zeros((rows, 1), dtype=np.int8),
        )

    def _settle(self) -> None:
        """Find a band of input currents that the bounds it leads to do not leave; narrow it."""
        is_closed = False
        for _ in range(ROUNDS):
            before, reach = self.input_a, self.reach
            after = self._input_band()
            if all(new.upper <= old.upper for new, old in zip(after, before, strict=True)):
                self.input_a = after
                still = all(
                    np.isclose(new.upper, old.upper, rtol=STILL)
                    for new, old in zip(after, before, strict=True)
                )
                if is_closed and still and self.reach.is_close_to(reach, STILL):
                    return
                is_closed = True
            elif is_closed:
                self.input_a = before
                return
            else:
                self.reach = reach
                self.input_a = [Band(0.0, 0.0, WIDEN * new.upper) for new in after]
        if not is_closed:
            raise SolveError("a converter may draw more than its supply can give")

    def _input_band(self) -> list[Band]:
        """Band of each input current from bounds that hold for the present band."""
        d, c = len(self.curves), len(self.converters)
        of_curves = np.arange(self.n_branches, self.first_output)
        ends = [(one.start, one.end) for one in self.curves]
        inputs = [(one.source, one.minus) for one in self.converters]
        outputs = np.arange(self.first_output, self.first_output + c)
        found = self._summed(
            np.array(ends + inputs, dtype=np.intp).reshape(-1, 2),
            np.concatenate([of_curves, outputs]),
        )
        low, high = np.nan_to_num(found.lower), np.nan_to_num(found.upper)
        at = d + c
        amps = slice(at, at + d)
        self.reach = self.reach.within(
            Reach(
                *magnitudes(self.curves, low[amps], high[amps]),
                *magnitudes(self.curves, low[:d], high[:d]),
            )
        )
        bands = []
        for j, one in enumerate(self.converters):
            least_v = max(float(low[d + j]), LEAST_INPUT_V)
            most_v = max(float(high[d + j]), LEAST_INPUT_V)
            most_a, least_a = max(float(high[at + d + j]), 0.0), max(float(low[at + d + j]), 0.0)
            most_w = most_a * one.output_v.upper
            least_w = least_a * max(one.output_v.lower - one.output_ohm.upper * least_a, 0.0)
            least_w = min(least_w, most_w)
            upper = most_w / (one.efficiency.lower * least_v) + one.idle_a.upper
            lower = least_w / (one.efficiency.upper * most_v) + one.idle_a.lower
            bands.append(Band(min(lower, upper), min(lower, upper), upper))
        return bands

    def _box(self) -> tuple[FloatArray, FloatArray, FloatArray]:
        low, high = secant_ohm(self.curves, self.reach)
        ohms = [c.output_ohm for c in self.converters]
        rows = self.resistance_ohm
        return (
            np.concatenate([rows[0], low, _ohms([o.lower for o in ohms])]),
            np.concatenate([rows[1], np.sqrt(low * high), _ohms([o.nominal for o in ohms])]),
            np.concatenate([rows[2], high, _ohms([o.upper for o in ohms])]),
        )

    def _summed(self, probes: IntArray, branches: IntArray) -> BoundSet:
        return self.shares.summed(self._box(), self.supply_v, self.input_a, probes, branches)

    def _with_gap(self, found: BoundSet, probes: IntArray, branches: IntArray) -> BoundSet:
        """Measure the gap against the exact solution at the corners of the largest shares."""
        low = self._reached(found.corner_lower, found.source_lower_v, probes, branches)
        high = self._reached(found.corner_upper, found.source_upper_v, probes, branches)
        gap = np.maximum(low - found.lower, found.upper - high)
        return replace(found, gap=np.maximum(np.nan_to_num(gap), 0.0))

    def _reached(
        self, ends: EndArray, supply_v: FloatArray, probes: IntArray, branches: IntArray
    ) -> FloatArray:
        m, every = self.n_branches, np.arange(ends.shape[1])
        row = ends[:m].astype(np.intp) + 1
        ohms = self.resistance_ohm[row, np.arange(m)[:, None]]
        found = self.exact_at(ohms, np.nan_to_num(supply_v), ends[m:])
        first = every[: len(probes)]
        apart = found.node_v[probes[:, 0], first] - found.node_v[probes[:, 1], first]
        return np.asarray(np.concatenate([apart, found.branch_a[branches, every[len(probes) :]]]))


def _ohms(values: list[float]) -> FloatArray:
    return np.asarray(np.maximum(np.array(values, dtype=float), LEAST_OHM))
