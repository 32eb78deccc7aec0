"""One point of a network's box: nominal, all values at one end, or the corner of a bound."""

from __future__ import annotations

import numpy as np

from circuitcheck.record import record
from circuitcheck.solve.bounds.bounded import Bounded
from circuitcheck.solve.bounds.box import FloatArray
from circuitcheck.solve.bounds.corner_search import EndArray
from circuitcheck.solve.converters.converter_network import ROWS_EACH, converter_points
from circuitcheck.solve.elimination.elimination import NetworkSolution
from circuitcheck.solve.position_solution import PositionSolution

NOMINAL, ALL_LOWER, ALL_UPPER = "nominal", "lower", "upper"
CONDITIONS = (NOMINAL, ALL_LOWER, ALL_UPPER)


@record
class CircuitPoint:
    """Ends of the branches, then of the active curves, -1, 0 or +1; and the supply there [V].

    `fields` are branch currents, then node voltages as found with a bound, if kept.
    """

    solved: PositionSolution
    words: str
    ends: EndArray
    supply_v: float
    fields: FloatArray | None = None

    @property
    def resistance_ohm(self) -> FloatArray:
        """Resistance of each branch, (branches,). [ohm]"""
        box = self.solved.ranges.box.resistance_ohm
        every = np.arange(box.shape[1])
        return np.asarray(box[self.ends[: every.size].astype(np.intp) + 1, every])

    def end_of_curve(self, name: str) -> int:
        """Return at which end a curve stands; 0 for one that never conducts."""
        first = len(self.solved.network.branches)
        for number, one in enumerate(self.solved.ranges.active, start=first):
            if one.name == name:
                return int(self.ends[number])
        return 0

    def converter_output(self, name: str) -> tuple[float, float]:
        """Return output voltage [V] and output resistance [ohm] of a running converter."""
        ranges = self.solved.ranges
        first = len(self.solved.network.branches) + len(ranges.active)
        number = [one.name for one in ranges.converters].index(name)
        rows = self.ends[first + ROWS_EACH * number :][:ROWS_EACH, None]
        points = converter_points([ranges.converters[number]], rows)
        return float(points.output_v[0, 0]), float(points.output_ohm[0, 0])

    def solution(self) -> NetworkSolution:
        """Return node and branch voltages and currents there, arrays (n, 1)."""
        network, ranges = self.solved.network, self.solved.ranges
        first = len(network.branches)
        last = first + len(ranges.active)
        kept = self.fields
        if kept is None or np.isnan(kept[:last]).any():
            return ranges.solve_corner(self.ends[:, None], np.array([self.supply_v]))
        amps, node_v = kept[:last, None], kept[last:, None]
        across = [node_v[one.curve.start] - node_v[one.curve.end] for one in ranges.active]
        linear = amps[:first] * self.resistance_ohm[:, None]
        return NetworkSolution(
            node_v, np.concatenate([linear, *([across] if across else [])]), amps
        )


def chosen_point(solved: PositionSolution, condition: str) -> CircuitPoint:
    """Return the point of one of CONDITIONS.

    `lower` is every resistance and the supply at its lower end, every lamp and diode where it
    conducts best; `upper` the other way round. Raises ValueError for another word.
    """
    side = {NOMINAL: 0, ALL_LOWER: -1, ALL_UPPER: 1}.get(condition)
    if side is None:
        raise ValueError(f"condition {condition!r} is none of {', '.join(CONDITIONS)}")
    count = solved.ranges.ends_count
    supply = (solved.supply_v.lower, solved.supply_v.nominal, solved.supply_v.upper)[side + 1]
    words = "nominal values" if not side else f"all values at their {condition} end"
    return CircuitPoint(solved, words, np.full(count, side, dtype=np.int8), supply)


def point_of_bound(solved: PositionSolution, bounded: Bounded, side: str) -> CircuitPoint:
    """Return the corner at which the `lower` or `upper` end of a quantity was found."""
    is_lower = side == "lower"
    ends = bounded.ends_lower if is_lower else bounded.ends_upper
    supply = bounded.supply_lower_v if is_lower else bounded.supply_upper_v
    fields = bounded.fields_lower if is_lower else bounded.fields_upper
    words = f"where the {side} end of a quantity was found"
    return CircuitPoint(solved, words, ends, supply, fields)
