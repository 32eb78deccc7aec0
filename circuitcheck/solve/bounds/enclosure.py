"""Bounds over resistances of unknown sign: a rigorous enclosure, and branch and bound on it.

Let I0 and T0 be the branch currents at R0 (driven, and for 1 A at the probe with the source
shorted). By Tellegen's theorem, exactly,

    Q(R) = Q(R0) + sum_i (R_i - R0_i) I_i(R) T0_i

The change e = I(R) - I0 runs in closed loops, where Kirchhoff's voltage law gives
sum_i R_i e_i^2 = - sum_i (R_i - R0_i) I0_i e_i, so with w_i = max (R_i - R0_i)^2 / R_i over the box

    sqrt(sum R_i e_i^2) <= E_I = sqrt(sum w_i I0_i^2),         likewise E_T for T
    |Q(R) - Q(R0) - sum_i (R_i - R0_i) I0_i T0_i| <= E_I E_T   (second order in the width)
    |I_i(R) - I0_i| <= sqrt(y_i) E_I,   y_i = 1 / (R_i + what lies across it), R at its lower ends

With R0 the geometric mean, w_i = (sqrt(upper) - sqrt(lower))^2. Q is monotone in each resistance,
so splitting sets a group to one of its two ends. A group whose I and T cannot change sign in the
sub-box is set at once. The bound is rigorous up to rounding, about 1e-12 of the value.
Source: Tellegen, Philips Res. Rep. 7 (1952); the error bounds are derived here.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from circuitcheck.record import record
from circuitcheck.solve.bounds.corner_search import EndArray, Quantities, ResistanceBox
from circuitcheck.solve.bounds.sign_certificate import Group
from circuitcheck.solve.elimination.elimination import EliminationPlan
from circuitcheck.solve.elimination.elimination_order import FloatArray

BoolArray = npt.NDArray[np.bool_]
WAVE = 256  # sub-boxes looked at together
ROUNDING = 1e-12  # of the largest current; what a sign must stand clear of
CLOSED = 1e-11  # a relative gap below this is rounding


def loop_conductance(plan: EliminationPlan, box: ResistanceBox) -> FloatArray:
    """Largest y_i of each branch over the box: the conductance around it, itself included, (m,)."""
    pairs = np.stack([plan.a, plan.b], axis=1)
    through = np.diagonal(plan.transfer(1.0 / box.lower, pairs))
    return np.asarray((np.maximum(1.0 - through, 0.0) + 1e-12) / box.lower, dtype=float)


@record
class _Fields:
    """Both current fields of k boxes at their middle, and how far they can change in the box.

    current, moved (m, k); error_i, error_t (k,); value (k,) of the quantity.
    """

    current: FloatArray
    moved: FloatArray
    error_i: FloatArray
    error_t: FloatArray
    value: FloatArray

    def is_sure(self, reach: FloatArray) -> BoolArray:
        """Branches (m, k) where neither current can change its sign; `reach` is sqrt(y)."""
        least_i = ROUNDING * np.abs(self.current).max(axis=0)
        sure_i = np.abs(self.current) > reach[:, None] * self.error_i + least_i
        sure_t = np.abs(self.moved) > reach[:, None] * self.error_t + ROUNDING
        return np.asarray(sure_i & sure_t, dtype=bool)

    def sign(self) -> EndArray:
        """Sign of I T of each branch, (m, k)."""
        return (np.sign(self.current) * np.sign(self.moved)).astype(np.int8)


def _fields(
    plan: EliminationPlan, resistance: FloatArray, weight: FloatArray, quantities: Quantities
) -> _Fields:
    conductance = 1.0 / resistance
    width = conductance.shape[1]
    factor = plan.factor(conductance)
    node_v, driven_v = factor.node_and_branch_v(np.ones(width))
    moved_v = factor.node_and_branch_v(np.zeros(width), quantities.feeds(plan.n_nodes))[1]
    current, moved = driven_v * conductance, moved_v * conductance
    return _Fields(
        current=current,
        moved=moved,
        error_i=np.sqrt((weight * current**2).sum(axis=0)),
        error_t=np.sqrt((weight * moved**2).sum(axis=0)),
        value=quantities.pick(node_v, driven_v, conductance),
    )


def settle_signs(
    plan: EliminationPlan,
    box: ResistanceBox,
    around: FloatArray,
    quantities: Quantities,
    direction: EndArray,
    groups: list[list[Group]],
) -> list[list[Group]]:
    """Drop the groups whose sign holds over the whole box; puts their `direction` right in place.

    One solution at the middle of the box serves all quantities. Returns the groups left.
    """
    k = len(quantities)
    middle = np.repeat(np.sqrt(box.lower * box.upper)[:, None], k, axis=1)
    spread = (np.sqrt(box.upper) - np.sqrt(box.lower)) ** 2
    fields = _fields(plan, middle, spread[:, None], quantities)
    sign, is_sure = fields.sign(), fields.is_sure(np.sqrt(around))
    own = np.flatnonzero(quantities.is_current)
    sign[quantities.branch[own], own] *= -1
    left: list[list[Group]] = []
    for j in range(k):
        left.append([])
        for group in groups[j]:
            sure = [i for i in group if is_sure[i, j] and direction[i, j]]
            if not sure:
                left[-1].append(group)
            elif sign[sure[0], j] != direction[sure[0], j]:
                direction[list(group), j] *= -1
    return left


@record
class Enclosure:
    """Outer bound, best value attained at a corner, and that corner; per volt of source."""

    outer: float
    attained: float
    ends: EndArray


@record
class _Look:
    """What one look at a wave of sub-boxes found."""

    limit: FloatArray
    value: FloatArray
    ends: EndArray
    is_leaf: BoolArray
    child_states: EndArray
    child_limits: FloatArray


class BranchAndBound:
    """Largest and smallest value of one quantity over the box.

    `direction` (m,): sign of its change with each resistance; right outright outside the `groups`,
    up to one common sign inside each. `around` comes from `loop_conductance`.
    """

    def __init__(
        self,
        plan: EliminationPlan,
        box: ResistanceBox,
        around: FloatArray,
        quantity: Quantities,
        direction: EndArray,
        groups: list[Group],
    ) -> None:
        self.plan, self.box, self.quantity = plan, box, quantity
        self.direction, self.groups = direction, list(groups)
        self.own = int(quantity.branch[0]) if quantity.is_current[0] else -1
        self.starts_with_own = any(self.own in group for group in groups)
        if self.starts_with_own:
            # a current's own resistance scales it: a group of its own, set before all others
            rest = [tuple(i for i in group if i != self.own) for group in groups]
            self.groups = [(self.own,), *(group for group in rest if group)]
        self.group_of = np.full(plan.n_branches, -1)
        for number, group in enumerate(self.groups):
            self.group_of[list(group)] = number
        self.reach = np.sqrt(around)
        self.spread = (np.sqrt(box.upper) - np.sqrt(box.lower)) ** 2

    def run(self, sense: int, node_limit: int) -> Enclosure:
        """Search until the gap is closed or `node_limit` sub-boxes were looked at.

        `sense` +1 for the largest value, -1 for the smallest.
        """
        states = np.zeros((1 + self.starts_with_own, len(self.groups)), dtype=np.int8)
        if self.starts_with_own:
            states[:, 0] = (-1, 1)
        limits = np.full(len(states), np.inf)
        best, best_ends, closed, looked = -np.inf, self.direction, -np.inf, 0
        while len(states) and looked < node_limit:
            order = np.argsort(-limits, kind="stable")
            now, later = order[:WAVE], order[WAVE:]
            looked += len(now)
            look = self._look(states[now], limits[now], sense)
            top = int(np.argmax(look.value))
            if look.value[top] > best:
                best, best_ends = float(look.value[top]), look.ends[:, top]
            states = np.concatenate([states[later], look.child_states])
            limits = np.concatenate([limits[later], look.child_limits])
            is_open = limits > best + CLOSED * abs(best)
            done = np.concatenate([look.limit[look.is_leaf], limits[~is_open]])
            closed = max(closed, float(done.max(initial=-np.inf)))
            states, limits = states[is_open], limits[is_open]
        outer = max(best, closed, float(limits.max(initial=-np.inf)))
        return Enclosure(sense * outer, sense * best, best_ends)

    def _look(self, states: EndArray, limits: FloatArray, sense: int) -> _Look:
        """Bound each sub-box, try its most promising corner, and split it."""
        setting = self._settings(states, sense)
        is_free = (setting == 0) & (self.group_of >= 0)[:, None]
        fields, limit = self._bound(setting, is_free, sense)
        limit = np.minimum(limit, limits)
        sign = np.where(is_free, fields.sign(), 0).astype(np.int8)
        ends = np.where(is_free, sense * self._asked(sign), setting).astype(np.int8)
        is_leaf = ~is_free.any(axis=0)
        states = self._settled(states, fields, sign, sense)
        rows = np.flatnonzero(~is_leaf)
        is_split = (states[rows] == 0).any(axis=1)
        first, second = states[rows], states[rows[is_split]]
        chosen = self._influence(fields, is_free, states)[rows[is_split]].argmax(axis=1)
        first[np.flatnonzero(is_split), chosen] = -1
        second[np.arange(len(second)), chosen] = 1
        return _Look(
            limit=limit,
            value=sense * self._values(ends),
            ends=ends,
            is_leaf=is_leaf,
            child_states=np.concatenate([first, second]),
            child_limits=np.concatenate([limit[rows], limit[rows[is_split]]]),
        )

    def _settings(self, states: EndArray, sense: int) -> EndArray:
        """End of each branch in each sub-box, 0 where it is free, (m, boxes)."""
        padded = np.concatenate([states, np.full((len(states), 1), sense, np.int8)], axis=1)
        return (padded[:, self.group_of].T * self.direction[:, None]).astype(np.int8)

    def _bound(
        self, setting: EndArray, is_free: BoolArray, sense: int
    ) -> tuple[_Fields, FloatArray]:
        lower, upper = self.box.lower[:, None], self.box.upper[:, None]
        resistance = np.where(is_free, np.sqrt(lower * upper), self.box.at(setting))
        fields = _fields(
            self.plan,
            resistance,
            self.spread[:, None] * is_free,
            self.quantity.take(np.zeros(setting.shape[1], dtype=np.intp)),
        )
        scale = np.ones(setting.shape[1]) if self.own < 0 else 1.0 / resistance[self.own]
        slope = np.where(is_free, sense * scale * fields.current * fields.moved, 0.0)
        steps = np.maximum(slope * (upper - resistance), slope * (lower - resistance))
        limit = sense * fields.value + steps.sum(axis=0) + scale * fields.error_i * fields.error_t
        return fields, np.minimum(limit, scale)  # never more than 1 V per volt of source

    def _asked(self, sign: EndArray) -> EndArray:
        """For each branch of a group the end that most of its free members ask for."""
        out = np.zeros_like(sign)
        for group in self.groups:
            rows = list(group)
            direction = self.direction[rows][:, None]
            common = np.where((sign[rows] * direction).sum(axis=0) < 0, -1, 1)
            out[rows] = common * direction
        return out

    def _values(self, ends: EndArray) -> FloatArray:
        conductance = 1.0 / self.box.at(ends)
        solution = self.plan.solve_all(conductance)
        quantity = self.quantity.take(np.zeros(conductance.shape[1], dtype=np.intp))
        return quantity.pick(solution.node_v, solution.branch_v, conductance)

    def _settled(self, states: EndArray, fields: _Fields, sign: EndArray, sense: int) -> EndArray:
        """Set the groups whose sign cannot change inside their sub-box."""
        sure = np.where(fields.is_sure(self.reach), sign * self.direction[:, None], 0)
        out = states.copy()
        for number, group in enumerate(self.groups):
            wish = sense * np.sign(sure[list(group)].sum(axis=0))
            out[:, number] = np.where(out[:, number] == 0, wish, out[:, number])
        return out

    def _influence(self, fields: _Fields, is_free: BoolArray, states: EndArray) -> FloatArray:
        """How much each open group adds to the width of the bound, (boxes, groups)."""
        weight = self.spread[:, None] * is_free
        out = np.empty(states.shape)
        for number, group in enumerate(self.groups):
            rows = list(group)
            in_i = (weight[rows] * fields.current[rows] ** 2).sum(axis=0)
            in_t = (weight[rows] * fields.moved[rows] ** 2).sum(axis=0)
            out[:, number] = in_i * fields.error_t**2 + in_t * fields.error_i**2
        return np.where(states == 0, out, -1.0)
