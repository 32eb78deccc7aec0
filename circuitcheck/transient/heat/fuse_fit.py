"""Fuses as chains of first-order terms: all of those whose opening times meet a band.

    heat(t) = sum a_k (1 - exp(-t / tau_k)) (I / I_n)^2, open at heat 1        a_k >= 0

A Foster network: I_n what the fuse is worth in its air, tau_k on a grid. It opens at percent p in
the time t where sum a_k (1 - exp(-t / tau_k)) = (100 / p)^2. The points of a band say what that
sum is at most (it does not open earlier than `min_s`) or at least (it opens no later than
`max_s`), so for any current over time the earliest and the latest of all such fuses is a linear
programme in the a_k, solved to its end: no single fit stands between.

    fast   most heat: at most (100 / p)^2 at each listed point
    slow   least heat: at least (100 / p)^2 along straight lines in logarithms between the points

Where one fuse cannot meet two listed points at once (more I2t at the higher current), the edge is
that of the fuses that meet both: at one of them the fast edge is then later, the slow edge earlier
than listed. Judge a steady current by the list itself (`fuse_opening`, `fuse_clearing`).

Foster networks fitted to one time-current curve: Seidenath and Maerz, Electricity 6(3):47 (2025),
within 15 % of it. Above the last point both edges go on with constant I2t. The element's own
resistance is taken as constant: its rise is in the listed times already, less so between presses.
No open measured data of blade fuses were found: checked against listed points, not measured.
"""

from __future__ import annotations

import math
from functools import cached_property, lru_cache
from itertools import pairwise

import numpy as np

from circuitcheck.model.library import FuseOpeningBand
from circuitcheck.record import record
from circuitcheck.transient.heat.packing import largest_sum
from circuitcheck.transient.waveform import FloatArray

FAST = "fast edge"
SLOW = "slow edge"
EDGES = (FAST, SLOW)
TIME_CONSTANTS_S: FloatArray = np.geomspace(1e-3, 3600.0, 120)
"""A fuse in its holder: from its element to its surroundings. Common practice, no source."""
OPEN = 1.0 + 1e-9
"""Heat from which a fuse counts as open: at exactly 1 rounding would decide."""
BETWEEN = 5
BEYOND = 3
"""Points put between two listed ones, and tenfold shorter times beyond the last."""


@record
class Network:
    """One fuse out of all: time constants [s] of its terms and their share of opening heat."""

    time_constants_s: tuple[float, ...]
    shares: tuple[float, ...]


@record
class Heat:
    """Heat of a fuse as a share of what opens it, the fuse that has it, and a bound on others.

    `held` is what each term of that fuse holds of (I / I_n)^2: share is the sum of network shares
    times held.
    `bound` (k,) and `scale` say for any other state how much heat it can have: see `at_most`.
    """

    share: float
    network: Network
    held: tuple[float, ...]
    edge: str
    bound: FloatArray
    scale: float

    def at_most(self, states: FloatArray) -> FloatArray:
        """Return a heat that no fuse of this edge surely tops in each state, (n, k) to (n,).

        fast: prices y with y S >= w give b y max_k (x_k / (y S)_k); slow: these shares are one of
        the fuses, and the least heat is no more than theirs.
        """
        if self.edge == FAST and self.scale <= 0.0:
            return np.full(len(states), np.inf)  # no heat in this state: it bounds nothing
        if self.edge == FAST:
            ratios = np.divide(
                states, self.bound, out=np.full(states.shape, np.inf), where=self.bound > 0.0
            )
            return np.asarray(self.scale * np.where(states > 0.0, ratios, 0.0).max(axis=1))
        return np.asarray(states @ self.bound)


@record
class FuseEdge:
    """All fuses on the inner side of one edge of a band.

    `times_s` and `heats` (m,) are points of the step response at a current of I_n: at most on the
    fast edge, at least on the slow one.
    """

    edge: str
    times_s: FloatArray
    heats: FloatArray

    @cached_property
    def _steps(self) -> FloatArray:
        return np.asarray(-np.expm1(-self.times_s[:, None] / TIME_CONSTANTS_S))

    def heat(self, state: FloatArray) -> Heat:
        """Return the most (fast) or least (slow) heat of all its fuses in a state.

        `state` (k,) is what each term of TIME_CONSTANTS_S holds: (I / I_n)^2 seen through its
        time constant.
        """
        if self.edge == FAST:
            heat, shares, prices = largest_sum(state, self._steps, self.heats)
            bound, scale = prices @ self._steps, float(prices @ self.heats)
        else:
            heat, _, shares = largest_sum(self.heats, self._steps.T, state)
            bound, scale = shares, 1.0
        used = np.flatnonzero(shares > 1e-12)
        network = Network(
            tuple(float(TIME_CONSTANTS_S[k]) for k in used), tuple(float(shares[k]) for k in used)
        )
        held = tuple(float(state[k]) for k in used)
        return Heat(heat, network, held, self.edge, bound, scale)

    def largest(self, states: FloatArray) -> Heat:
        """Return the largest heat over many states, (n, k)."""
        start = int(np.argmax(states.sum(axis=1)))
        best = self.heat(states[start])
        bounds = best.at_most(states)
        for row in np.argsort(-bounds):
            if bounds[row] <= best.share * (1.0 + 1e-12):
                break
            found = self.heat(states[row])
            bounds = np.minimum(bounds, found.at_most(states))
            best = found if found.share > best.share else best
        return best

    def first_open(self, states: FloatArray) -> int | None:
        """Return the first state that opens a fuse; None where none has it."""
        bounds = np.full(len(states), np.inf)
        for row in range(len(states)):
            if bounds[row] < OPEN:
                continue
            found = self.heat(states[row])
            if found.share >= OPEN:
                return row
            bounds = np.minimum(bounds, found.at_most(states))
        return None


def fuse_edge(band: FuseOpeningBand, edge: str) -> FuseEdge:
    """Return all fuses of a style on one edge. Raises ValueError for another edge's name."""
    if edge not in EDGES:
        raise ValueError(f"edge {edge!r} is none of {', '.join(EDGES)}")
    return _edge(band.percents, band.min_s if edge == FAST else band.max_s, edge)


@lru_cache(maxsize=64)
def _edge(percents: tuple[float, ...], times_s: tuple[float, ...], edge: str) -> FuseEdge:
    points = [(p / 100.0, t) for p, t in zip(percents, times_s, strict=True) if math.isfinite(t)]
    found = points
    if edge == SLOW:
        found = [
            (p * (q / p) ** (n / BETWEEN), t * (s / t) ** (n / BETWEEN))
            for (p, t), (q, s) in pairwise(points)
            for n in range(BETWEEN)
        ]
        found.append(points[-1])
    last, last_s = points[-1]
    # Constant I2t: a tenth of the time at ten times the square of the current.
    found = [*found, *((last * 10.0 ** (n / 2), last_s / 10.0**n) for n in range(1, BEYOND + 1))]
    times = np.array([t for _, t in found])
    return FuseEdge(edge, times, np.array([1.0 / p**2 for p, _ in found]))
