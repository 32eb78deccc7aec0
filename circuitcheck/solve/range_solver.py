"""How the bounds of one network in one box are solved: linear, with curves, with converters."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cached_property

import numpy as np

from circuitcheck.circuit.netlist import LOADS, ConverterBranch, Network
from circuitcheck.model.tolerance_band import Band
from circuitcheck.solve.bounds import bounds
from circuitcheck.solve.bounds.box import Box, FloatArray, IntArray
from circuitcheck.solve.converters.converter_bounds import ConverterBounds, ConverterBoundsResult
from circuitcheck.solve.converters.converter_network import ROWS_EACH
from circuitcheck.solve.converters.converter_shares import running_converters
from circuitcheck.solve.curves.active_curves import (
    ActiveCurve,
    active_curves,
    conducting_curves,
    curve_ends,
)
from circuitcheck.solve.curves.curve_bounds import CurveBoundsResult, with_curves
from circuitcheck.solve.curves.curves import Reach

Solved = bounds.BoundsResult | CurveBoundsResult | ConverterBoundsResult
NO_BRANCH = np.zeros(0, dtype=np.intp)


class RangeSolver:
    """One network in one box: which curves take part, and bounds of what is asked.

    `wider` is the solver of a box that holds this one: what cannot conduct there cannot here.
    With `at_once` all that is asked for sooner or later is worked out together. `box` may be a
    call that gives box and `wider`, made when first needed.
    """

    def __init__(
        self,
        network: Network,
        shape: bounds.Network,
        box: Box | Callable[[], tuple[Box, RangeSolver]],
        supply_v: Band,
        *,
        wider: RangeSolver | None = None,
        at_once: bool = False,
    ) -> None:
        self.network, self.shape, self.supply_v = network, shape, supply_v
        self._given_box, self._given_wider, self._at_once = box, wider, at_once
        self._reach: Reach | None = None
        self.curve_v: dict[str, float] = {}
        self._with_converters: dict[tuple[str, ...], ConverterBounds] = {}

    @cached_property
    def _box_and_wider(self) -> tuple[Box, RangeSolver | None]:
        given = self._given_box
        return (given, self._given_wider) if isinstance(given, Box) else given()

    @property
    def box(self) -> Box:
        """Resistances and temperatures of the branches."""
        return self._box_and_wider[0]

    @cached_property
    def active(self) -> tuple[ActiveCurve, ...]:
        """The curves that may conduct somewhere in the box; lamps always may.

        A suppressor fitted the right way round is reverse-biased whatever the resistances are
        and has no part in the steady state; one that is reversed is a short.
        """
        wider = self._box_and_wider[1]
        known = None if wider is None else wider.active

        def most_v(pairs: Sequence[tuple[int, int]], on: Sequence[ActiveCurve]) -> FloatArray:
            if self.converters:
                return self._converter_bounds(on).solve(pairs, NO_BRANCH).voltage.upper
            if on:
                return self._solve_with(on, pairs, NO_BRANCH, None).voltage.upper
            place = {pair: k for k, pair in enumerate(self._pairs)}
            return self._apart.voltage.upper[[place[pair] for pair in pairs]]

        return conducting_curves(self.network, self.shape, known, most_v)

    @property
    def conducting(self) -> tuple[ActiveCurve, ...]:
        """The diodes and LEDs that may conduct somewhere in the box."""
        return tuple(one for one in self.active if not one.is_lamp)

    @property
    def ends_count(self) -> int:
        """Rows of a corner: branches, active curves, and two for each running converter."""
        rows = ROWS_EACH * len(self.converters)
        return len(self.network.branches) + len(self.active) + rows

    @cached_property
    def _pairs(self) -> list[tuple[int, int]]:
        """Pairs of nodes whose voltages are worked out together: what is asked for sooner or later.

        At once: every branch and curve, and the ends of loads and bonds against either post; every
        node where there are curves, which are searched for. Else: diodes alone.
        """
        network = self.network
        pairs = [(one.curve.start, one.curve.end) for one in active_curves(network)]
        if self._at_once:
            some = [b for b in network.branches if b.role in (*LOADS, "bond")]
            nodes = sorted({node for branch in some for node in (branch.start, branch.end)})
            if network.curves or network.converters:
                nodes = list(range(len(network.node_names)))
            pairs += [(branch.start, branch.end) for branch in network.branches]
            pairs += [(node, network.reference) for node in nodes]
            pairs += [(network.source, node) for node in nodes]
        return list(dict.fromkeys(pairs))

    @cached_property
    def _linear(self) -> bounds.BoundsResult:
        """Bounds without any curve: every current, and voltages with them where all is at once."""
        return self._solve_linear(self._pairs if self._at_once else [], None)

    @cached_property
    def _apart(self) -> bounds.BoundsResult:
        """Voltages of `_pairs` without any curve: what stands across diodes before one conducts.

        Where not all is at once, without currents: of most positions nobody asks for them.
        """
        return self._linear if self._at_once else self._solve_linear(self._pairs, NO_BRANCH)

    @property
    def _is_curved(self) -> bool:
        return bool(self.active or self.converters)

    def _solve(self, pairs: Sequence[tuple[int, int]], branches: IntArray | None) -> Solved:
        if self.converters:
            return self._converter_bounds(self.active).solve(pairs, branches)
        if not self.active:
            return self._solve_linear(pairs, branches)
        found = self._solve_with(self.active, pairs, branches, self._known_reach())
        self._reach = found.reach
        return found

    @cached_property
    def converters(self) -> tuple[ConverterBranch, ...]:
        """The converters that have their supply in this position."""
        return running_converters(self.network)

    def _converter_bounds(self, curves: Sequence[ActiveCurve]) -> ConverterBounds:
        key = tuple(one.name for one in curves)
        if key not in self._with_converters:
            self._with_converters[key] = ConverterBounds(
                self.network,
                self.converters,
                [one.curve for one in curves],
                self.box.resistance_ohm,
                self.supply_v,
            )
        return self._with_converters[key]

    def _solve_linear(
        self, pairs: Sequence[tuple[int, int]], branches: IntArray | None
    ) -> bounds.BoundsResult:
        lower, nominal, upper = self.box.resistance_ohm
        return bounds.solve_bounds(
            self.shape, lower, nominal, upper, self.supply_v, list(pairs),
            current_branches=branches,
        )  # fmt: skip

    def _solve_with(
        self,
        curves: Sequence[ActiveCurve],
        pairs: Sequence[tuple[int, int]],
        branches: IntArray | None,
        reach: Reach | None,
    ) -> CurveBoundsResult:
        lower, nominal, upper = self.box.resistance_ohm
        found = with_curves(self.shape, curve_ends(curves)).solve_bounds(
            [one.curve for one in curves], lower, nominal, upper, self.supply_v, list(pairs),
            current_branches=branches, reach=reach, near_v=self._near(curves),
        )  # fmt: skip
        across = found.nominal.branch_v[len(self.network.branches) :, 0].tolist()
        self.curve_v.update(zip((one.name for one in curves), across, strict=True))
        return found

    def _near(self, curves: Sequence[ActiveCurve]) -> FloatArray | None:
        """Nominal voltages across curves as solved before, here or in the wider box."""
        wider = self._box_and_wider[1]
        known = self.curve_v or (wider.curve_v if wider is not None else {})
        if not all(one.name in known for one in curves):
            return None
        return np.array([known[one.name] for one in curves])

    def _known_reach(self) -> Reach | None:
        wider = self._box_and_wider[1]
        if self._reach is not None or wider is None or wider._reach is None:
            return self._reach
        place = {one.name: j for j, one in enumerate(wider.active)}
        return wider._reach.take([place[one.name] for one in self.active])
