"""What the structure of a network makes certain, against random resistances and known shapes."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from circuitcheck.solve.bounds.network_blocks import blocks, live_block
from circuitcheck.solve.bounds.sign_certificate import SignCertificate
from circuitcheck.solve.elimination.elimination import EliminationPlan

BRIDGE = [(1, 2), (1, 3), (2, 0), (3, 0), (2, 3)]


@st.composite
def shapes(draw: st.DrawFn) -> tuple[int, list[tuple[int, int]], tuple[int, int], int]:
    n = draw(st.integers(3, 8))
    node = st.integers(0, n - 1)
    ends = draw(st.lists(st.tuples(node, node), min_size=2, max_size=15))
    probe = draw(st.tuples(node, node))
    return n, ends, probe, draw(st.integers(0, 2**32 - 1))


@settings(max_examples=300, deadline=None)
@given(shapes())
def test_certain_signs_hold_for_random_resistances(
    shape: tuple[int, list[tuple[int, int]], tuple[int, int], int],
) -> None:
    n, ends, probe, seed = shape
    plan = EliminationPlan(n, [u for u, _ in ends], [v for _, v in ends], (1, 0))
    assume(not plan.floating[list(probe)].any())
    certificate = SignCertificate(n, ends, 1, 0)
    groups = certificate.uncertain_groups(*probe)
    g = np.exp(np.random.default_rng(seed).uniform(-4, 4, (len(ends), 100)))
    current = plan.solve_all(g).branch_a
    moved = plan.transfer(g, [probe])[:, 0]
    rounding = 1e-12 * np.abs(current).max(axis=0) * np.abs(moved).max(axis=0)
    slope = np.where(np.abs(current * moved) <= rounding, 0.0, np.sign(current * moved))
    unsure = {i for group in groups for i in group}
    for i in range(len(ends)):
        if i not in unsure:
            assert not ((slope[i] > 0).any() and (slope[i] < 0).any())
    for group in groups:
        against_first = slope[list(group)] * slope[group[0]]
        assert not ((against_first > 0).any(axis=1) & (against_first < 0).any(axis=1)).any()
    dead = [i for i in range(len(ends)) if i not in certificate.live.branches]
    assert (current[dead] == 0.0).all()


def test_open_bridge_is_certain_and_closed_bridge_is_not() -> None:
    # Wheatstone: the open voltage between the arms rises and falls in a fixed way with each arm;
    # the current of the closed bridge changes its sign with the balance
    certificate = SignCertificate(4, BRIDGE[:4], 1, 0)
    assert certificate.driven.is_series_parallel
    assert certificate.uncertain_groups(2, 3) == []
    closed = SignCertificate(4, BRIDGE, 1, 0)
    assert not closed.driven.is_series_parallel
    assert closed.uncertain_groups(2, 0) == [(4,)]


def test_a_bridge_used_as_a_load_is_one_resistance() -> None:
    # Rayleigh: the voltage across a bridge of resistors rises with each of its branches
    ends = [(1, 4), *((u if u != 1 else 4, v) for u, v in BRIDGE)]
    certificate = SignCertificate(5, ends, 1, 0)
    assert not certificate.driven.is_series_parallel
    assert certificate.uncertain_groups(4, 0) == []
    assert certificate.uncertain_groups(1, 4) == []


@settings(max_examples=100, deadline=None)
@given(st.lists(st.tuples(st.integers(0, 10**6), st.booleans()), max_size=25))
def test_grown_series_parallel_networks_are_recognised(
    steps: list[tuple[int, bool]],
) -> None:
    ends, n = [(1, 0)], 2
    for pick, in_series in steps:
        u, v = ends[pick % len(ends)]
        if in_series:
            ends[pick % len(ends)] = (u, n)
            ends.append((n, v))
            n += 1
        else:
            ends.append((u, v))
    certificate = SignCertificate(n, ends, 1, 0)
    assert certificate.driven.is_series_parallel
    assert all(certificate.uncertain_groups(u, v) == [] for u, v in ends)


def test_a_floating_probe_is_refused() -> None:
    with pytest.raises(ValueError, match="node 2 floats"):
        SignCertificate(3, [(1, 0)], 1, 0).uncertain_groups(2, 0)


def test_dead_ends_hang_on_their_anchor() -> None:
    # 1-2-0 carries current; 3, 4, 5 hang on 2, with a loop of their own; 6 floats
    live = live_block(7, [(1, 2), (2, 0), (2, 3), (3, 4), (3, 4), (4, 5)], 1, 0)
    assert live.branches == (0, 1)
    assert live.anchor == (0, 1, 2, 2, 2, 2, -1)


def test_blocks_of_two_triangles_and_a_bridge() -> None:
    found = blocks(6, [(0, 1), (1, 2), (2, 0), (2, 3), (3, 4), (4, 5), (5, 3), (1, 1)])
    assert sorted(map(sorted, found)) == [[0, 1, 2], [3], [4, 5, 6]]
