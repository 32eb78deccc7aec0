"""Laws that every solution of a circuit must keep, as asserts that any test can use.

Arrays are (branches,) or (branches, points), (nodes,) or (nodes, points); currents are positive
from a branch's start to its end. `TIGHT` is relative: rounding of a solver, not physics.
"""

from __future__ import annotations

from collections import defaultdict, deque

import numpy as np
from numpy.typing import ArrayLike, NDArray

TIGHT = 1e-9

Array = NDArray[np.float64]


def _columns(values: ArrayLike) -> Array:
    array = np.asarray(values, dtype=float)
    return array[:, None] if array.ndim == 1 else array


def assert_current_balance(
    starts: ArrayLike, ends: ArrayLike, branch_a: ArrayLike, ungoverned: set[int], nodes: int
) -> None:
    """What flows into a node flows out of it (Kirchhoff), except where the source sits."""
    amps = _columns(branch_a)
    into, through = np.zeros((nodes, amps.shape[1])), np.zeros((nodes, amps.shape[1]))
    for node, sign in ((starts, -1.0), (ends, 1.0)):
        np.add.at(into, np.asarray(node), sign * amps)
        np.add.at(through, np.asarray(node), np.abs(amps))
    governed = [node for node in range(nodes) if node not in ungoverned]
    off = np.abs(into[governed])
    assert (off <= TIGHT * np.maximum(through[governed], 1e-9)).all(), off.max()


def loops(starts: ArrayLike, ends: ArrayLike) -> list[list[tuple[int, int]]]:
    """A full set of independent loops, each as (branch, +1 or -1 along its direction)."""
    pairs = list(zip(np.asarray(starts).tolist(), np.asarray(ends).tolist(), strict=True))
    beside: dict[int, list[tuple[int, int, int]]] = defaultdict(list)
    for branch, (u, v) in enumerate(pairs):
        beside[u].append((v, branch, 1))
        beside[v].append((u, branch, -1))
    way: dict[int, list[tuple[int, int]]] = {}
    in_tree: set[int] = set()
    for root in beside:
        if root in way:
            continue
        way[root] = []
        waiting = deque([root])
        while waiting:
            here = waiting.popleft()
            for there, branch, sign in beside[here]:
                if there not in way:
                    way[there] = [*way[here], (branch, sign)]
                    in_tree.add(branch)
                    waiting.append(there)
    return [
        [*way[u], (branch, 1), *((b, -s) for b, s in reversed(way[v]))]
        for branch, (u, v) in enumerate(pairs)
        if branch not in in_tree
    ]


def assert_loop_voltages(starts: ArrayLike, ends: ArrayLike, branch_v: ArrayLike) -> int:
    """Voltages around each loop add up to nothing (Kirchhoff). Returns how many loops there are."""
    volts = _columns(branch_v)
    found = loops(starts, ends)
    for loop in found:
        steps = np.array([sign * volts[branch] for branch, sign in loop])
        off = np.abs(steps.sum(axis=0))
        assert (off <= TIGHT * np.maximum(np.abs(steps).sum(axis=0), 1e-9)).all(), loop
    return len(found)


def assert_branch_voltages_are_node_differences(
    starts: ArrayLike, ends: ArrayLike, node_v: ArrayLike, branch_v: ArrayLike
) -> None:
    """The voltage along a branch is that of its start less that of its end, where both are fed."""
    nodes, volts = _columns(node_v), _columns(branch_v)
    apart = nodes[np.asarray(starts)] - nodes[np.asarray(ends)]
    fed = ~np.isnan(apart)
    scale = np.nanmax(np.abs(nodes))
    assert (np.abs(apart - volts)[fed] <= TIGHT * scale).all()
    assert fed.any()


def assert_ohm(branch_v: ArrayLike, branch_a: ArrayLike, ohms: ArrayLike) -> None:
    """Voltage is resistance times current in each branch (Ohm)."""
    volts, amps = _columns(branch_v), _columns(branch_a)
    np.testing.assert_allclose(volts, _columns(ohms) * amps, rtol=TIGHT, atol=1e-15)


def assert_power_balance(
    source_v: ArrayLike, source_a: ArrayLike, branch_v: ArrayLike, branch_a: ArrayLike
) -> None:
    """What the source gives is what the branches turn to heat (Tellegen)."""
    heat = (_columns(branch_v) * _columns(branch_a)).sum(axis=0)
    given = np.broadcast_to(np.asarray(source_v) * np.asarray(source_a), heat.shape)
    np.testing.assert_allclose(heat, given, rtol=TIGHT, atol=1e-15)
    assert (heat >= 0.0).all()


def source_current_a(starts: ArrayLike, ends: ArrayLike, branch_a: ArrayLike, node: int) -> Array:
    """Current that leaves a node through its branches, (points,) [A]."""
    amps = _columns(branch_a)
    out = np.asarray(starts) == node
    into = np.asarray(ends) == node
    return amps[out].sum(axis=0) - amps[into].sum(axis=0)
