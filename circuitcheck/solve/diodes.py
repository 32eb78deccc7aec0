"""Operating points of networks with junction diodes: the exact curve, and straight-line bands.

    junction:       i = Is (exp((v - Rs i) / (N Vt)) - 1) + gmin (v - Rs i),   Vt = k T / q
    straight line:  i = 0 while v <= E;   i = (v - E) / r above,  plus gmin v throughout

The exact curve is solved by Newton's method with the step limit of circuit simulators, each step a
linear network of companion conductances and currents solved by `elimination.py` for the whole
batch. The straight-line model is solved exactly by switching states; its solution is unique.
Source: W. Shockley, Bell Syst. Tech. J. 28 (1949); companion models and step limit: L. W. Nagel,
SPICE2, ERL Memo M520 (1975); states: K. G. Murty, Opsearch 11 (1974), least-index rule.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from circuitcheck.errors import SolveError
from circuitcheck.model.tolerance_band import Band
from circuitcheck.solve.elimination import EliminationPlan, NetworkSolution
from circuitcheck.solve.elimination_order import FloatArray
from circuitcheck.solve.elimination_shape import PortPlan, chunks

BOLTZMANN_J_PER_K = 1.380649e-23  # SI 2019, exact
ELEMENTARY_CHARGE_C = 1.602176634e-19  # SI 2019, exact
ZERO_CELSIUS_K = 273.15
LEAK_S = 1e-12  # across every diode, as circuit simulators do; keeps nodes from floating
MOST_STEPS = 200
CLOSE = 1e-6  # last Newton step in units of N Vt; the error left is about its square


@dataclass(frozen=True)
class Junction:
    """A junction diode: saturation current, emission, series resistance, temperature."""

    anode: int
    cathode: int
    saturation_a: float
    emission: float = 1.0
    series_ohm: float = 0.0
    temperature_c: float = 27.0

    def __post_init__(self) -> None:
        if not (self.saturation_a > 0.0 and self.emission > 0.0 and self.series_ohm >= 0.0):
            raise ValueError(f"diode parameters {self} must be above 0")

    @property
    def scale_v(self) -> float:
        """N Vt, about 26 mV per emission coefficient of 1 at room temperature. [V]"""
        kelvin = self.temperature_c + ZERO_CELSIUS_K
        return self.emission * BOLTZMANN_J_PER_K * kelvin / ELEMENTARY_CHARGE_C

    def drop_v(self, current_a: float) -> float:
        """Forward voltage at a forward current. [V]"""
        drop = self.scale_v * float(np.log1p(current_a / self.saturation_a))
        return drop + self.series_ohm * current_a


@dataclass(frozen=True)
class StraightDiode:
    """A diode as a band of straight lines: open below `drop_v`, then `slope_ohm` per ampere."""

    anode: int
    cathode: int
    drop_v: Band
    slope_ohm: Band

    def __post_init__(self) -> None:
        if self.drop_v.lower < 0.0 or self.slope_ohm.lower <= 0.0:
            raise ValueError(f"drop {self.drop_v} below 0 V, or slope {self.slope_ohm} not above 0")


def straight_band(junction: Junction, least_a: float, most_a: float) -> StraightDiode:
    """Straight lines that enclose a junction's curve from `least_a` to `most_a`.

    The curve is concave: the chord lies below it, the parallel tangent above. Below `least_a` the
    true drop is lower than the band says. Raises ValueError unless 0 < least_a < most_a.
    """
    if not 0.0 < least_a < most_a:
        raise ValueError(f"currents {least_a}, {most_a} A must rise from above 0")
    slope = (junction.drop_v(most_a) - junction.drop_v(least_a)) / (most_a - least_a)
    chord = junction.drop_v(least_a) - slope * least_a
    touching_a = junction.scale_v / (slope - junction.series_ohm) - junction.saturation_a
    tangent = junction.drop_v(touching_a) - slope * touching_a
    drop = Band(chord, 0.5 * (chord + tangent), tangent)
    return StraightDiode(junction.anode, junction.cathode, drop, Band.exact(slope))


class DiodeNetwork:
    """Compiled network of m resistive branches and d diodes; diode j is branch m + j.

    The resistances are eliminated once, down to the nodes that diodes hang on; the search for the
    diodes' operating points runs in what is left.
    """

    def __init__(
        self,
        n_nodes: int,
        a: npt.ArrayLike,
        b: npt.ArrayLike,
        source: int,
        reference: int,
        diode_ends: list[tuple[int, int]],
    ) -> None:
        ends = np.asarray(diode_ends, dtype=np.intp).reshape(-1, 2)
        self.n_diodes = len(ends)
        ports = tuple(dict.fromkeys([source, reference, *ends.ravel().tolist()]))
        self.ports = PortPlan(n_nodes, a, b, ports)
        self.n_resistors = self.ports.n_branches
        place = {node: k for k, node in enumerate(self.ports.kept)}
        self.anode = np.array([place[k] for k in ends[:, 0].tolist()], dtype=np.intp)
        self.cathode = np.array([place[k] for k in ends[:, 1].tolist()], dtype=np.intp)
        self.inner = EliminationPlan(
            len(self.ports.kept),
            np.concatenate([self.ports.mesh_a, self.anode]),
            np.concatenate([self.ports.mesh_b, self.cathode]),
            (0, 1),
        )

    def solve_junctions(
        self,
        conductance: npt.ArrayLike,
        source_v: npt.ArrayLike,
        diodes: list[Junction],
        start: NetworkSolution | None = None,
    ) -> NetworkSolution:
        """Exact operating points for conductances (m, batch) and sources (batch,).

        `start` is a solution near by, from which the search then sets out.
        Raises SolveError when Newton's method has not settled after `MOST_STEPS` steps.
        """
        model = _JunctionArrays(diodes)
        g = self.ports.checked(conductance)
        inner_v = np.zeros((self.n_diodes, g.shape[1]))
        if start is not None:
            first = self.n_resistors
            inner_v = start.branch_v[first:] - model.series * start.branch_a[first:]
        return self._in_chunks(
            g, source_v, lambda points, part: points.at_junctions(model, inner_v[:, part])
        )

    def solve_straight(
        self,
        conductance: npt.ArrayLike,
        source_v: npt.ArrayLike,
        drop_v: FloatArray,
        slope_ohm: FloatArray,
    ) -> NetworkSolution:
        """Exact solution with straight-line diodes, drop and slope (d, batch).

        Raises SolveError when no consistent set of states is found.
        """
        g = self.ports.checked(conductance)
        shape = (self.n_diodes, g.shape[1])
        drop, slope = np.broadcast_to(drop_v, shape), np.broadcast_to(slope_ohm, shape)
        return self._in_chunks(
            g,
            source_v,
            lambda points, part: points.at_straight_lines(drop[:, part], slope[:, part]),
        )

    def _in_chunks(
        self,
        conductance: FloatArray,
        source_v: npt.ArrayLike,
        find: Callable[[_Points, slice], NetworkSolution],
    ) -> NetworkSolution:
        width = conductance.shape[1]
        volts = np.broadcast_to(np.asarray(source_v, dtype=float), (width,))
        found = [
            find(_Points(self, conductance[:, part], volts[part]), part) for part in chunks(width)
        ]
        return NetworkSolution(
            np.concatenate([one.node_v for one in found], axis=1),
            np.concatenate([one.branch_v for one in found], axis=1),
            np.concatenate([one.branch_a for one in found], axis=1),
        )


class _Points:
    """Some operating points of a diode network, eliminated down to its ports."""

    def __init__(self, network: DiodeNetwork, conductance: FloatArray, volts: FloatArray) -> None:
        self.network, self.conductance, self.volts = network, conductance, volts
        self.factor = network.ports.factor(conductance)
        self.mesh = network.ports.mesh(self.factor)

    def at_junctions(self, model: _JunctionArrays, start_v: FloatArray) -> NetworkSolution:
        """Newton's method on the junction voltages."""
        inner_v = start_v.copy()
        todo = np.arange(self.volts.size)
        for _ in range(MOST_STEPS):
            u = inner_v[:, todo]
            found = self._inner(todo, *model.companion(u))
            across, amps = self._diodes(found)
            stepped = model.limited(across - model.series * amps, u)
            inner_v[:, todo] = stepped
            todo = todo[(np.abs(stepped - u) > CLOSE * model.scale).any(axis=0)]
            if not todo.size:
                return self._spread(*model.companion(inner_v))
        raise SolveError(f"diode currents did not settle in {MOST_STEPS} steps")

    def at_straight_lines(self, drop: FloatArray, slope: FloatArray) -> NetworkSolution:
        """Switch the states of diodes until they agree with their voltages."""
        is_on = np.zeros(drop.shape, dtype=bool)  # so that a diode no current reaches stays open
        todo = np.arange(self.volts.size)
        for step in range(MOST_STEPS):
            states, limit = is_on[:, todo], drop[:, todo]
            found = self._inner(todo, *_lines(limit, slope[:, todo], states))
            across, _ = self._diodes(found)
            is_wrong = states != (across > limit)
            is_wrong &= np.abs(across - limit) > 1e-13 * np.maximum(1.0, self.volts[todo])
            if step >= 20:  # one at a time, lowest number first, cannot go round in circles
                is_wrong &= is_wrong.cumsum(axis=0) == 1
            is_on[:, todo] ^= is_wrong
            todo = todo[is_wrong.any(axis=0)]
            if not todo.size:
                return self._spread(*_lines(drop, slope, is_on))
        raise SolveError(f"diode states did not settle in {MOST_STEPS} steps")

    def _inner(
        self, which: npt.NDArray[np.intp], slope: FloatArray, offset: FloatArray
    ) -> NetworkSolution:
        """Solve what is left with every diode i = slope v + offset, both (d, k)."""
        network = self.network
        feed = np.zeros((network.inner.n_nodes, which.size))
        for j in range(network.n_diodes):
            feed[network.anode[j]] -= offset[j]
            feed[network.cathode[j]] += offset[j]
        mesh = self.mesh if which.size == self.volts.size else self.mesh[:, which]
        found = network.inner.solve_all(np.concatenate([mesh, slope]), self.volts[which], feed)
        found.branch_a[len(mesh) :] += offset
        return found

    def _diodes(self, found: NetworkSolution) -> tuple[FloatArray, FloatArray]:
        return found.branch_v[len(self.mesh) :], found.branch_a[len(self.mesh) :]

    def _spread(self, slope: FloatArray, offset: FloatArray) -> NetworkSolution:
        """Solve once more and carry the ports' voltages back to all nodes and branches."""
        found = self._inner(np.arange(self.volts.size), slope, offset)
        across, amps = self._diodes(found)
        node_v, branch_v = self.network.ports.spread(
            self.factor, found.node_v, found.branch_v[: len(self.mesh)]
        )
        branch_a = np.where(self.conductance == 0.0, 0.0, branch_v * self.conductance)
        return NetworkSolution(
            node_v, np.concatenate([branch_v, across]), np.concatenate([branch_a, amps])
        )


def _lines(
    drop: FloatArray, slope: FloatArray, is_on: npt.NDArray[np.bool_]
) -> tuple[FloatArray, FloatArray]:
    return np.where(is_on, 1.0 / slope + LEAK_S, LEAK_S), np.where(is_on, -drop / slope, 0.0)


class _JunctionArrays:
    """Parameters of d junctions as columns (d, 1)."""

    def __init__(self, diodes: list[Junction]) -> None:
        self.scale = np.array([[d.scale_v] for d in diodes]).reshape(-1, 1)
        self.saturation = np.array([[d.saturation_a] for d in diodes]).reshape(-1, 1)
        self.series = np.array([[d.series_ohm] for d in diodes]).reshape(-1, 1)
        self.critical = self.scale * np.log(self.scale / (np.sqrt(2.0) * self.saturation))

    def companion(self, inner_v: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Tangent i = slope v + offset of the curve at junction voltage `inner_v`."""
        grown = np.exp(inner_v / self.scale)
        slope = self.saturation / self.scale * grown + LEAK_S
        current = self.saturation * (grown - 1.0) + LEAK_S * inner_v
        share = 1.0 / (1.0 + slope * self.series)
        return slope * share, (current - slope * inner_v) * share

    def limited(self, new: FloatArray, old: FloatArray) -> FloatArray:
        """Shorten steps up the exponential to the change of current they were meant to make."""
        is_long = (new > self.critical) & (np.abs(new - old) > 2.0 * self.scale)
        grown = 1.0 + (new - old) / self.scale
        from_low = self.scale * np.log(np.maximum(new, self.scale) / self.scale)
        from_on = np.where(
            grown > 0.0, old + self.scale * np.log(np.maximum(grown, 1e-300)), self.critical
        )
        return np.where(is_long, np.where(old > 0.0, from_on, from_low), new)
