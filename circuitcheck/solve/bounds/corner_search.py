"""Values of probe voltages and branch currents at corners of the box of resistances.

A corner is written as a column of ends: -1 lower, +1 upper, 0 nominal, one entry per branch.
Everything here is per volt of source: a single-source network scales with it.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import numpy.typing as npt

from circuitcheck.errors import SolveError
from circuitcheck.record import record
from circuitcheck.solve.bounds.sign_certificate import SignCertificate
from circuitcheck.solve.elimination.elimination import EliminationPlan
from circuitcheck.solve.elimination.elimination_order import FloatArray, IntArray

EndArray = npt.NDArray[np.int8]
CHUNK = 1024
READABLE = 1e-11  # of 1 A fed in; a smaller branch current may have its sign from rounding
# A sensitivity of the wrong sign counts once it exceeds rounding by a wide margin.
SIGN_TOLERANCE = 1e-9
# Per volt of source or ampere fed in: smaller values in a dead-ended branch are rounding.
ROUNDING = 1e-13


@record
class ResistanceBox:
    """Lower, nominal and upper resistance of each branch, each (m,), above 0. [ohm]

    Raises ValueError where a resistance is 0, not finite or out of order.
    """

    lower: FloatArray
    nominal: FloatArray
    upper: FloatArray

    def __post_init__(self) -> None:
        if not self.lower.shape == self.nominal.shape == self.upper.shape:
            raise ValueError("lower, nominal and upper resistances differ in number")
        is_wrong = ~(
            (self.lower > 0.0)
            & (self.lower <= self.nominal)
            & (self.nominal <= self.upper)
            & np.isfinite(self.upper)
        )
        if is_wrong.any():
            i = int(np.flatnonzero(is_wrong)[0])
            raise ValueError(
                f"branch {i}: resistances {self.lower[i]}, {self.nominal[i]}, {self.upper[i]} ohm "
                "must be above 0, finite and in order"
            )

    def at(self, ends: EndArray) -> FloatArray:
        """Resistances (m, k) at corners (m, k)."""
        tail = (slice(None),) + (None,) * (ends.ndim - 1)
        lower, nominal, upper = self.lower[tail], self.nominal[tail], self.upper[tail]
        return np.where(ends > 0, upper, np.where(ends < 0, lower, nominal))


@record
class Quantities:
    """k quantities: V_plus - V_minus, or where `is_current` the current of `branch`.

    `branch` is also set (else -1) where plus and minus are the ends of one branch, whose voltage
    then keeps its digits; `flip` is -1 where that branch counts from minus to plus.
    """

    plus: IntArray
    minus: IntArray
    branch: IntArray
    flip: FloatArray
    is_current: npt.NDArray[np.bool_]

    def __len__(self) -> int:
        return int(self.plus.size)

    def take(self, index: npt.ArrayLike) -> Quantities:
        """Return the quantities numbered in `index`, in that order."""
        i = np.asarray(index, dtype=np.intp)
        return Quantities(
            self.plus[i], self.minus[i], self.branch[i], self.flip[i], self.is_current[i]
        )

    def pick(self, node_v: FloatArray, branch_v: FloatArray, conductance: FloatArray) -> FloatArray:
        """Value of quantity j from column j of node voltages, branch voltages, conductances.

        Of one column, every quantity is taken.
        """
        column = (
            np.arange(len(self)) if node_v.shape[1] != 1 else np.zeros(len(self), dtype=np.intp)
        )
        on_branch = self.branch >= 0
        at = np.where(on_branch, self.branch, 0)
        across = self.flip * branch_v[at, column] if branch_v.size else np.zeros(len(self))
        apart = node_v[self.plus, column] - node_v[self.minus, column]
        volts = np.where(on_branch, across, apart)
        if not self.is_current.any():
            return volts
        return np.where(self.is_current, volts * conductance[at, column], volts)

    def feeds(self, n_nodes: int) -> FloatArray:
        """1 A into plus and out of minus of each quantity, (n, k)."""
        feed = np.zeros((n_nodes, len(self)))
        column = np.arange(len(self))
        feed[self.plus, column] += 1.0
        feed[self.minus, column] -= 1.0
        return feed


def make_quantities(plan: EliminationPlan, probes: IntArray, branches: IntArray) -> Quantities:
    """Voltages of the probes (p, 2), then currents of the numbered branches."""
    on_pair: dict[tuple[int, int], tuple[int, float]] = {}
    ends = zip(plan.a.tolist(), plan.b.tolist(), strict=True) if len(probes) else ()
    for i, (u, v) in enumerate(ends):
        on_pair.setdefault((v, u), (i, -1.0))
        on_pair.setdefault((u, v), (i, 1.0))
    found = [on_pair.get((p, q), (-1, 1.0)) for p, q in probes.tolist()]
    return Quantities(
        plus=np.concatenate([probes[:, 0], plan.a[branches]]),
        minus=np.concatenate([probes[:, 1], plan.b[branches]]),
        branch=np.concatenate([np.array([i for i, _ in found], dtype=np.intp), branches]),
        flip=np.array([sign for _, sign in found] + [1.0] * len(branches)),
        is_current=np.arange(len(probes) + len(branches)) >= len(probes),
    )


def corner_values(
    plan: EliminationPlan, box: ResistanceBox, ends: EndArray, quantities: Quantities
) -> tuple[FloatArray, FloatArray]:
    """Value of quantity j at corner j, (k,), and all branch currents, then node voltages there.

    The latter (m + n, k). All per volt of source.
    """
    values = np.empty(len(quantities))
    fields = np.empty((len(ends) + plan.n_nodes, len(quantities)))
    for start in range(0, len(quantities), CHUNK):
        part = slice(start, start + CHUNK)
        chosen = quantities.take(np.arange(len(quantities))[part])
        conductance = 1.0 / box.at(ends[:, part])
        solution = plan.solve_all(conductance)
        values[part] = chosen.pick(solution.node_v, solution.branch_v, conductance)
        fields[: len(ends), part], fields[len(ends) :, part] = solution.branch_a, solution.node_v
    return values, fields


def directions(
    plan: EliminationPlan,
    certificate: SignCertificate,
    near_ohm: FloatArray,
    quantities: Quantities,
) -> tuple[EndArray, npt.NDArray[np.bool_]]:
    """Sign of the change of each quantity with each resistance, (m, k), and where by `near_ohm`.

    Certain signs are the same for all resistances, so they are read where no current is small:
    at balanced resistances. Where one is lost in rounding even there, `near_ohm` (m,) decides;
    the second array (k,) tells which quantities that concerns.
    """
    current, moved = _fields(plan, np.array(certificate.balanced_ohm), quantities)
    is_lost = np.abs(moved) < READABLE
    if not certificate.driven.is_series_parallel:
        is_lost |= (np.abs(current) < READABLE * np.abs(current).max(initial=0.0))[:, None]
    found = np.sign(moved) * np.sign(current)[:, None]
    found[~_influencing(plan, certificate, quantities)] = 0.0  # rounding, not influence
    is_lost &= found != 0.0
    is_by_near = np.asarray(is_lost.any(axis=0))
    if is_by_near.any():
        near_current, near_moved = _fields(plan, near_ohm, quantities)
        found = np.where(is_lost, np.sign(near_moved) * np.sign(near_current)[:, None], found)
    out: EndArray = found.astype(np.int8)
    own = np.flatnonzero(quantities.is_current)
    branch = quantities.branch[own]
    out[branch, own] = -np.sign(current[branch])  # more resistance, less current through it
    return out, is_by_near


def _influencing(
    plan: EliminationPlan, certificate: SignCertificate, quantities: Quantities
) -> npt.NDArray[np.bool_]:
    """Whether a quantity can depend on a resistance at all, by structure, (m, k)."""
    out = np.zeros((plan.n_branches, len(quantities)), dtype=bool)
    pairs = zip(quantities.plus.tolist(), quantities.minus.tolist(), strict=True)
    for j, pair in enumerate(pairs):
        out[list(certificate.influencing(*pair)), j] = True
    return out


def _fields(
    plan: EliminationPlan, ohms: FloatArray, quantities: Quantities
) -> tuple[FloatArray, FloatArray]:
    """Branch currents (m,) of the driven network, and (m, k) for 1 A at each quantity's probe."""
    pairs = np.stack([quantities.plus, quantities.minus], axis=1)
    return plan.solve_all(1.0 / ohms).branch_a, plan.transfer(1.0 / ohms, pairs)


def check_signs(
    plan: EliminationPlan, box: ResistanceBox, ends: EndArray, quantities: Quantities
) -> None:
    """Recompute the signs of voltages at upper corners chosen from certain signs.

    Raises SolveError where a resistance stands at the wrong end: the certificate would be broken.
    """
    is_wide = (box.upper > box.lower)[:, None]
    for start in range(0, len(quantities), CHUNK):
        part = slice(start, start + CHUNK)
        chosen = quantities.take(np.arange(len(quantities))[part])
        conductance = 1.0 / box.at(ends[:, part])
        width = conductance.shape[1]
        factor = plan.factor(conductance)
        driven = factor.node_and_branch_v(np.ones(width))[1]
        moved = factor.node_and_branch_v(np.zeros(width), chosen.feeds(plan.n_nodes))[1]
        change = np.nan_to_num(driven * moved * conductance)  # I_i T_i R_i
        own = np.flatnonzero(chosen.is_current)
        change[chosen.branch[own], own] = 0.0
        limit = SIGN_TOLERANCE * np.abs(change).sum(axis=0) + ROUNDING
        is_wrong = is_wide & (change * ends[:, part] < -limit)
        if is_wrong.any():
            i, j = (int(k[0]) for k in np.nonzero(is_wrong))
            raise SolveError(
                f"branch {i} stands at the wrong end for the voltage between nodes "
                f"{int(chosen.plus[j])} and {int(chosen.minus[j])}: the sign certificate is broken"
            )


def group_corners(direction: EndArray, groups: list[tuple[int, ...]]) -> EndArray:
    """All corners (m, 2 * 2**k) of k groups: certain branches at +direction, then at -direction."""
    k = len(groups)
    settings = 1 - 2 * ((np.arange(2**k)[None, :] >> np.arange(k)[:, None]) & 1)
    one = np.repeat(direction[:, None], 2**k, axis=1)
    for number, group in enumerate(groups):
        one[list(group)] *= settings[number].astype(np.int8)
    other = -one
    return np.concatenate([one, other], axis=1).astype(np.int8)


def in_lots(sizes: list[int], limit: int) -> Iterator[list[int]]:
    """Numbers 0.. in lots whose sizes add up to about `limit`."""
    lot: list[int] = []
    total = 0
    for number, size in enumerate(sizes):
        if lot and total + size > limit:
            yield lot
            lot, total = [], 0
        lot.append(number)
        total += size
    if lot:
        yield lot
