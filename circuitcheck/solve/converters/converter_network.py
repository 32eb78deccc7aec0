"""Operating points of networks with converters: a second source, and a load that feeds it.

    output:  v_out = V0 - R0 i_out
    input:   i_in = v_out i_out / (eta v_in) + i_idle

The input is a load of constant power: less voltage, more current. Its current is found by turns:
each turn solves the network with the input as a fixed current. A turn changes what the next one
finds by about the share of input voltage lost on the way, so the turns close in fast.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from circuitcheck.circuit.netlist import ConverterBranch
from circuitcheck.errors import SolveError
from circuitcheck.record import record
from circuitcheck.solve.bounds.box import LEAST_OHM
from circuitcheck.solve.bounds.corner_search import EndArray
from circuitcheck.solve.curves.curve_arrays import CurvePoints
from circuitcheck.solve.curves.curve_network import CurveNetwork
from circuitcheck.solve.elimination.elimination import NetworkSolution
from circuitcheck.solve.elimination.elimination_order import FloatArray

MOST_TURNS = 60
SETTLED = 1e-12  # relative change of the input currents
LEAST_INPUT_V = 1.0
"""Below this a converter has long given up; it keeps the search away from 0 V."""
ROWS_EACH = 2
"""Ends of a converter in a corner: its output voltage, its output resistance."""


@record
class ConverterPoints:
    """c converters at their chosen ends, each (c, points) or (c, 1)."""

    output_v: FloatArray
    output_ohm: FloatArray
    efficiency: FloatArray
    idle_a: FloatArray


def converter_points(converters: Sequence[ConverterBranch], ends: EndArray) -> ConverterPoints:
    """Return converters at ends (2 c, points): voltage and resistance of each, all else nominal."""
    row = ends.astype(np.intp) + 1
    volts = np.array([_ends(c.output_v) for c in converters])
    ohms = np.maximum(np.array([_ends(c.output_ohm) for c in converters]), LEAST_OHM)
    return ConverterPoints(
        np.take_along_axis(volts, row[::ROWS_EACH], axis=1),
        np.take_along_axis(ohms, row[1::ROWS_EACH], axis=1),
        np.array([[c.efficiency.nominal] for c in converters]),
        np.array([[c.idle_a.nominal] for c in converters]),
    )


class ConverterNetwork:
    """Compiled network of m branches, c converter outputs and d curves, numbered in this order."""

    def __init__(
        self,
        n_nodes: int,
        a: npt.ArrayLike,
        b: npt.ArrayLike,
        source: int,
        reference: int,
        curve_ends: Sequence[tuple[int, int]],
        converters: Sequence[ConverterBranch],
    ) -> None:
        self.n_nodes, self.converters = n_nodes, tuple(converters)
        self.n_resistors = len(np.asarray(a).reshape(-1))
        self.output = np.array([c.output for c in converters], dtype=np.intp)
        self.minus = np.array([c.minus for c in converters], dtype=np.intp)
        self.input = np.array([c.source for c in converters], dtype=np.intp)
        fed = [node for c in converters for node in (c.source, c.output, c.minus)]
        self.curved = CurveNetwork(
            n_nodes,
            np.concatenate([np.asarray(a, dtype=np.intp), self.minus]),
            np.concatenate([np.asarray(b, dtype=np.intp), self.output]),
            source,
            reference,
            curve_ends,
            fed,
        )

    def solve(
        self,
        conductance: npt.ArrayLike,
        source_v: npt.ArrayLike,
        curves: CurvePoints,
        points: ConverterPoints,
    ) -> NetworkSolution:
        """Operating points; branches are the m resistances, then the d curves.

        Raises SolveError where an input does not settle: its supply cannot give the power.
        """
        g = np.asarray(conductance, dtype=float).reshape(self.n_resistors, -1)
        width = g.shape[1]
        inner_s = np.broadcast_to(1.0 / points.output_ohm, (len(self.converters), width))
        driven_a = np.broadcast_to(points.output_v * inner_s, inner_s.shape)
        everything = np.concatenate([g, inner_s])
        taken_a = np.zeros_like(inner_s)
        for _ in range(MOST_TURNS):
            fed = self._fed(driven_a, taken_a)
            found = self.curved.solve(everything, source_v, curves, fed_a=fed)
            new = self._taken(found, points, driven_a)
            change = np.abs(new - taken_a)
            if (change <= SETTLED * np.maximum(np.abs(new), 1e-3)).all():
                break
            taken_a = new
        else:
            raise SolveError("the input of a converter does not settle: its supply is too weak")
        if (found.node_v[self.input] - found.node_v[self.minus] <= LEAST_INPUT_V).any():
            raise SolveError("a converter's supply breaks down under it: its feed is too weak")
        return self._without_outputs(found)

    def _fed(self, driven_a: FloatArray, taken_a: FloatArray) -> FloatArray:
        feed = np.zeros((self.n_nodes, driven_a.shape[1]))
        for j in range(len(self.converters)):
            feed[self.output[j]] += driven_a[j]
            feed[self.minus[j]] += taken_a[j] - driven_a[j]
            feed[self.input[j]] -= taken_a[j]
        return feed

    def _taken(
        self, found: NetworkSolution, points: ConverterPoints, driven_a: FloatArray
    ) -> FloatArray:
        node_v = np.nan_to_num(found.node_v)
        own = found.branch_a[self.n_resistors : self.n_resistors + len(self.converters)]
        output_a = np.maximum(driven_a + np.nan_to_num(own), 0.0)
        output_v = node_v[self.output] - node_v[self.minus]
        input_v = np.maximum(node_v[self.input] - node_v[self.minus], LEAST_INPUT_V)
        return np.asarray(output_v * output_a / (points.efficiency * input_v) + points.idle_a)

    def _without_outputs(self, found: NetworkSolution) -> NetworkSolution:
        first, last = self.n_resistors, self.n_resistors + len(self.converters)
        return NetworkSolution(
            found.node_v,
            np.concatenate([found.branch_v[:first], found.branch_v[last:]]),
            np.concatenate([found.branch_a[:first], found.branch_a[last:]]),
        )


def _ends(band: object) -> tuple[float, float, float]:
    lower, nominal, upper = (getattr(band, end) for end in ("lower", "nominal", "upper"))
    return float(lower), float(nominal), float(upper)
