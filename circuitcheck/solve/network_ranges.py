"""Certified ranges of one network over its box, and how far shared temperatures leave them open.

The box takes every resistance as its own variable, but wires in one zone share its air. Each bound
is therefore compared with what all-hot and all-cold reach at the same contacts and tolerances; the
better of the two can really happen, and the distance to it is part of the gap.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from circuitcheck.circuit.netlist import Network
from circuitcheck.model.tolerance_band import Band
from circuitcheck.solve import bounds
from circuitcheck.solve.box import Box, FloatArray
from circuitcheck.solve.corner_search import EndArray
from circuitcheck.solve.solution import Range

ROUNDING = 1e-9  # relative; a gap below it is rounding, not physics


@dataclass(frozen=True)
class Bounded:
    """A range with the corners it was found at: ends (branches,) of -1, 0, +1 and the supply."""

    range: Range
    ends_lower: EndArray
    ends_upper: EndArray
    supply_lower_v: float
    supply_upper_v: float


class NetworkRanges:
    """Ranges of one network in one box, each group worked out when first asked for."""

    def __init__(self, network: Network, shape: bounds.Network, box: Box, supply_v: Band) -> None:
        self.network, self.shape, self.box, self.supply_v = network, shape, box, supply_v
        self._between: dict[tuple[int, int], Bounded] = {}

    @cached_property
    def currents(self) -> list[Bounded]:
        """Current of each branch [A]."""
        result = self._solve([], None)
        return self._with_gap(result, result.current, is_current=True)

    @cached_property
    def across(self) -> list[Bounded]:
        """Voltage from start to end of each branch [V]."""
        pairs = [(branch.start, branch.end) for branch in self.network.branches]
        return self.between(pairs)

    @cached_property
    def nodes(self) -> list[Bounded]:
        """Voltage of each node against battery negative [V]."""
        reference = self.network.reference
        return self.between([(node, reference) for node in range(len(self.network.node_names))])

    def between(self, pairs: Sequence[tuple[int, int]]) -> list[Bounded]:
        """Voltage from the first to the second node of each pair [V]."""
        new = [pair for pair in dict.fromkeys(pairs) if pair not in self._between]
        if new:
            result = self._solve(new, [])
            found = self._with_gap(result, result.voltage, is_current=False, pairs=new)
            self._between.update(zip(new, found, strict=True))
        return [self._between[pair] for pair in pairs]

    def _solve(
        self, pairs: Sequence[tuple[int, int]], branches: Sequence[int] | None
    ) -> bounds.BoundsResult:
        lower, nominal, upper = self.box.resistance_ohm
        return bounds.solve_bounds(
            self.shape,
            lower,
            nominal,
            upper,
            self.supply_v,
            list(pairs),
            current_branches=branches,
        )

    def _with_gap(
        self,
        result: bounds.BoundsResult,
        found: bounds.BoundSet,
        *,
        is_current: bool,
        pairs: Sequence[tuple[int, int]] = (),
    ) -> list[Bounded]:
        lower_reached = self._reached(
            found.corner_lower, found.source_lower_v, is_current, pairs, result.current_branches
        )
        upper_reached = self._reached(
            found.corner_upper, found.source_upper_v, is_current, pairs, result.current_branches
        )
        out = []
        for k in range(len(found)):
            lower, upper = float(found.lower[k]), float(found.upper[k])
            nominal = min(max(float(found.nominal[k]), lower), upper)
            apart = max(
                0.0,
                float(lower_reached[:, k].min()) - lower,
                upper - float(upper_reached[:, k].max()),
            )
            size = max(abs(lower), abs(upper))
            gap = max(float(found.gap[k]), apart if apart > ROUNDING * size else 0.0)
            out.append(
                Bounded(
                    Range(lower, nominal, upper, gap, found.method[k]),
                    found.corner_lower[:, k],
                    found.corner_upper[:, k],
                    float(found.source_lower_v[k]),
                    float(found.source_upper_v[k]),
                )
            )
        return out

    def _reached(
        self,
        ends: EndArray,
        supply_v: FloatArray,
        is_current: bool,
        pairs: Sequence[tuple[int, int]],
        branches: bounds.IntArray,
    ) -> FloatArray:
        """Value of each quantity at its own corner with all air cold, then hot: (2, k)."""
        k = ends.shape[1]
        rows, every = ends.astype(np.intp) + 1, np.arange(ends.shape[0])[:, None]
        out = np.empty((2, k))
        for number, row in enumerate((0, 2)):
            temperature = self.box.temperature_c[row][:, None]
            resistance = self.box.corner(rows, every, temperature)
            solved = bounds.solve_corner(self.shape, resistance, supply_v)
            column = np.arange(k)
            if is_current:
                out[number] = solved.branch_a[branches, column]
            else:
                plus = np.array([p for p, _ in pairs], dtype=np.intp)
                minus = np.array([q for _, q in pairs], dtype=np.intp)
                out[number] = solved.node_v[plus, column] - solved.node_v[minus, column]
        return out
